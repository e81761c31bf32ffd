"""The grid of bearings: zones, their ends, what lamps send along it."""

from __future__ import annotations

import numpy as np
import pytest

from rigbook.light.grid import BEARINGS_DEG, ELEVATIONS_DEG, grid_directions, seen, zone_of_bearing, zone_points
from rigbook.light.outline import prism
from rigbook.light.sources import Lobe, directions_of

from .test_sources import source


def test_zones_have_nineteen_points_and_share_their_ends() -> None:
    own = {zone: [BEARINGS_DEG[p] for p in zone_points(zone)] for zone in ("front", "right", "rear", "left")}
    assert all(len(points) == 19 for points in own.values())
    assert own["front"][0] == 315 and own["front"][-1] == 45 == own["right"][0]
    assert own["rear"][-1] == 225 == own["left"][0] and own["left"][-1] == 315
    assert set().union(*own.values()) == set(BEARINGS_DEG)
    for bearing in range(1, 360):
        if bearing % 90 != 45:
            points = own[zone_of_bearing(bearing)]
            turn = (bearing - points[0]) % 360
            assert 0 < turn < 90


def test_the_grid_points_where_it_says() -> None:
    grid = grid_directions()
    assert grid.shape == (len(ELEVATIONS_DEG), len(BEARINGS_DEG), 3)
    assert grid[1, 18] == pytest.approx(directions_of(90, 5))
    with pytest.raises(ValueError, match="read-only"):
        grid[0, 0, 0] = 2


def test_what_a_lamp_sends_and_what_the_body_hides() -> None:
    body = prism(name="body", corners=[(0, 0.2), (4, 0.2), (4, 2), (0, 2)], width_m=2)
    lamp = source(Lobe(peak_cd=1000, horizontal_deg=60, vertical_deg=20), azimuth=0, tilt=0)
    ahead = type(lamp)(**{**{f: getattr(lamp, f) for f in lamp.__slots__}, "at_m": (-0.01, 0, 1)})
    behind = type(lamp)(**{**{f: getattr(lamp, f) for f in lamp.__slots__}, "at_m": (4.5, 0, 1)})
    inside = type(lamp)(**{**{f: getattr(lamp, f) for f in lamp.__slots__}, "at_m": (2, 0, 1)})
    found = seen([ahead, behind, inside], [body])
    assert found.candela[0, 0, 0] == pytest.approx(1000)
    assert found.candela[0, 0, 6] == pytest.approx(500)
    assert found.candela[0, 1, 0] == pytest.approx(float(lamp.candela(directions_of(0, 5))))
    assert found.candela[1, 0, 0] == 0 and found.candela[1, 0, 16] > 0  # past the body's side
    assert found.inside == (inside,) and not found.candela[2].any() and not found.field[2].any()
    assert found.field[0].sum() == np.count_nonzero(found.candela[0, 0] >= 100)
