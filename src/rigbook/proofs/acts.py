"""What devices may be doing, one act at a time, and the literal of each.

An **act** is the smallest thing that draws: a lamp burning one colour on one timeline (after dims), another device
being in a state, or a feed being live (for what stands on it and draws whenever it has power). Whoever wants a maximum
gives acts weights; what the weights mean is nothing to this room.

The **ways** of an act are literals that exclude each other: one for each entry of the decision list that brings it
about and each level of dimming. Ways of devices with the same list, feed and dims share their literals, so such
devices are one row of a problem.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from rigbook.proofs.encoding import Encoding
from rigbook.proofs.gates import FALSE
from rigbook.switching.program import Content, Device, Program, Timeline
from rigbook.switching.timeline import scaled


@dataclass(frozen=True, slots=True)
class Act:
    """One thing that may be going on.

    device: index, -1 for a feed. channel: colour or state. timeline: of a colour, after dims. taken: of a factory lamp,
    whether a function has taken it from the vehicle. feed: index of a feed that is live, None where always so.
    """

    device: int
    channel: str = ""
    timeline: Timeline | None = None
    taken: bool = False
    feed: int | None = None

    def __hash__(self) -> int:
        """Without the timeline, whose hash is dear: few acts differ in nothing else."""
        return hash((self.device, self.channel, self.taken, self.feed))


@dataclass(frozen=True, slots=True)
class Way:
    """A literal under which the act goes on. Ways of one group exclude each other (equal literals are one way)."""

    act: Act
    group: tuple[Any, ...]
    literal: int


def live(feed: int | None) -> Act:
    """The act of a feed being live."""
    return Act(-1, feed=feed)


def dim_levels(device: Device, content: Content, *, shown: bool) -> tuple[float, ...]:
    """Factors that dims may leave of a content, 1 first. `shown`: a function's show brings it about."""
    if not shown or content.undimmed:
        return (1.0,)
    return tuple(dict.fromkeys((1.0, *(dim.to for dim in device.dims))))


def acts_of(program: Program, device: int) -> tuple[Act, ...]:
    """Every act that a device's list could bring about, each once, in the list's order, rest last."""
    d = program.devices[device]
    found: dict[Act, None] = {}
    for entry in (*d.entries, None):
        content = program.contents[d.rest if entry is None else entry.content]
        taken = d.kind == "factory-lamp" and entry is not None
        for colour, timeline in content.channels:
            if timeline.spans:
                for factor in dim_levels(d, content, shown=entry is not None and entry.kind == "show"):
                    found[Act(device, colour, scaled(timeline, factor), taken)] = None
    for state in d.states:
        found[Act(device, state)] = None
    return tuple(found)


def ways_of(encoding: Encoding, device: int) -> Iterator[Way]:
    """The ways of every act of a device; what no state can bring about may be among them."""
    d = encoding.program.devices[device]
    yield from _lit_ways(encoding, device, d)
    group = ("state", d.entries, d.rest, d.feeds, d.kind)
    for state in d.states:
        literal = encoding.in_state(device, state)
        if literal != FALSE:
            yield Way(Act(device, state), group, literal)


def _lit_ways(encoding: Encoding, index: int, d: Device) -> Iterator[Way]:
    gates = encoding.gates
    chain = tuple(e.function for e in d.entries)
    levels = _levels(encoding, d)
    rest = encoding.program.contents[d.rest]
    presence = encoding.present(d, rest)
    for number, content, decides in encoding.entries(d):
        shown = number >= 0 and d.entries[number].kind == "show"
        taken = d.kind == "factory-lamp" and number >= 0
        for colour, timeline in content.channels:
            powered = encoding.powered(d, colour)
            here = gates.all_of((decides, powered, encoding.present(d, content)))
            if not timeline.spans or here == FALSE:
                continue
            dimmed = shown and not content.undimmed
            for factor, level in levels.items():
                literal = gates.all_of((here, level))
                if literal != FALSE:
                    act = Act(index, colour, scaled(timeline, factor) if dimmed else timeline, taken)
                    yield Way(act, ("lit", chain, powered, d.dims, presence), literal)


def _levels(encoding: Encoding, d: Device) -> dict[float, int]:
    """For each factor that dims may leave, the literal that it is the lowest of those that are on."""
    levels: dict[float, int] = {}
    none_lower: list[int] = []
    for factor in sorted({dim.to for dim in d.dims} - {1.0}):
        on = encoding.gates.any_of([encoding.active(dim.function) for dim in d.dims if dim.to == factor])
        levels[factor] = encoding.gates.all_of((on, *none_lower))
        none_lower.append(-on)
    levels[1.0] = encoding.gates.all_of(none_lower)
    return levels
