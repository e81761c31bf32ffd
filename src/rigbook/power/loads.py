"""What every device draws in a state, as waves on its clock, and their sums by circuit, feed and whole."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property

from rigbook.power.waveform import Wave, WaveSpan, exact, steady
from rigbook.rig.model import Circuit, Device, Draw, Rig, SavedPoint
from rigbook.switching.evaluate import Evaluator, Outcome
from rigbook.switching.logic import Closures, State
from rigbook.switching.program import Timeline
from rigbook.switching.states import saved_state


@dataclass(frozen=True, slots=True)
class Drawn:
    """One draw that flows in a state, and its wave."""

    draw: Draw
    wave: Wave


@dataclass(frozen=True)
class StateLoads:
    """Everything that draws in one state. `taken` are the factory lamps a function has taken from the vehicle."""

    point: SavedPoint
    drawn: tuple[Drawn, ...]
    taken: frozenset[str]
    running: bool

    def of(self, wanted: Callable[[Draw], bool]) -> tuple[Wave, ...]:
        """Waves of the draws that are wanted."""
        return tuple(each.wave for each in self.drawn if wanted(each.draw))

    @cached_property
    def _places(self) -> dict[str, dict[str | None, list[int]]]:
        """Where the draws of each device, circuit and feed stand in `drawn`: asked for each of them, found once."""
        found: dict[str, dict[str | None, list[int]]] = {"device_id": {}, "circuit_id": {}, "feed_id": {}}
        for place, each in enumerate(self.drawn):
            for key, places in found.items():
                places.setdefault(getattr(each.draw, key), []).append(place)
        return found

    def _among(self, key: str, names: Iterable[str | None]) -> tuple[Wave, ...]:
        places = self._places[key]
        return tuple(self.drawn[place].wave for place in sorted(p for name in names for p in places.get(name, ())))

    def device(self, device_id: str) -> tuple[Wave, ...]:
        """Waves of a device."""
        return self._among("device_id", (device_id,))

    def circuit(self, circuit: Circuit) -> tuple[Wave, ...]:
        """Waves of all that flows through a circuit: its devices, and the outputs of its modules."""
        return self._among("circuit_id", carried(circuit))

    def feed(self, rig: Rig, feed_id: str) -> tuple[Wave, ...]:
        """Waves of all that stands behind a feed, feeds and outputs below included."""
        return self._among("feed_id", [name for name in self._places["feed_id"] if feed_id in _upward(rig, name)])

    def whole(self) -> tuple[Wave, ...]:
        """Waves of all that the build's circuits power."""
        return self.of(lambda draw: draw.circuit_id is not None)

    def factory(self) -> tuple[Wave, ...]:
        """Waves of the factory lamps a function has taken."""
        return self.of(lambda draw: draw.device_id in self.taken)


def carried(circuit: Circuit) -> tuple[str, ...]:
    """The circuit itself and the output circuits that its modules' power terminals carry besides."""
    outputs = (output for member in circuit.members for output in member.carries)
    return tuple(dict.fromkeys((circuit.id, *outputs)))


def feeds_above(rig: Rig, draw: Draw) -> Iterator[str]:
    """The feed behind a draw and every feed above it."""
    return _upward(rig, draw.feed_id)


def _upward(rig: Rig, feed_id: str | None) -> Iterator[str]:
    feed = rig.feeds.get(feed_id or "")
    while feed is not None:
        yield feed.id
        feed = rig.feeds.get(feed.parent or "")


def state_loads(rig: Rig, *, only: str | None = None) -> tuple[StateLoads, ...]:
    """The loads of every saved state, in the build's order, or of one alone."""
    program = rig.program
    evaluator = Evaluator(program)
    running = dict(program.roles).get("running_when")
    runs = None if running is None else Closures(program).two(running)
    found = []
    for point in rig.states:
        if only is not None and point.id != only:
            continue
        state = state_of(rig, point)
        outcome = evaluator.outcome(state)
        found.append(loads_of(rig, point, outcome, running=runs is not None and runs(state)))
    return tuple(found)


def state_of(rig: Rig, point: SavedPoint) -> State:
    """The full state of a saved point. ValueError where it cannot be, which a rig has ruled out."""
    state = saved_state(rig.program, dict(point.settings))
    if state and not isinstance(state[0], int):
        raise ValueError(f"saved state {point.id} cannot be")
    return state  # type: ignore[return-value]


def loads_of(rig: Rig, point: SavedPoint, outcome: Outcome, *, running: bool) -> StateLoads:
    """What flows in an outcome."""
    indexes = {device.id: index for index, device in enumerate(rig.program.devices)}
    live = {feed.id: outcome.feeds_live[index] for index, feed in enumerate(rig.program.feeds)}
    drawn: list[Drawn] = []
    taken = set()
    for device in rig.devices.values():
        index = indexes.get(device.id)
        if index is None:
            drawn.extend(_resting(device, device.clock, live))
            continue
        clock = rig.program.devices[index].clock
        if device.part_kind == "factory-lamp" and outcome.deciding[index] is not None:
            taken.add(device.id)
        drawn.extend(_colours(device, clock, outcome.lit[index]))
        driven = outcome.driven[index]
        if device.colours or (driven is None and device.id in _undriven(rig)):
            drawn.extend(_resting(device, clock, live))
        elif driven is not None:
            drawn.extend(_driven(device, clock, driven))
    return StateLoads(point, tuple(drawn), frozenset(taken), running)


def _undriven(rig: Rig) -> frozenset[str]:
    """Devices that have no state to be driven into: they draw their first draw while their feed is live."""
    return frozenset(device.id for device in rig.program.devices if not device.states)


def _colours(device: Device, clock: str, lit: Iterable[tuple[str, Timeline]]) -> Iterator[Drawn]:
    draws = {draw.channel: draw for draw in device.draws if draw.kind == "colour"}
    for colour, timeline in lit:
        if colour in draws:
            yield Drawn(draws[colour], wave_of(draws[colour], clock, timeline))


def _driven(device: Device, clock: str, state: str) -> Iterator[Drawn]:
    for draw in device.draws:
        if draw.kind != "colour" and draw.channel == state:
            yield Drawn(draw, steady(clock=clock, current_a=exact(draw.current_a)))


def _resting(device: Device, clock: str, live: dict[str, bool]) -> Iterator[Drawn]:
    """The first draw of a device that no state drives, while its feed is live."""
    draws = [draw for draw in device.draws if draw.kind != "colour"]
    if draws and (draws[0].feed_id is None or live.get(draws[0].feed_id, True)):
        yield Drawn(draws[0], steady(clock=clock, current_a=exact(draws[0].current_a)))


def wave_of(draw: Draw, clock: str, timeline: Timeline) -> Wave:
    """A draw on a timeline: intensity is a duty where the lamp dims by switching, else a share of the current."""
    spans = []
    for span in timeline.spans:
        intensity = exact(span.intensity_from)
        if intensity <= 0 or draw.current_a <= 0:
            continue
        current = exact(draw.current_a)
        if draw.dims_by == "switching":
            spans.append(WaveSpan(span.start_ms, span.end_ms, current, intensity))
        else:
            spans.append(WaveSpan(span.start_ms, span.end_ms, current * intensity))
    return Wave(clock, timeline.period_ms, tuple(spans))
