"""What may flow at all: every draw under every act that brings it about, and what flows in one state.

The one place that says which act (`rigbook.proofs.acts`) lets which draw flow; worst cases and hand calculations
stand on it. A device that no function names is free among its draws: it counts with the largest of those asked for,
while its feed is live. So does a lamp that no function names and a fuse feeds: it may have a switch of its own.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction

from rigbook.power.loads import wave_of
from rigbook.power.waveform import Wave, exact, steady
from rigbook.proofs.acts import Act, acts_of, live
from rigbook.rig.model import Device, Draw, Rig
from rigbook.switching.evaluate import Evaluator
from rigbook.switching.program import Device as ProgramDevice
from rigbook.switching.program import Program


@dataclass(frozen=True, slots=True)
class Flow:
    """A draw, the act that lets it flow, and its wave then. `free`: of those of the device only the largest counts.

    number: of the flow among all; equal waves are one object.
    """

    draw: Draw
    act: Act
    wave: Wave
    free: bool = False
    number: int = -1


def flows_of(rig: Rig, *, only: Collection[str] | None = None) -> tuple[Flow, ...]:
    """Every flow of a rig, or of some devices, devices in their order."""
    program = rig.program
    indexes = {device.id: index for index, device in enumerate(program.devices)}
    feeds = {feed.id: index for index, feed in enumerate(program.feeds)}
    found: list[Flow] = []
    for device in rig.devices.values():
        if only is not None and device.id not in only:
            continue
        index = indexes.get(device.id)
        if index is None:
            found.extend(_standing(device, device.clock, feeds, free=True))
        else:
            found.extend(_decided(rig, device, program, index, feeds))
    waves: dict[Wave, Wave] = {}
    kept = (flow for flow in found if flow.wave.spans)
    return tuple(
        Flow(flow.draw, flow.act, waves.setdefault(flow.wave, flow.wave), flow.free, number)
        for number, flow in enumerate(kept)
    )


def _decided(rig: Rig, device: Device, program: Program, index: int, feeds: dict[str, int]) -> Iterator[Flow]:
    decided = program.devices[index]
    unnamed = not decided.entries and decided.kind != "factory-lamp"
    colours = {draw.channel: draw for draw in device.draws if draw.kind == "colour"}
    states = [draw for draw in device.draws if draw.kind != "colour" and not device.colours]
    for act in acts_of(program, index):
        if act.timeline is not None and act.channel in colours:
            draw = colours[act.channel]
            yield Flow(draw, act, wave_of(draw, decided.clock, act.timeline))
        for draw in states:
            if act.timeline is None and draw.channel == act.channel and not (unnamed and draw.kind == "draw"):
                yield Flow(draw, act, steady(clock=decided.clock, current_a=exact(draw.current_a)))
    if unnamed or device.colours or not decided.states:
        yield from _standing(device, decided.clock, feeds, free=unnamed)
    if unnamed:
        yield from _own_switch(rig, device, decided, feeds)


def _standing(device: Device, clock: str, feeds: dict[str, int], *, free: bool) -> Iterator[Flow]:
    """What draws while its feed is live: the first draw, or of a free device any of its draw states."""
    draws = [draw for draw in device.draws if draw.kind == "draw"] if free else _first(device)
    for draw in draws:
        yield Flow(draw, _live(draw, feeds), steady(clock=clock, current_a=exact(draw.current_a)), free)


def _first(device: Device) -> list[Draw]:
    return [draw for draw in device.draws if draw.kind != "colour"][:1]


def _own_switch(rig: Rig, device: Device, decided: ProgramDevice, feeds: dict[str, int]) -> Iterator[Flow]:
    """Colours of a lamp that no function names, behind a fuse."""
    for draw in device.draws:
        circuit = rig.circuits.get(draw.circuit_id or "")
        if draw.kind == "colour" and circuit is not None and circuit.kind == "fuse":
            wave = steady(clock=decided.clock, current_a=exact(draw.current_a))
            yield Flow(draw, _live(draw, feeds), wave, device.one_colour_at_a_time)


def _live(draw: Draw, feeds: dict[str, int]) -> Act:
    return live(feeds.get(draw.feed_id or ""))


def largest(flows: Iterable[Flow]) -> tuple[Flow, ...]:
    """The flows, of each free device only the one that draws most (the first of equal ones)."""
    kept = list(flows)
    most: dict[str, Flow] = {}
    for flow in kept:
        known = most.get(flow.draw.device_id)
        if flow.free and (known is None or flow.draw.current_a > known.draw.current_a):
            most[flow.draw.device_id] = flow
    return tuple(flow for flow in kept if not flow.free or most[flow.draw.device_id] is flow)


def by_duty(rig: Rig, flows: Iterable[Flow]) -> tuple[Flow, ...]:
    """The flows, but of each free device its greatest average over the stretches of the working day.

    A stretch gives shares to draw states; the rest is the first draw, and so is all of a day that says nothing.
    """
    kept = list(flows)
    means: dict[str, Flow] = {}
    for flow in kept:
        device = rig.devices[flow.draw.device_id]
        if flow.free and flow.draw.kind == "draw" and device.id not in means:
            wave = steady(clock=flow.wave.clock, current_a=_duty_mean(rig, device))
            means[device.id] = Flow(flow.draw, flow.act, wave, number=-2 - flow.number)
    return (
        *(flow for flow in kept if flow.draw.device_id not in means),
        *(flow for flow in means.values() if flow.wave.spans),
    )


def _duty_mean(rig: Rig, device: Device) -> Fraction:
    draws = {draw.channel: exact(draw.current_a) for draw in device.draws if draw.kind == "draw"}
    first = next(iter(draws.values()))
    most = first if not rig.build.duty else Fraction(0)
    for stretch in rig.build.duty:
        shares = {name: exact(share) for name, share in stretch.draws.get(device.id, {}).items() if name in draws}
        mean = sum((share * draws[name] for name, share in shares.items()), Fraction(0))
        most = max(most, mean + (1 - sum(shares.values(), Fraction(0))) * first)
    return most


def going_on(evaluator: Evaluator, state: tuple[int, ...], lost: Iterable[int]) -> frozenset[Act]:
    """The acts that go on in a state, by evaluating it."""
    outcome, program = evaluator.outcome(state, frozenset(lost)), evaluator.program
    found = {live(None), *(live(index) for index, alive in enumerate(outcome.feeds_live) if alive)}
    for index, device in enumerate(program.devices):
        taken = device.kind == "factory-lamp" and outcome.deciding[index] is not None
        found.update(Act(index, colour, timeline, taken) for colour, timeline in outcome.lit[index])
        driven = outcome.driven[index]
        if driven is not None:
            found.add(Act(index, driven))
    return frozenset(found)
