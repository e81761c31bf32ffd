"""Zones, halves, rows, bars, nodes and areas."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rigbook.documents.schema.vehicle import Run
from rigbook.rig.model import Point
from rigbook.rig.places import (
    ALL_ZONES,
    area_of_node,
    distance_m,
    facing_in_bar,
    half_of,
    in_bar,
    nearest,
    row_points,
    seen_zones,
    zones_of_facing,
)

coordinate = st.floats(-5, 5, allow_nan=False)
point = st.builds(Point, coordinate, coordinate, coordinate)


@pytest.mark.parametrize(
    ("facing_deg", "zones"),
    [
        (0.0, {"front"}), (45.0, {"front", "right"}), (44.9, {"front"}), (45.1, {"right"}), (90.0, {"right"}),
        (135.0, {"right", "rear"}), (180.0, {"rear"}), (225.0, {"rear", "left"}), (270.0, {"left"}),
        (315.0, {"left", "front"}), (314.9, {"left"}), (360.0, {"front"}), (-45.0, {"left", "front"}),
    ],
)  # fmt: skip
def test_each_end_of_a_zone_belongs_to_both(facing_deg: float, zones: set[str]) -> None:
    assert zones_of_facing(facing_deg=facing_deg, all_round=False) == zones


def test_all_round_counts_for_four_and_no_facing_for_none() -> None:
    assert zones_of_facing(facing_deg=None, all_round=True) == ALL_ZONES == {"front", "right", "rear", "left"}
    assert zones_of_facing(facing_deg=None, all_round=False) == frozenset()


@given(st.integers(0, 3599))
def test_every_azimuth_has_a_zone_and_two_only_on_a_diagonal(tenths: int) -> None:
    zones = zones_of_facing(facing_deg=tenths / 10, all_round=False)
    assert len(zones) == (2 if tenths % 900 == 450 else 1)


@pytest.mark.parametrize(("tilt_deg", "seen"), [(0, True), (45, True), (-45, True), (45.1, False), (-90, False)])
def test_a_lamp_tilted_beyond_45_degrees_is_seen_nowhere(tilt_deg: float, seen: bool) -> None:
    assert bool(seen_zones(zones=frozenset({"rear"}), tilt_deg=tilt_deg)) is seen


@pytest.mark.parametrize(
    ("y_m", "half"), [(-0.002, "left"), (-0.001, None), (0.0, None), (0.001, None), (0.0011, "right")]
)
def test_within_a_millimetre_of_the_middle_is_neither_half(y_m: float, half: str | None) -> None:
    assert half_of(y_m=y_m) == half


@given(point, point, st.integers(2, 40))
def test_a_row_is_evenly_spaced_and_has_both_ends(start: Point, end: Point, count: int) -> None:
    points = row_points(start=start, end=end, count=count)
    assert len(points) == count and points[0] == start
    assert distance_m(points[-1], end) < 1e-9
    step = distance_m(start, end) / (count - 1)
    gaps = [distance_m(a, b) for a, b in pairwise(points)]
    assert all(math.isclose(gap, step, rel_tol=1e-9, abs_tol=1e-9) for gap in gaps)


def test_one_lamp_stands_at_the_start_and_none_is_no_row() -> None:
    assert row_points(start=Point(1, 2, 3), end=Point(4, 5, 6), count=1) == (Point(1, 2, 3),)
    with pytest.raises(ValueError, match="at least one"):
        row_points(start=Point(0, 0, 0), end=Point(1, 0, 0), count=0)


@pytest.mark.parametrize(
    ("facing_deg", "at"),
    [(0, (1.1, 0.5, 2.0)), (90, (1.5, -0.1, 2.0)), (180, (0.9, -0.5, 2.0)), (270, (0.5, 0.1, 2.0))],
)
def test_a_bar_turns_its_modules_about_its_middle(facing_deg: float, at: tuple[float, float, float]) -> None:
    # 0.1 m behind the middle and 0.5 m to the right of it; worked by hand for the four quarter turns
    placed = in_bar(bar=Point(1, 0, 2), facing_deg=facing_deg, offset=Point(0.1, 0.5, 0))
    assert (placed.x_m, placed.y_m, placed.z_m) == pytest.approx(at, abs=1e-12)


@given(st.floats(0, 360), point)
def test_a_bar_keeps_distances(facing_deg: float, offset: Point) -> None:
    middle = Point(1, -2, 0.5)
    assert distance_m(middle, in_bar(bar=middle, facing_deg=facing_deg, offset=offset)) == pytest.approx(
        distance_m(Point(0, 0, 0), offset), abs=1e-9
    )


@given(st.floats(0, 360, exclude_max=True))
def test_a_module_ahead_of_the_middle_lies_where_the_bar_faces(facing_deg: float) -> None:
    placed = in_bar(bar=Point(0, 0, 0), facing_deg=facing_deg, offset=Point(-1, 0, 0))
    azimuth = math.degrees(math.atan2(placed.y_m, -placed.x_m))
    assert math.cos(math.radians(azimuth - facing_deg)) == pytest.approx(1, abs=1e-9)


def test_azimuths_in_a_bar_add_up_modulo_a_turn() -> None:
    assert facing_in_bar(facing_deg=270, module_deg=135) == 45


@given(point, st.dictionaries(st.text("abcdef", min_size=1, max_size=3), point, max_size=8))
def test_nearest_agrees_with_looking_at_all(at: Point, among: dict[str, Point]) -> None:
    found = nearest(at=at, among=among)
    if not among:
        assert found is None
        return
    assert found is not None
    assert found[1] == pytest.approx(min(distance_m(at, each) for each in among.values()), abs=1e-9)
    assert distance_m(at, among[found[0]]) == pytest.approx(found[1])


def test_the_first_named_wins_a_tie() -> None:
    assert nearest(at=Point(0, 0, 0), among={"b": Point(1, 0, 0), "a": Point(-1, 0, 0)}) == ("b", 1.0)


def test_a_node_has_the_hottest_area_of_its_runs() -> None:
    runs = [
        Run.model_validate({"between": ("a", "b"), "area": "cabin"}),
        Run.model_validate({"between": ("b", "c"), "area": "bay"}),
    ]
    ambient = {"cabin": 60.0, "bay": 105.0}
    assert area_of_node(node="a", runs=runs, ambient_c=ambient) == "cabin"
    assert area_of_node(node="b", runs=runs, ambient_c=ambient) == "bay"
    assert area_of_node(node="z", runs=runs, ambient_c=ambient) is None
