"""Reflective markings: what each covers, length and area by side, what stands too near, bands of chevrons to scale.

A side's plane is (u, z): u is x on the left and right, y on the front and rear. Length is the stretch of a side over
which at least 4 in of height are covered; area is what is covered once, whatever lies double. The base of a rear or
front is its width times the height above the ground clearance, glass included.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from rigbook.documents.schema.marking import MarkingArea
from rigbook.documents.schema.vehicle import Vehicle
from rigbook.light.retroreflection import (
    LEAST_STRIPE_M,
    LEAST_TO_LAMP_M,
    clear_of_lamp,
    coefficient_cd_per_lx_m2,
    segment_counts,
)
from rigbook.rig.model import Rig, RigNote

SIDES: tuple[Literal["left", "right", "front", "rear"], ...] = ("left", "right", "front", "rear")
Corner = tuple[float, float]
Outline = tuple[Corner, ...]


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle on a side, m."""

    u0: float
    z0: float
    u1: float
    z1: float

    @property
    def area_m2(self) -> float:
        """Its area."""
        return (self.u1 - self.u0) * (self.z1 - self.z0)


@dataclass(frozen=True, slots=True, kw_only=True)
class SideMarking:
    """The markings of one side. Shares are of the side's length, and of a front's or rear's area; None on a side."""

    id: str
    length_m: float
    length_share: float
    area_m2: float
    area_share: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkingResult:
    """One marking: what it covers without its gaps, and the least it sends back per lux at 0.2 and -4 deg; None where a
    sheeting's type or colour is not entered."""

    id: str
    side: str
    area_m2: float
    cd_per_lx: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Markings:
    """The markings of a build. sides: those that have any."""

    sides: tuple[SideMarking, ...]
    each: tuple[MarkingResult, ...]


def box_of(first: Corner, second: Corner) -> Box:
    """The rectangle between two opposite corners."""
    return Box(min(first[0], second[0]), min(first[1], second[1]), max(first[0], second[0]), max(first[1], second[1]))


def covered(marking: MarkingArea) -> tuple[Box, ...]:
    """What a marking covers: its rectangle cut into boxes without the gaps."""
    whole = box_of(marking.from_, marking.to)
    return cells([whole], [box_of(gap.from_, gap.to) for gap in marking.gaps])


def cells(boxes: Sequence[Box], gaps: Sequence[Box]) -> tuple[Box, ...]:
    """The union of boxes without the gaps, as boxes that do not overlap: exact for rectangles."""
    every = [*boxes, *gaps]
    us = sorted({v for box in every for v in (box.u0, box.u1)})
    zs = sorted({v for box in every for v in (box.z0, box.z1)})
    found = []
    for u0, u1 in pairwise(us):
        for z0, z1 in pairwise(zs):
            at = ((u0 + u1) / 2, (z0 + z1) / 2)
            if any(_holds(b, at) for b in boxes) and not any(_holds(g, at) for g in gaps):
                found.append(Box(u0, z0, u1, z1))
    return tuple(found)


def _holds(box: Box, at: Corner) -> bool:
    return box.u0 < at[0] < box.u1 and box.z0 < at[1] < box.z1


def reflective_length_m(boxes: Sequence[Box], *, least_height_m: float = LEAST_STRIPE_M) -> float:
    """The stretch of a side over which at least so much height is covered, m. The boxes do not overlap."""
    total = 0.0
    for u0, u1 in pairwise(sorted({v for box in boxes for v in (box.u0, box.u1)})):
        height = sum(box.z1 - box.z0 for box in boxes if box.u0 < (u0 + u1) / 2 < box.u1)
        if height >= least_height_m - 1e-9:
            total += u1 - u0
    return total


def base_m(vehicle: Vehicle, side: str) -> tuple[float, float]:
    """Length of a side and the height that counts, m."""
    size, clearance = vehicle.size, vehicle.outline.ground_clearance
    low = clearance if clearance is not None else 0.09 * size.height
    return (size.length if side in ("left", "right") else size.width), size.height - low


def markings_of(rig: Rig) -> Markings:
    """Length and area by side, and every marking by itself."""
    sides = []
    for side in SIDES:
        mine = [m for m in rig.build.markings if m.side == side]
        if not mine:
            continue
        boxes = union_of(mine)
        length, height = base_m(rig.vehicle, side)
        area, stretch = sum(box.area_m2 for box in boxes), reflective_length_m(boxes)
        of_area = area / (length * height) if side in ("front", "rear") else None
        sides.append(
            SideMarking(id=side, length_m=stretch, length_share=stretch / length, area_m2=area, area_share=of_area)
        )
    return Markings(sides=tuple(sides), each=tuple(_one(rig, marking) for marking in rig.build.markings))


def union_of(markings: Sequence[MarkingArea]) -> tuple[Box, ...]:
    """What several markings cover together, each thing once; a gap of one may be covered by another."""
    return cells([box for marking in markings for box in covered(marking)], [])


def _one(rig: Rig, marking: MarkingArea) -> MarkingResult:
    area = sum(box.area_m2 for box in covered(marking))
    return MarkingResult(id=marking.id, side=marking.side, area_m2=area, cd_per_lx=sent_back(rig.parts, marking))


def sent_back(parts: Mapping[str, object], marking: MarkingArea) -> float | None:
    """Intensity per lux of what shines on it square, cd/lx: the least coefficients of its sheetings times their areas."""
    total = 0.0
    for part_id, area in area_by_part(marking).items():
        part = parts[part_id]
        sheeting, colour = getattr(part, "sheeting", None), getattr(part, "colour", None)
        if sheeting is None or colour is None:
            return None
        found = coefficient_cd_per_lx_m2(sheeting=sheeting, colour=colour)
        if found is None:
            return None
        total += found * area
    return total


# --- chevrons --------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Band:
    """One band of chevrons: its sheeting, its number from the lowest at the centreline, its outline on the side."""

    part: str
    number: int
    half: int
    """-1 left of the centreline, 1 right of it."""
    outline: Outline


def bands(marking: MarkingArea) -> tuple[Band, ...]:
    """The bands of a marking without its gaps; of a stripe or patch the one it is.

    Right of the centreline a band falls to the right, left of it to the left, so that both meet in an upturned V.
    """
    whole = box_of(marking.from_, marking.to)
    if marking.kind != "chevrons":
        corners = ((whole.u0, whole.z0), (whole.u1, whole.z0), (whole.u1, whole.z1), (whole.u0, whole.z1))
        return (Band(marking.parts[0], 0, 1, corners),)
    sine, cosine = math.sin(math.radians(marking.angle)), math.cos(math.radians(marking.angle))
    first = math.floor(whole.z0 * cosine / marking.stripe + 1e-9)
    found = []
    for half in (-1, 1):
        low, high = (max(whole.u0, 0.0), whole.u1) if half > 0 else (max(-whole.u1, 0.0), -whole.u0)
        if high - low <= 1e-9:
            continue
        box = ((low, whole.z0), (high, whole.z0), (high, whole.z1), (low, whole.z1))
        last = math.ceil((high * sine + whole.z1 * cosine) / marking.stripe)
        for number in range(first, last + 1):
            cut = _between(box, (sine, cosine), number * marking.stripe, (number + 1) * marking.stripe)
            if len(cut) >= 3 and abs(area_of(cut)) > 1e-9:
                part = marking.parts[(number - first) % len(marking.parts)]
                outline = cut if half > 0 else tuple((-u, z) for u, z in reversed(cut))
                found.append(Band(part, number - first, half, outline))
    return tuple(found)


def _between(corners: Sequence[Corner], normal: Corner, low: float, high: float) -> Outline:
    """A convex outline between two lines square to a normal."""
    kept = _cut(corners, normal, low)
    return _cut(kept, (-normal[0], -normal[1]), -high)


def _cut(corners: Sequence[Corner], normal: Corner, least: float) -> Outline:
    """What of a convex outline lies at `normal . p >= least`."""
    found: list[Corner] = []
    for a, b in pairwise([*corners, *corners[:1]]):
        here, there = (normal[0] * p[0] + normal[1] * p[1] - least for p in (a, b))
        if here >= 0:
            found.append(a)
        if here * there < 0:
            share = here / (here - there)
            found.append((a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])))
    return tuple(found)


def area_of(outline: Sequence[Corner]) -> float:
    """Area of an outline, above 0 where it runs counter-clockwise."""
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in pairwise([*outline, *outline[:1]])) / 2


def area_by_part(marking: MarkingArea) -> dict[str, float]:
    """Area of each sheeting of a marking on the vehicle, gaps left out, m2: exact, band by band."""
    gaps = cells([box_of(gap.from_, gap.to) for gap in marking.gaps], [])
    found: dict[str, float] = {}
    for band in bands(marking):
        area = abs(area_of(band.outline))
        for gap in gaps:
            inside: Outline = band.outline
            for normal, least in (((1, 0), gap.u0), ((-1, 0), -gap.u1), ((0, 1), gap.z0), ((0, -1), -gap.z1)):
                inside = _cut(inside, (float(normal[0]), float(normal[1])), least) if len(inside) >= 3 else ()
            area -= abs(area_of(inside)) if len(inside) >= 3 else 0.0
        found[band.part] = found.get(band.part, 0.0) + area
    return found


# --- what to tell ----------------------------------------------------------------------------------------------------


def notes_of(rig: Rig) -> Iterator[RigNote]:
    """Sheeting too near the vehicle's own lamps, red on the front, segments that no rule counts."""
    for marking in rig.build.markings:
        where = marking.where
        colours = [getattr(rig.parts[p], "colour", None) for p in marking.parts]
        if marking.side == "front" and "red" in colours:
            says = (
                f"{marking.id} puts red sheeting on the front, which 49 CFR 393.26(d) does not allow on a motor carrier's "
                "vehicle: take another colour, or ask who may"
            )
            yield RigNote("marking-red-ahead", marking.id, "caution", says, where.file, where.line, "published")
        for lamp in rig.vehicle.factory_lamps:
            distance = _to_lamp_m(marking, lamp.facing, lamp.at)
            if distance is not None and lamp.colour not in colours and not clear_of_lamp(distance_m=distance):
                says = (
                    f"{marking.id} comes within {1000 * distance:.0f} mm of {lamp.id}, and {1000 * LEAST_TO_LAMP_M:.0f} mm are "
                    "the least beside a required lamp of another colour: leave a gap there"
                )
                yield RigNote(
                    "marking-near-lamp", f"{marking.id}.{lamp.id}", "caution", says, where.file, where.line, "published"
                )
        yield from _short(marking, colours)


def _short(marking: MarkingArea, colours: Sequence[str | None]) -> Iterator[RigNote]:
    box = box_of(marking.from_, marking.to)
    if marking.kind == "patch" and set(colours) & {"red", "white"} and box.z1 - box.z0 <= LEAST_STRIPE_M + 1e-9:
        length = box.u1 - box.u0
        if length < 1.0 and not segment_counts(length_m=length):
            says = f"{marking.id} is {1000 * length:.0f} mm long; conspicuity segments are 150 to 450 mm"
            yield RigNote(
                "marking-segment", marking.id, "note", says, marking.where.file, marking.where.line, "published"
            )


def _to_lamp_m(marking: MarkingArea, facing_deg: float, at: tuple[float, float, float]) -> float | None:
    """Distance of a lamp's middle from what a marking covers; None for a lamp of another side."""
    faces = {"front": 0.0, "right": 90.0, "rear": 180.0, "left": 270.0}[marking.side]
    if abs((facing_deg - faces + 180) % 360 - 180) > 45:
        return None
    u, z = (at[0] if marking.side in ("left", "right") else at[1]), at[2]
    return min(
        (math.hypot(max(b.u0 - u, 0, u - b.u1), max(b.z0 - z, 0, z - b.z1)) for b in covered(marking)), default=None
    )
