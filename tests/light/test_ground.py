"""The map of the ground: its extent, its agreement with areas, levels, which states are shown."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from rigbook.light.areas import Scene
from rigbook.light.ground import FOOT_CANDLE_LX, ground_map, levels_of, lit_states
from rigbook.light.illuminance import UP
from rigbook.rig.model import Rig
from tests.light.test_scene import opened, state


@pytest.fixture(scope="module")
def utility() -> tuple[Rig, Scene]:
    return opened("duty-officer-utility")


def test_the_map_reaches_thirty_metres_and_holds_what_points_hold(utility: tuple[Rig, Scene]) -> None:
    rig, scene = utility
    burning = scene.lighting.burning(state(rig, "on-scene-hatch"))
    found = ground_map(scene.lighting, burning)
    size = rig.vehicle.size
    assert found.x_m[0] <= -size.front_overhang - 30 and found.x_m[-1] >= size.length - size.front_overhang + 30
    assert found.y_m[0] <= -size.width / 2 - 30 and found.y_m[-1] == -found.y_m[0]
    assert found.level_lx.shape == found.upright_lx.shape == (len(found.y_m), len(found.x_m))
    row, column = int(np.argmin(abs(found.y_m - 0.5))), int(np.argmin(abs(found.x_m - 5.0)))
    point = np.array([[found.x_m[column]], [found.y_m[row]], [0.0]])
    assert found.level_lx[row, column] == scene.lighting.light(burning, point, [UP])[0, 0] > 1
    assert found.covered[int(np.argmin(abs(found.y_m))), int(np.argmin(abs(found.x_m - 1.0)))] == 1


def test_a_map_without_light_is_dark_and_one_without_extent_is_refused(utility: tuple[Rig, Scene]) -> None:
    _, scene = utility
    assert ground_map(scene.lighting, (), reach_m=3).level_lx.max() == 0
    for reach, spacing in ((0.0, 0.5), (30.0, 0.0), (30.0, 0.01)):
        with pytest.raises(ValueError, match="map"):
            ground_map(scene.lighting, (), reach_m=reach, spacing_m=spacing)


def test_levels_stand_in_the_unit_of_the_shop() -> None:
    """V27: 30 fc are 322.9 lx."""
    assert pytest.approx(322.9, rel=1e-3) == 30 * FOOT_CANDLE_LX
    assert [text for _, _, text in levels_of("metric", 60.0)] == ["1 lx", "2 lx", "5 lx", "10 lx", "20 lx", "50 lx"]
    us = levels_of("us", 12 * FOOT_CANDLE_LX)
    assert us[-1][0] == 10 and us[-1][1] == pytest.approx(107.639, rel=1e-5) and us[-1][2] == "10 fc"
    assert levels_of("us", 0.0) == ()


def test_states_that_areas_name_are_shown_else_the_brightest(utility: tuple[Rig, Scene]) -> None:
    rig, scene = utility
    assert [s.id for s in lit_states(rig, scene.lighting)] == ["on-scene-hatch"]
    bare = replace(rig, build=rig.build.model_copy(update={"scene": []}))
    assert [s.id for s in lit_states(bare, scene.lighting)] == ["on-scene-hatch"]
    dark = replace(bare, states=tuple(s for s in rig.states if s.id == "parked-off"))
    assert lit_states(dark, scene.lighting) == ()
