"""Warning light by mode, zone and level: the least over every reachable state, with the smallest state that shows it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from rigbook.light.around import around_of
from rigbook.light.behaviours import Behaviours, Column
from rigbook.light.effective import effective_of
from rigbook.light.flashes import seen_flashes_per_min, seen_pulses_per_min
from rigbook.light.grid import BEARINGS_DEG, Flags, Seen, zone_points
from rigbook.light.result import LEVELS, Around, LampWarning, Level, ZoneWarning
from rigbook.proofs.joint import Joint
from rigbook.proofs.witness import witness_of
from rigbook.rig.places import ZONE_MIDDLES
from rigbook.switching.program import Expression, Witness

Array = npt.NDArray[np.float64]
PURPOSES = ("calling", "blocking")
ZONES = tuple(name for name, _ in ZONE_MIDDLES)
EQUAL = 1e-9
"""Relative difference below which two sums are the same: the order of adding differs in the last bits."""


@dataclass(frozen=True, slots=True)
class Asked:
    """A mode to be worked out."""

    id: str
    purpose: str
    when: Expression


def asked_of(behaviours: Behaviours) -> tuple[Asked, ...]:
    """The modes that call for or block the right of way; where there are none, the build's `warning_when` as one."""
    program = behaviours.rig.program
    modes = tuple(Asked(m.id, m.purpose, m.when) for m in program.modes if m.purpose in PURPOSES)
    if modes or program.warning_when is None:
        return modes
    return (Asked("warning", "", program.warning_when),)


class ModeLight:
    """What the warning lamps do in one mode: joints, which columns are on, power along the grid."""

    def __init__(
        self, behaviours: Behaviours, seen: Seen, asked: Asked, found: list[Joint], unlost: list[Joint] | None
    ) -> None:
        self.behaviours, self.seen, self.asked, self.found, self.unlost = behaviours, seen, asked, found, unlost
        self.columns: Sequence[Column] = behaviours.columns
        self.on = behaviours.active(found)
        self.column_power = behaviours.power(seen)
        self.field: Flags = seen.field[[c.source for c in self.columns]]
        self.flashes: Flags = np.array([c.flashing.flashes_per_min > 0 for c in self.columns], bool)
        levels = [behaviours.sources[c.source].level for c in self.columns]
        self.of_level: dict[Level, Flags] = {
            level: np.array([level == "all" or own == level for own in levels], bool) for level in LEVELS
        }
        kinds, back = np.unique(self.on, axis=1, return_inverse=True)
        self.kinds: Flags = np.ascontiguousarray(kinds)  # columns that are always on together are one kind
        self.kind_of = back.reshape(-1)
        self._power: dict[Level, Array] = {}
        self._rates: dict[Level, tuple[Array, Array]] = {}
        self._witnesses: dict[tuple[Joint, ...], Witness] = {}

    def power(self, level: Level) -> Array:
        """Optical power, cd s/min: joint, elevation, bearing. Columns that are always on together are added first; the
        plain sum of products of numpy, since the matrices are too small for its threads to be worth starting."""
        if level not in self._power:
            merged = np.zeros((self.kinds.shape[1], *self.column_power.shape[1:]))
            chosen = self.of_level[level]
            np.add.at(merged, self.kind_of[chosen], self.column_power[chosen])
            self._power[level] = np.einsum("jc,cev->jev", self.kinds.astype(np.float64), merged)
        return self._power[level]

    def reached(self, columns: Flags) -> Flags:
        """Whether a chosen column's field reaches each bearing: joint, bearing."""
        fields = np.zeros((self.kinds.shape[1], self.field.shape[1]), np.uint8)
        np.logical_or.at(fields.view(bool), self.kind_of[columns], self.field[columns])
        found: Flags = (self.kinds.view(np.uint8).astype(np.uint16) @ fields) > 0
        return found

    def rates(self, level: Level) -> tuple[Array, Array]:
        """Flashes and pulses a minute seen at each bearing: joint, bearing."""
        if level not in self._rates:
            self._rates[level] = self._count(level)
        return self._rates[level]

    def _count(self, level: Level) -> tuple[Array, Array]:
        ways = list(dict.fromkeys((c.clock, c.timeline) for c in self.columns if c.flashing.flashes_per_min))
        count = len(self.found), len(BEARINGS_DEG)
        if not ways:
            return np.zeros(count), np.zeros(count)
        marks = np.zeros((len(ways), *count), bool)
        number = {way: place for place, way in enumerate(ways)}
        own = np.array([number.get((c.clock, c.timeline), -1) for c in self.columns])
        for way in range(len(ways)):
            chosen = (own == way) & self.of_level[level]
            if chosen.any():
                marks[way] = self.reached(chosen)
        packed = np.packbits(marks.reshape(len(ways), -1), axis=0).T
        kinds, back = np.unique(packed, axis=0, return_inverse=True)
        sets = np.unpackbits(kinds, axis=1, count=len(ways)).astype(bool)
        seen_ways = [[way for way, on in zip(ways, row, strict=True) if on] for row in sets]
        flashes = np.array([seen_flashes_per_min(row) for row in seen_ways])
        pulses = np.array([seen_pulses_per_min(row) for row in seen_ways])
        back = back.reshape(count)
        return flashes[back], pulses[back]

    def witness(self, wanted: Sequence[int]) -> Witness:
        """The smallest state that takes one of the joints (by their numbers)."""
        key = tuple(self.found[number] for number in wanted)
        if key not in self._witnesses:
            state = self.behaviours.smallest(key, self.asked.when)
            self._witnesses[key] = witness_of(self.behaviours.rig.program, *state)
        return self._witnesses[key]

    def colours(self, joint: int, zone: str, level: Level) -> tuple[str, ...]:
        """Colours that flash toward a zone in a joint: those of lamps whose field reaches one of its points."""
        reach = self.field[:, zone_points(zone)].any(axis=1)
        places = np.nonzero(self.on[joint] & self.of_level[level] & self.flashes & reach)[0]
        sources = self.behaviours.sources
        return tuple(sorted({sources[self.columns[place].source].colour for place in map(int, places)}))


def least(values: Array) -> tuple[float, list[int]]:
    """The least of some values and the places that reach it, the last bits aside."""
    low = float(values.min())
    return low, [int(place) for place in np.nonzero(values <= low + EQUAL * max(1.0, abs(low)))[0]]


def zone_warnings(mode: ModeLight) -> list[ZoneWarning]:
    """Rows of one mode, zone by zone and level by level."""
    rows: list[ZoneWarning] = []
    known = {joint: number for number, joint in enumerate(mode.found)}
    kept = [known[joint] for joint in mode.unlost or () if joint in known]
    for level in LEVELS:
        power = mode.power(level)
        flashes, pulses = mode.rates(level)
        for zone in ZONES:
            rows.append(_row(mode, zone, level, power, flashes, pulses, kept))
    return sorted(rows, key=lambda row: ZONES.index(row.zone))


def _row(
    mode: ModeLight, zone: str, level: Level, power: Array, flashes: Array, pulses: Array, unlost: list[int]
) -> ZoneWarning:
    points = zone_points(zone)
    flat, raised = power[:, 0, points], power[:, 1:, points]
    sums = flat.sum(axis=1)
    total, at_total = least(sums)
    by_point = flat.min(axis=1)
    point, at_point = least(by_point)
    rate, at_rate = least(flashes[:, points].min(axis=1))
    first = at_total[0]
    where = int(flat[at_point[0]].argmin())
    reach = mode.field[:, points].any(axis=1) & mode.of_level[level]
    lit = {mode.columns[place].device for place in map(int, np.nonzero(reach)[0])}
    return ZoneWarning(
        id=f"{mode.asked.id}.{zone}.{level}",
        mode=mode.asked.id,
        zone=zone,
        level=level,
        cd_s_per_min=total,
        flashes_per_min=rate,
        colours=mode.colours(first, zone, level),
        required=None,
        half_ends_cd_s_per_min=total - float(flat[first, 0] + flat[first, -1]) / 2,
        nothing_lost_cd_s_per_min=float(sums[unlost].min()) if unlost else None,
        point_cd_s_per_min=point,
        point_at_deg=float(BEARINGS_DEG[points[where]]),
        required_point=None,
        raised_cd_s_per_min=float(raised.min()),
        required_raised=None,
        pulses_per_min=float(pulses[:, points].max()),
        lamps=len(lit),
        witness=mode.witness(at_total),
        point_witness=mode.witness(at_point),
        flashes_witness=mode.witness(at_rate),
    )


def lamp_warnings(behaviours: Behaviours) -> tuple[LampWarning, ...]:
    """What each colour of each warning lamp may do at all, in file order."""
    own: dict[tuple[str, str], list[Column]] = {}
    for column in behaviours.columns:
        source = behaviours.sources[column.source]
        own.setdefault((source.device_id, source.colour), []).append(column)
    rows: list[LampWarning] = []
    for source in behaviours.sources:
        if source.pose:
            continue
        flashing = [c for c in own.get((source.device_id, source.colour), ()) if c.flashing.flashes_per_min]
        states = [c.flashing for c in flashing]
        rates = [f.flashes_per_min for f in states]
        forms = [effective_of(c.timeline) for c in flashing]
        rows.append(
            LampWarning(
                id=f"{source.device_id}.{source.colour}",
                colour=source.colour,
                peak_cd=source.peak_cd,
                axis_cd_s_per_min=min((f.cd_s_per_min(source.peak_cd) for f in states), default=None),
                effective_cd=min((e.form_factor * source.peak_cd for e in forms), default=None),
                douglas_cd=min((e.douglas * source.peak_cd for e in forms), default=None),
                modified_allard_cd=min((e.modified_allard * source.peak_cd for e in forms), default=None),
                allard_cd=min((e.allard * source.peak_cd for e in forms), default=None),
                least_flashes_per_min=min(rates, default=None),
                greatest_flashes_per_min=max(rates, default=None),
                greatest_pulses_per_min=max((f.pulses_per_min for f in states), default=None),
                on_s=max((f.train_ms / 1e3 for f in states), default=None),
                off_s=min((f.dark_ms / 1e3 for f in states), default=None),
                total_lm=source.shape.total_lm() * source.passes_share,
                light=source.light or source.how,
            )
        )
    return tuple(rows)


@dataclass(frozen=True, slots=True)
class Modes:
    """Modes worked out; of these the ones of which the darkest combinations alone were looked at; and those given up."""

    worked: tuple[ModeLight, ...]
    darkest_alone: tuple[str, ...]
    given_up: tuple[str, ...]


def modes_of(behaviours: Behaviours, seen: Seen) -> Modes:
    """The modes that some state reaches."""
    made: list[ModeLight] = []
    darkest: list[str] = []
    beyond: list[str] = []
    for asked in asked_of(behaviours):
        found = behaviours.joints(asked.when)
        if found is not None:
            unlost = behaviours.joints(asked.when, nothing_lost=True)
        else:
            least_ones = behaviours.least_joints(asked.when, seen)
            unlost = behaviours.least_joints(asked.when, seen, nothing_lost=True)
            if least_ones is None or unlost is None:
                beyond.append(asked.id)
                continue
            found = sorted({*least_ones, *unlost})
            darkest.append(asked.id)
        if found:
            made.append(ModeLight(behaviours, seen, asked, found, unlost))
    return Modes(tuple(made), tuple(darkest), tuple(beyond))


def warning_of(modes: Sequence[ModeLight]) -> tuple[tuple[ZoneWarning, ...], Around | None]:
    """Rows of all modes in their order, and what is around the vehicle."""
    rows = [row for mode in modes for row in zone_warnings(mode)]
    return tuple(rows), around_of(modes) if modes else None
