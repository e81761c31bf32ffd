"""The light of one state agrees with the areas, the map and the grid that it is put together from."""

from __future__ import annotations

import numpy as np
import pytest

from rigbook.light.areas import Scene
from rigbook.light.contours import contours
from rigbook.light.ground import ground_map
from rigbook.light.now import Now, Present
from rigbook.rig.model import Rig
from tests.light.test_scene import opened, state


@pytest.fixture(scope="module")
def van() -> tuple[Rig, Scene]:
    return opened("flood-support-van")


@pytest.fixture(scope="module")
def present(van: tuple[Rig, Scene]) -> Present:
    return Present(van[0])


@pytest.fixture(scope="module")
def night(van: tuple[Rig, Scene], present: Present) -> Now:
    return present.now(state(van[0], "on-scene-night"))


def test_areas_of_their_own_state_have_the_figures_of_the_results(van: tuple[Rig, Scene], night: Now) -> None:
    judged = {row.name: row for row in van[1].results if row.state == "on-scene-night"}
    found = {row.name: row for row in night.areas}
    assert len(judged) >= 4 and {name: found[name] for name in judged} == judged


def test_lines_are_those_of_the_map(van: tuple[Rig, Scene], present: Present, night: Now) -> None:
    burning = present.lighting.burning(state(van[0], "on-scene-night"))
    found = ground_map(present.lighting, burning)
    level = night.levels[3]
    (same,) = contours(found.x_m, found.y_m, found.level_lx, [level.lux])
    assert same.lines == level.lines and night.brightest_lx == found.level_lx.max()
    assert [each.text for each in night.levels][:2] == ["0.1 fc", "0.2 fc"]


def test_zones_add_their_nineteen_points_and_steady_light_does_not_warn(
    van: tuple[Rig, Scene], present: Present, night: Now
) -> None:
    total = np.sum(list(night.around.values()), axis=0)
    front = next(z for z in night.zones if (z.zone, z.level) == ("front", "all"))
    assert front.cd_s_per_min == pytest.approx(sum(total[b % 72] for b in range(-9, 10)))
    assert front.point_cd_s_per_min == pytest.approx(min(total[b % 72] for b in range(-9, 10)))
    assert "white" not in night.around  # the white of this state burns steadily
    assert present.now(state(van[0], "patrol")).around == {}


def test_a_lost_signal_counts(van: tuple[Rig, Scene], present: Present) -> None:
    """With the gear lost no function knows that the vehicle stands, and scene light goes out."""
    names = [v.name for v in van[0].program.variables]
    lost = present.now(state(van[0], "on-scene-night"), frozenset({names.index("gear")}))
    assert not [b for b in lost.burning if "scene" in b.source.tags]
    assert lost.brightest_lx < present.now(state(van[0], "on-scene-night")).brightest_lx


def test_one_state_after_another_gives_the_same(van: tuple[Rig, Scene], present: Present, night: Now) -> None:
    present.now(state(van[0], "rear-work"))
    again = present.now(state(van[0], "on-scene-night"))
    assert again.levels == night.levels and again.areas == night.areas and again.zones == night.zones
