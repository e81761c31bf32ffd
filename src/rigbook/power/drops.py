"""Ampacity, temperature and drop of each conductor of a rig, and of the way to a device and back.

The greatest RMS over every reachable state heats a conductor, the greatest peak loses voltage; where they are not worked
out the name-plate sum stands for both (every device at its highest entered draw), which no state exceeds.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from rigbook.power import conductors
from rigbook.power.ampacity import allowed_a
from rigbook.rig.model import Circuit, Member, Rig, Segment
from rigbook.rig.nameplate import nameplate_a


@dataclass(frozen=True, slots=True)
class SegmentDrop:
    """One conductor with its current: temperature in C, resistance at it, and the volts it loses."""

    segment: Segment
    current_a: float
    ampacity_a: float | None
    conductor_c: float
    resistance_ohm_per_m: float
    drop_v: float

    @property
    def resistance_ohm(self) -> float:
        """Of its whole length at its temperature."""
        return self.resistance_ohm_per_m * self.segment.length_m


@dataclass(frozen=True, slots=True)
class Way:
    """From a circuit's start to a device and back to the stud."""

    member: Member
    feed: tuple[SegmentDrop, ...]
    back: tuple[SegmentDrop, ...]

    @property
    def length_m(self) -> float:
        """Out and back, own leads included."""
        return math.fsum(part.segment.length_m for part in (*self.feed, *self.back))

    @property
    def drop_v(self) -> float:
        """Out and back."""
        return math.fsum(part.drop_v for part in (*self.feed, *self.back))


def ampacity_a(segment: Segment) -> float | None:
    """What a conductor may carry where its way limits it most, by the rule of its build, A; None for a device's own lead
    and for what the rule has no figure for."""
    conductor = segment.conductor
    if segment.role == "lead" or conductor.insulation_c <= 30.0:
        return None
    return allowed_a(
        rule=segment.ampacity_rule,
        gauge=conductor.gauge,
        insulation_c=conductor.insulation_c,
        ambient_c=segment.governs_c,
        bundled=max(1, segment.governs_count),
    )


def conductor_c(segment: Segment, *, current_a: float) -> float:
    """Temperature of a conductor at a current, C; see `conductors.loaded_conductor_c`."""
    return conductors.loaded_conductor_c(
        ambient_c=segment.hottest_c,
        rated_c=segment.conductor.insulation_c,
        current_a=current_a,
        ampacity_a=ampacity_a(segment),
    )


def resistance_ohm_per_m(segment: Segment, *, temperature_c: float) -> float:
    """Resistance of a conductor at a temperature: the wire part's own at 20 C where it states one, else the table's."""
    own = segment.conductor.resistance_ohm_per_m
    if own is not None:
        return own * conductors.temperature_factor(temperature_c=temperature_c)
    return conductors.conductor_resistance_ohm_per_m(gauge=segment.conductor.gauge, temperature_c=temperature_c)


def segment_drop(segment: Segment, *, current_a: float | None = None) -> SegmentDrop:
    """Temperature, resistance and drop of a conductor at a current, as warm as that makes it. Where none is given: at
    its greatest peak, as warm as its greatest RMS makes it."""
    current = segment.dropping_a if current_a is None else current_a
    temperature = conductor_c(segment, current_a=segment.heating_a if current_a is None else current_a)
    per_m = resistance_ohm_per_m(segment, temperature_c=temperature)
    lost = conductors.voltage_drop_v(current_a=current, length_m=segment.length_m, resistance_ohm_per_m=per_m)
    return SegmentDrop(segment, current, ampacity_a(segment), temperature, per_m, lost)


def path_drops(rig: Rig, path: Iterable[str]) -> tuple[SegmentDrop, ...]:
    """Each conductor of a path at its name-plate current."""
    return tuple(segment_drop(rig.segments[name]) for name in path)


def way(rig: Rig, member: Member) -> Way:
    """The way to a member and back."""
    return Way(member, path_drops(rig, member.feed_path), path_drops(rig, member.return_path))


def ways(rig: Rig, circuit: Circuit) -> tuple[Way, ...]:
    """One way a device of the circuit, the one that loses most where a device has several terminals on it."""
    found: dict[str, Way] = {}
    for member in circuit.members:
        if member.signal:
            continue
        made = way(rig, member)
        known = found.get(member.device_id)
        if known is None or made.drop_v > known.drop_v:
            found[member.device_id] = made
    return tuple(found.values())


def governing(rig: Rig, circuit: Circuit) -> Way | None:
    """The way that loses most from the battery and back, the first of equals; None where nothing draws."""
    return max(ways(rig, circuit), key=lambda each: source_drop_v(rig, circuit, each), default=None)


def upstream(rig: Rig, circuit: Circuit) -> tuple[SegmentDrop, ...]:
    """Conductors from the battery to the start of a circuit, battery first.

    An output stands behind its module's power terminal; a feed behind the feeds to the blocks above it.
    """
    found: list[SegmentDrop] = []
    feed = rig.feeds.get(circuit.feed_id or "")
    if circuit.kind == "output" and feed is not None and feed.id in rig.circuits:
        members = [m for m in rig.circuits[feed.id].members if circuit.id in m.carries]
        found.extend(part for member in members[:1] for part in path_drops(rig, member.feed_path))
    while feed is not None:
        if feed.segment is not None:
            found.insert(0, segment_drop(rig.segments[feed.segment]))
        feed = rig.feeds.get(feed.parent or "")
    return tuple(found)


def stud_current_a(rig: Rig, stud: str) -> float:
    """Name-plate current that comes back through a stud, A: every device whose return ends there."""
    wanted = [
        need
        for circuit in rig.circuits.values()
        for member in circuit.members
        if not member.signal and member.ground == stud
        for need in member.draws
    ]
    return nameplate_a(rig.devices, wanted)


def stud_drop_v(rig: Rig, member: Member) -> float:
    """Volts between a member's stud and the battery negative, lifted by all that comes back through it."""
    if member.ground is None or member.ground not in rig.studs:
        return 0.0
    return rig.studs[member.ground].resistance_ohm * stud_current_a(rig, member.ground)


def source_drop_v(rig: Rig, circuit: Circuit, each: Way) -> float:
    """From the battery to the device and back, V: feeds above, the circuit out and back, the stud."""
    above = math.fsum(part.drop_v for part in upstream(rig, circuit))
    return above + each.drop_v + stud_drop_v(rig, each.member)


def own_conductors(rig: Rig, circuit: Circuit) -> tuple[Segment, ...]:
    """Conductors of a circuit that carry load, devices' own leads aside, each once."""
    names = dict.fromkeys(
        name for m in circuit.members if not m.signal for name in (*m.feed_path, *m.return_path)
    )  # fmt: skip
    return tuple(rig.segments[name] for name in names if rig.segments[name].role != "lead")


def weakest(segments: Iterable[Segment]) -> Segment | None:
    """The conductor with the least corrected ampacity, the first of equals; one without any counts as least."""

    def strength(segment: Segment) -> tuple[float, float]:
        most = ampacity_a(segment)
        return (-1.0 if most is None else most, segment.conductor.gauge.area_mm2)

    return min(segments, key=strength, default=None)


def feed_conductors(rig: Rig, feed_id: str) -> tuple[Segment, ...]:
    """Conductors a feed's fuse protects: the line to its block, and its own circuit's."""
    feed = rig.feeds[feed_id]
    line = (rig.segments[feed.segment],) if feed.segment is not None else ()
    own = own_conductors(rig, rig.circuits[feed_id]) if feed_id in rig.circuits else ()
    return (*line, *own)
