"""Markings: length and area by side, bands of chevrons against sampling and a geometry library, what stands too near."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from rigbook.documents.schema.marking import Gap, MarkingArea
from rigbook.light.markings import (
    Box,
    area_by_part,
    area_of,
    bands,
    box_of,
    cells,
    covered,
    markings_of,
    notes_of,
    reflective_length_m,
)
from rigbook.light.retroreflection import (
    band_along_m,
    clear_of_lamp,
    coefficient_cd_per_lx_m2,
    intensity_cd,
    luminance_cd_per_m2,
    segment_counts,
)
from rigbook.quantities.units import INCH_M
from rigbook.rig.model import Rig
from tests.light.test_scene import opened


@pytest.fixture(scope="module")
def van() -> Rig:
    return opened("flood-support-van")[0]


def chevrons(**more: object) -> MarkingArea:
    return MarkingArea(
        id="back", side="rear", kind="chevrons", from_=(-0.9, 0.4), to=(0.9, 1.6), parts=["red", "yellow"], **more
    )


def with_markings(rig: Rig, *markings: MarkingArea) -> Rig:
    return replace(rig, build=rig.build.model_copy(update={"markings": list(markings)}))


# --- figures of the reference ------------------------------------------------------------------------------------------


@pytest.mark.outside
def test_white_type_three_sheeting_in_ten_lux() -> None:
    """V46: ASTM D4956-01 Type III white at 0.2 and -4 deg, 10 lx, 0.5 m2, seen square."""
    found = coefficient_cd_per_lx_m2(sheeting="III", colour="white")
    assert found == 250
    assert luminance_cd_per_m2(coefficient_cd_per_lx_m2=found, illuminance_lx=10) == pytest.approx(2500, rel=1e-6)
    assert intensity_cd(coefficient_cd_per_lx_m2=found, illuminance_lx=10, area_m2=0.5) == pytest.approx(1250, rel=1e-6)
    assert luminance_cd_per_m2(coefficient_cd_per_lx_m2=found, illuminance_lx=10, view_deg=60) == pytest.approx(5000)


@pytest.mark.outside
def test_a_six_inch_band_at_45_degrees() -> None:
    """V48: 8.485 in along the horizontal."""
    assert band_along_m(stripe_m=6 * INCH_M, angle_deg=45) / INCH_M == pytest.approx(8.485, rel=1e-4)
    found = [b for b in bands(chevrons()) if b.half > 0 and b.number == 4]
    (band,) = found
    at = 1.0
    crossing = sorted(_crossings(band.outline, at))
    assert crossing[1] - crossing[0] == pytest.approx(8.485281 * INCH_M, rel=1e-6)


def _crossings(outline: tuple[tuple[float, float], ...], z: float) -> list[float]:
    found = []
    for a, b in zip(outline, [*outline[1:], outline[0]], strict=True):
        if (a[1] - z) * (b[1] - z) < 0:
            found.append(a[0] + (z - a[1]) / (b[1] - a[1]) * (b[0] - a[0]))
    return found


@pytest.mark.outside
def test_conspicuity_distances() -> None:
    """V50: 60 mm from a required red lamp fails; a segment of 160 mm passes, of 140 mm fails."""
    assert not clear_of_lamp(distance_m=0.060) and clear_of_lamp(distance_m=0.075)
    assert segment_counts(length_m=0.160) and not segment_counts(length_m=0.140)
    assert segment_counts(length_m=0.450) and not segment_counts(length_m=0.460)


@pytest.mark.outside
def test_half_of_a_side_and_a_quarter_of_a_front(van: Rig) -> None:
    """V47: of a side of 300 in 150 in are half, of a front of 96 in 24 in are a quarter."""
    size = van.vehicle.size.model_copy(update={"length": 300 * INCH_M, "width": 96 * INCH_M})
    vehicle = van.vehicle.model_copy(update={"size": size})
    side = MarkingArea(
        id="s", side="left", kind="stripe", from_=(0, 0.5), to=(150 * INCH_M, 0.5 + 4 * INCH_M), parts=["x"]
    )
    front = MarkingArea(id="f", side="front", kind="stripe", from_=(0, 0.5), to=(24 * INCH_M, 0.7), parts=["x"])
    rig = replace(with_markings(van, side, front), vehicle=vehicle, parts={"x": object()})
    found = {row.id: row for row in markings_of(rig).sides}
    assert found["left"].length_share == pytest.approx(0.5) and found["front"].length_share == pytest.approx(0.25)


def test_the_table_is_asked_in_its_own_terms() -> None:
    assert coefficient_cd_per_lx_m2(sheeting="I", colour="blue", observation_deg=0.5) == 2.0
    assert coefficient_cd_per_lx_m2(sheeting="III", colour="blue", observation_deg=0.5) is None
    with pytest.raises(KeyError):
        coefficient_cd_per_lx_m2(sheeting="III", colour="white", observation_deg=1.0)
    with pytest.raises(KeyError):
        coefficient_cd_per_lx_m2(sheeting="III", colour="mauve")


# --- what is covered ---------------------------------------------------------------------------------------------------


def test_gaps_and_overlaps_count_once() -> None:
    boxes = cells([Box(0, 0, 2, 1), Box(1, 0, 3, 1)], [Box(0.5, 0.25, 1.5, 0.75)])
    assert sum(b.area_m2 for b in boxes) == pytest.approx(3 - 0.5)
    assert box_of((3, 1), (0, 0)) == Box(0, 0, 3, 1)


@pytest.mark.parametrize("seed", range(4))
def test_areas_agree_with_counting_cells(seed: int) -> None:
    """Brute force: rectangles on a grid of centimetres, each cell counted."""
    rng = np.random.default_rng(seed)
    corners = rng.integers(0, 60, (6, 4))
    boxes = [box_of((a / 100, b / 100), (c / 100 + 0.01, d / 100 + 0.01)) for a, b, c, d in corners.tolist()]
    grid = np.zeros((61, 61), bool)
    for number, (a, b, c, d) in enumerate(corners.tolist()):
        u0, u1, z0, z1 = min(a, c + 1), max(a, c + 1), min(b, d + 1), max(b, d + 1)
        if number < 4:
            grid[z0:z1, u0:u1] = True
    for a, b, c, d in corners[4:].tolist():
        grid[min(b, d + 1) : max(b, d + 1), min(a, c + 1) : max(a, c + 1)] = False
    found = cells(boxes[:4], boxes[4:])
    assert sum(b.area_m2 for b in found) == pytest.approx(grid.sum() / 10_000)
    assert reflective_length_m(found, least_height_m=0.1) == pytest.approx((grid.sum(axis=0) >= 10).sum() / 100)
    assert 0 < grid.sum() < 61 * 61


def test_a_stripe_that_is_too_low_is_no_length() -> None:
    assert reflective_length_m([Box(0, 0, 3, 0.09)]) == 0.0
    assert reflective_length_m([Box(0, 0, 3, 0.05), Box(1, 0.2, 2, 0.26)]) == pytest.approx(1.0)


# --- chevrons ----------------------------------------------------------------------------------------------------------


def test_bands_fill_the_rectangle_once_and_alternate() -> None:
    found = bands(chevrons())
    assert sum(abs(area_of(b.outline)) for b in found) == pytest.approx(1.8 * 1.2)
    for half in (-1, 1):
        mine = [b for b in found if b.half == half]
        assert [b.part for b in mine] == ["red" if b.number % 2 == 0 else "yellow" for b in mine] and len(mine) > 8
    left = {b.number: abs(area_of(b.outline)) for b in found if b.half < 0}
    right = {b.number: abs(area_of(b.outline)) for b in found if b.half > 0}
    assert left.keys() == right.keys() and all(left[n] == pytest.approx(right[n]) for n in left)


def test_bands_fall_away_from_the_centreline_and_meet_on_it() -> None:
    found = bands(chevrons())
    for band in found:
        on_middle = sorted(z for u, z in band.outline if abs(u) < 1e-9)
        mirror = next(b for b in found if b.number == band.number and b.half == -band.half)
        assert on_middle == pytest.approx(sorted(z for u, z in mirror.outline if abs(u) < 1e-9))
    band = next(b for b in found if b.half > 0 and b.number == 3)
    top = max(band.outline, key=lambda p: p[1])
    low = max(band.outline, key=lambda p: p[0])
    assert top[0] < low[0] and top[1] > low[1]


@pytest.mark.outside
def test_bands_agree_with_a_general_geometry_library() -> None:
    from shapely import Polygon, box

    marking = chevrons(
        gaps=[Gap(why="lamp", from_=(0.2, 0.6), to=(0.6, 0.9)), Gap(why="handle", from_=(-0.1, 1.0), to=(0.1, 1.1))]
    )
    gaps = box(0.2, 0.6, 0.6, 0.9).union(box(-0.1, 1.0, 0.1, 1.1))
    theirs: dict[str, float] = {}
    for band in bands(marking):
        outline = Polygon(band.outline)
        assert outline.is_valid
        theirs[band.part] = theirs.get(band.part, 0.0) + outline.difference(gaps).area
    assert area_by_part(marking) == pytest.approx(theirs)
    assert sum(theirs.values()) == pytest.approx(sum(b.area_m2 for b in covered(marking)))


# --- what is told ------------------------------------------------------------------------------------------------------


def test_sheeting_by_a_factory_lamp_and_red_on_the_front_are_told(van: Rig) -> None:
    tail = van.vehicle.factory_lamps[0]
    near = MarkingArea(
        id="near", side="rear", from_=(tail.at[1] + 0.06, 1.0), to=(tail.at[1] + 0.5, 1.3), parts=["white"]
    )
    clear = MarkingArea(
        id="clear", side="rear", from_=(tail.at[1] + 0.08, 1.0), to=(tail.at[1] + 0.5, 1.3), parts=["white"]
    )
    same = MarkingArea(
        id="same", side="rear", from_=(tail.at[1] + 0.06, 1.0), to=(tail.at[1] + 0.5, 1.3), parts=["red"]
    )
    ahead = MarkingArea(id="ahead", side="front", from_=(-0.5, 0.5), to=(0.5, 0.9), parts=["red"])

    class Sheet:
        def __init__(self, colour: str) -> None:
            self.colour, self.sheeting, self.roll = colour, "III", None

    parts = {"white": Sheet("white"), "red": Sheet("red")}
    rig = replace(with_markings(van, near, clear, same, ahead), parts=parts)
    told = {(n.rule, n.subject) for n in notes_of(rig)}
    assert told == {("marking-near-lamp", f"near.{tail.id}"), ("marking-red-ahead", "ahead")}
    sent = {row.id: row.cd_per_lx for row in markings_of(rig).each}
    assert sent["near"] == pytest.approx(250 * 0.44 * 0.3) and sent["same"] == pytest.approx(45 * 0.44 * 0.3)


def test_a_band_square_to_its_angle_is_as_wide_as_asked() -> None:
    marking = chevrons(stripe=0.1, angle=30.0)
    widths = []
    for band in bands(marking):
        across = [math.sin(math.radians(30)) * band.half * u + math.cos(math.radians(30)) * z for u, z in band.outline]
        widths.append(max(across) - min(across))
    assert max(widths) == pytest.approx(0.1) and len(widths) > 20
