"""Cutting strips of sheeting from a roll: exact packing by CP-SAT with its bound, from a shelf packing as a start.

Every band is cut as a straight strip, as wide as the band and as long as it is on the vehicle; its slanted ends and its
gaps are cut on the vehicle. A strip lies along the roll, or across it where it may turn and the roll is wide enough.
Whole millimetres, rounded up; cuts have no width.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from rigbook.light.markings import Band, bands
from rigbook.rig.model import Rig

EFFORT_S = 5.0
ROUND_MM = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class Strip:
    """One strip to cut, mm: its length along the band and its width."""

    id: str
    length_mm: int
    width_mm: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Laid:
    """Where a strip lies on the roll, mm: along it, across it, and whether it lies across."""

    strip: Strip
    along_mm: int
    across_mm: int
    turned: bool

    @property
    def size_mm(self) -> tuple[int, int]:
        """Extent along and across the roll."""
        lengths = (self.strip.length_mm, self.strip.width_mm)
        return (lengths[1], lengths[0]) if self.turned else lengths


@dataclass(frozen=True, slots=True, kw_only=True)
class Nest:
    """Strips of one sheeting on its roll. used_mm: length of roll that is cut off; bound_mm: no packing takes less."""

    part: str
    roll_width_mm: int
    laid: tuple[Laid, ...]
    used_mm: int
    bound_mm: int

    @property
    def waste_share(self) -> float:
        """Share of the length cut off that is no strip."""
        area = sum(one.strip.length_mm * one.strip.width_mm for one in self.laid)
        return 1 - area / (self.used_mm * self.roll_width_mm) if self.used_mm else 0.0


class DoesNotFit(Exception):
    """A strip that no roll of its sheeting holds."""


def strips_of(rig: Rig) -> dict[str, tuple[Strip, ...]]:
    """The strips of every sheeting of a build, in file order."""
    found: dict[str, list[Strip]] = {}
    for marking in rig.build.markings:
        for band in bands(marking):
            side = "" if len(bands(marking)) == 1 else f".{'left' if band.half < 0 else 'right'}-{band.number + 1}"
            length, width = extent_m(band, angle_deg=marking.angle if marking.kind == "chevrons" else 0.0)
            found.setdefault(band.part, []).append(
                Strip(id=f"{marking.id}{side}", length_mm=_mm(length), width_mm=_mm(width))
            )
    return {part: tuple(strips) for part, strips in found.items()}


def extent_m(band: Band, *, angle_deg: float) -> tuple[float, float]:
    """Length of a band along its own direction, and its width square to it, m."""
    turn = math.radians(angle_deg)
    along = (math.cos(turn) * band.half, -math.sin(turn))
    across = (math.sin(turn) * band.half, math.cos(turn))
    spans = []
    for axis in (along, across):
        values = [axis[0] * u + axis[1] * z for u, z in band.outline]
        spans.append(max(values) - min(values))
    return spans[0], spans[1]


def _mm(value_m: float) -> int:
    return math.ceil(1000 * value_m - ROUND_MM)


def nests_of(rig: Rig, *, effort_s: float = EFFORT_S) -> tuple[Nest, ...]:
    """The strips of every sheeting laid on its roll; sheetings without a roll are left out.

    Raises:
        DoesNotFit: a strip that is longer or wider than its roll.
    """
    found = []
    for part, strips in strips_of(rig).items():
        roll = getattr(rig.parts[part], "roll", None)
        if roll is not None:
            found.append(
                nest(part, strips, width_mm=int(1000 * roll[0]), length_mm=int(1000 * roll[1]), effort_s=effort_s)
            )
    return tuple(found)


def nest(part: str, strips: Sequence[Strip], *, width_mm: int, length_mm: int, effort_s: float = EFFORT_S) -> Nest:
    """Strips on a roll with as little of it cut off as can be.

    Raises:
        DoesNotFit: a strip that is longer or wider than the roll, or more than the roll holds.
    """
    for strip in strips:
        fits = (strip.length_mm <= length_mm and strip.width_mm <= width_mm) or (
            strip.width_mm <= length_mm and strip.length_mm <= width_mm
        )
        if not fits:
            says = f"{strip.id} takes {strip.length_mm} by {strip.width_mm} mm, and the roll of {part} is {width_mm} mm wide"
            raise DoesNotFit(f"{says}, {length_mm} mm long: split the marking, or take a larger roll")
    start = shelves(strips, width_mm=width_mm)
    least = lower_bound_mm(strips, width_mm=width_mm)
    laid, bound = (start, least) if _used(start) == least else _exact(strips, start, width_mm, least, effort_s)
    if _used(laid) > length_mm:
        raise DoesNotFit(
            f"{part}: {_used(laid)} mm are needed and a roll holds {length_mm} mm: split it over two rolls"
        )
    return Nest(part=part, roll_width_mm=width_mm, laid=laid, used_mm=_used(laid), bound_mm=bound)


def lower_bound_mm(strips: Sequence[Strip], *, width_mm: int) -> int:
    """Length that no packing goes below: the area over the width, and the longest strip that cannot turn."""
    area = sum(strip.length_mm * strip.width_mm for strip in strips)
    longest = max((min(_ways(strip, width_mm))[0] for strip in strips), default=0)
    return max(-(-area // width_mm), longest)


def _ways(strip: Strip, width_mm: int) -> list[tuple[int, int]]:
    """Extents along and across the roll that a strip may take."""
    ways = [(strip.length_mm, strip.width_mm), (strip.width_mm, strip.length_mm)]
    return [way for way in ways if way[1] <= width_mm]


def _used(laid: Sequence[Laid]) -> int:
    return max((one.along_mm + one.size_mm[0] for one in laid), default=0)


def shelves(strips: Sequence[Strip], *, width_mm: int) -> tuple[Laid, ...]:
    """A packing in shelves, longest first, each strip the way that is shortest along the roll."""
    found: list[Laid] = []
    rows: list[list[int]] = []  # start along, length along, across so far
    ways = {strip.id: min(_ways(strip, width_mm)) for strip in strips}
    for strip in sorted(strips, key=lambda s: (-ways[s.id][0], -ways[s.id][1], s.id)):
        along, across = ways[strip.id]
        row = next((r for r in rows if r[1] >= along and r[2] + across <= width_mm), None)
        if row is None:
            row = [rows[-1][0] + rows[-1][1] if rows else 0, along, 0]
            rows.append(row)
        turned = along != strip.length_mm
        found.append(Laid(strip=strip, along_mm=row[0], across_mm=row[2], turned=turned))
        row[2] += across
    return tuple(found)


def _exact(
    strips: Sequence[Strip], start: Sequence[Laid], width_mm: int, least_mm: int, effort_s: float
) -> tuple[tuple[Laid, ...], int]:
    from ortools.sat.python import cp_model

    model, most = cp_model.CpModel(), _used(start)
    hints = {one.strip.id: one for one in start}
    used = model.new_int_var(least_mm, most, "used")
    placed, along_of, across_of = [], [], []
    for number, strip in enumerate(strips):
        literals = []
        for way in _ways(strip, width_mm):
            chosen = model.new_bool_var(f"{number}-{way[0]}")
            along = model.new_int_var(0, max(0, most - way[0]), "")
            across = model.new_int_var(0, width_mm - way[1], "")
            along_of.append(model.new_optional_fixed_size_interval_var(along, way[0], chosen, ""))
            across_of.append(model.new_optional_fixed_size_interval_var(across, way[1], chosen, ""))
            model.add(along + way[0] <= used).only_enforce_if(chosen)
            hint = hints[strip.id]
            mine = hint.size_mm == way
            model.add_hint(chosen, mine)
            if mine:
                model.add_hint(along, hint.along_mm)
                model.add_hint(across, hint.across_mm)
            literals.append(chosen)
            placed.append((strip, way, chosen, along, across))
        model.add_exactly_one(literals)
    model.add_no_overlap_2d(along_of, across_of)
    model.add_cumulative(along_of, [way[1] for _, way, *_ in placed], width_mm)
    model.minimize(used)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers, solver.parameters.random_seed = 1, 1
    solver.parameters.max_deterministic_time = effort_s
    if solver.solve(model) not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return tuple(start), least_mm
    laid = tuple(
        Laid(strip=s, along_mm=solver.value(x), across_mm=solver.value(y), turned=way[0] != s.length_mm)
        for s, way, chosen, x, y in placed
        if solver.boolean_value(chosen)
    )
    return laid, max(least_mm, math.ceil(solver.best_objective_bound - 1e-6))
