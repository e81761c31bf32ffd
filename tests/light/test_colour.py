"""Boundaries of signal colours: against a general geometry and a general colour library, and hand cases."""

from __future__ import annotations

import itertools

import colour as library
import numpy as np
import pytest
import shapely

from rigbook.light.colour import colours_of, editions, judge_colour, locus, mixed, temperature_k, within

FEDERAL, VERTICES, AMBULANCE = editions()
# corners of the printed lines, worked out by hand from their intersections
WHITE = [(0.31, 0.3484), (0.31, 0.2825), (0.44, 0.38), (0.50, 0.38), (0.50, 0.44), (0.453125, 0.44)]
AMBER = [(0.56, 0.44), (0.544910, 0.424910), (0.597015, 0.39), (0.61, 0.39)]
RED = [(0.65, 0.33), (0.67, 0.33), (0.735, 0.265), (0.735, 0.245)]


@pytest.mark.outside
@pytest.mark.parametrize(("name", "corners"), [("white", WHITE), ("amber", AMBER)])
def test_lines_are_their_polygon_by_a_general_geometry_library(name: str, corners: list[tuple[float, float]]) -> None:
    area = shapely.Polygon(corners)
    random = np.random.default_rng(578)
    low, high = np.array(corners).min(axis=0) - 0.03, np.array(corners).max(axis=0) + 0.03
    inside = outside = 0
    for x, y in random.uniform(low, high, (3000, 2)):
        if name == "amber" and x + y > 1:
            continue  # beyond the locus, where no light is and the lines go on
        point = shapely.Point(x, y)
        if area.exterior.distance(point) < 1e-4 or (name == "amber" and x + y > 0.999):
            continue
        found = judge_colour(edition=FEDERAL, colour=name, x=x, y=y) == "inside"
        assert found == area.contains(point), (x, y)
        inside, outside = inside + found, outside + (not found)
    assert inside > 150 and outside > 150


@pytest.mark.outside
def test_our_polygons_are_those_of_a_general_geometry_library() -> None:
    random = np.random.default_rng(2020)
    for name, corners in VERTICES.vertices.items():
        area = shapely.Polygon(corners)
        points = random.uniform(0, 0.8, (4000, 2))
        points = np.concatenate((points, random.uniform(np.min(corners, axis=0), np.max(corners, axis=0), (1000, 2))))
        sure = [p for p in points if area.exterior.distance(shapely.Point(p)) > 1e-6]
        found = [within(corners, x, y) for x, y in sure]
        assert found == [area.contains(shapely.Point(p)) for p in sure], name
        assert sum(found) > 50


def test_corners_and_edges_belong_to_a_polygon() -> None:
    for corners in VERTICES.vertices.values():
        for (x1, y1), (x2, y2) in itertools.pairwise(corners):
            assert within(corners, x1, y1) and within(corners, (x1 + x2) / 2, (y1 + y2) / 2)


@pytest.mark.outside
def test_the_locus_and_white_temperatures_are_those_of_a_colour_library() -> None:
    observer = library.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"]
    for nm, x, y in locus():
        assert library.XYZ_to_xy(observer[nm]) == pytest.approx((x, y), abs=6e-6)
    random = np.random.default_rng(44)
    for x in random.uniform(0.29, 0.48, 50):
        y = -3 * x * x + 2.87 * x - 0.275  # the daylight curve keeps near the whites
        assert temperature_k(x=x, y=y) == pytest.approx(
            float(library.temperature.xy_to_CCT_McCamy1992([x, y])), rel=1e-6
        )


@pytest.mark.outside
def test_mixing_is_that_of_a_colour_library() -> None:
    random = np.random.default_rng(31)
    for _ in range(50):
        parts = [(x, y, lum) for x, y, lum in random.uniform((0.1, 0.1, 1), (0.6, 0.35, 100), (3, 3))]
        whole = sum(library.xyY_to_XYZ([x, y, lum]) for x, y, lum in parts)
        assert mixed(parts) == pytest.approx(library.XYZ_to_xy(whole), rel=1e-9)
    with pytest.raises(ValueError, match="nothing shines"):
        mixed([(0.3, 0.3, 0.0)])


def test_editions_differ_where_they_should() -> None:
    assert judge_colour(edition=FEDERAL, colour="red", x=0.66, y=0.333) == "outside"
    assert judge_colour(edition=VERTICES, colour="red", x=0.66, y=0.333) == "inside"
    assert judge_colour(edition=AMBULANCE, colour="red", x=0.63, y=0.335) == "inside"
    assert judge_colour(edition=AMBULANCE, colour="white", x=0.33, y=0.33) == "not named"
    assert all(within(RED, x, y) == (judge_colour(edition=FEDERAL, colour="red", x=x, y=y) == "inside")
               for x, y in ((0.68, 0.31), (0.66, 0.328), (0.70, 0.27), (0.60, 0.33)))  # fmt: skip
    assert colours_of(edition=FEDERAL, x=0.3127, y=0.329) == ("white",)
    assert "blue-green" in VERTICES.tests


def test_white_is_not_its_lines_anded() -> None:
    x, y = 0.49, 0.41
    anded = y >= 0.05 + 0.75 * x and y >= 0.38 and y <= 0.44
    assert not anded
    assert judge_colour(edition=FEDERAL, colour="white", x=x, y=y) == "inside"


@pytest.mark.parametrize(("x", "y"), [(-0.1, 0.3), (0.7, 0.6), (0.3, 0.0)])
def test_what_is_no_chromaticity_is_refused(x: float, y: float) -> None:
    with pytest.raises(ValueError, match="no chromaticity"):
        judge_colour(edition=FEDERAL, colour="red", x=x, y=y)


def test_no_temperature_at_the_pole() -> None:
    with pytest.raises(ValueError, match=r"0\.1858"):
        temperature_k(x=0.3, y=0.1858)
