"""What burns in a state and what it lights: poses, inside and outside, areas, hand calculations."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from rigbook.assess.assessment import decide_rig
from rigbook.documents.loader import load_build
from rigbook.documents.schema.lighting import SceneArea, WorkPlane
from rigbook.light.areas import Scene, result_of, scene_of, state_of, worked
from rigbook.light.explain_scene import explain
from rigbook.light.illuminance import UP
from rigbook.light.scene import Lighting, grid_of, lighting_of, plan_of, toward_vehicle, under
from rigbook.rig.model import Rig

SHOP = Path(__file__).resolve().parents[2] / "src/rigbook/data/example_shop"


def opened(name: str) -> tuple[Rig, Scene]:
    loaded = load_build(SHOP, f"builds/{name}.yaml")
    rig, errors = decide_rig(loaded)
    assert not errors and rig is not None
    return rig, scene_of(rig, loaded.light)


@pytest.fixture(scope="module")
def van() -> tuple[Rig, Scene]:
    return opened("flood-support-van")


@pytest.fixture(scope="module")
def utility() -> tuple[Rig, Scene]:
    return opened("duty-officer-utility")


def state(rig: Rig, name: str) -> tuple[int, ...]:
    return state_of(rig, next(s for s in rig.states if s.id == name))


def lit(lighting: Lighting, rig: Rig, name: str) -> dict[str, float]:
    return {lamp.source.id: lamp.share for lamp in lighting.burning(state(rig, name))}


# --- what burns ------------------------------------------------------------------------------------------------------


def test_steady_lamps_count_with_their_intensity_and_flashing_ones_do_not(van: tuple[Rig, Scene]) -> None:
    rig, scene = van
    night = lit(scene.lighting, rig, "on-scene-night")
    assert night["scene-left-front.white"] == 1.0
    assert not [name for name in night if "blue" in name or "amber" in name]
    assert lit(scene.lighting, rig, "blocking") == {}  # warning and arrow flash; nothing else burns
    assert lit(scene.lighting, rig, "patrol")["bar.corner-front-left.blue"] == 0.25


def test_a_lamp_on_a_door_lights_from_where_the_door_is(utility: tuple[Rig, Scene]) -> None:
    rig, scene = utility
    assert set(lit(scene.lighting, rig, "on-scene-hatch")) == {"hatch-light.white.pose-1"}
    for device in scene.lighting.rig.program.devices:
        if device.id == "hatch-light":
            number = scene.lighting.rig.program.devices.index(device)
            assert scene.lighting.pose(number, state(rig, "on-scene-hatch")) == 1
            assert scene.lighting.pose(number, state(rig, "on-scene")) == 0


def test_light_inside_stays_inside_and_light_outside_stays_outside(van: tuple[Rig, Scene]) -> None:
    rig, scene = van
    command = scene.lighting.burning(state(rig, "command-post"))
    behind = np.array([[8.0], [0.0], [0.0]])
    table = np.array([[2.6], [0.6], [1.2]])
    inside = [lamp for lamp in command if lamp.inside]
    assert {lamp.source.device_id for lamp in inside} == {"dome-front", "dome-rear"}
    assert scene.lighting.light(inside, behind, [UP])[0, 0] == 0.0
    assert scene.lighting.light(inside, table, [UP], inside=True)[0, 0] > 20
    night = scene.lighting.burning(state(rig, "on-scene-night"))
    assert scene.lighting.light([b for b in night if not b.inside], table, [UP], inside=True)[0, 0] == 0.0


def test_the_vehicle_shades_the_other_side(van: tuple[Rig, Scene]) -> None:
    rig, scene = van
    left = [lamp for lamp in scene.lighting.burning(state(rig, "on-scene-night")) if "scene-left" in lamp.source.id]
    points = np.array([[3.0, -3.0, 0.0], [3.0, 3.0, 0.0]]).T
    shaded, bare = (scene.lighting.light(left, points, [UP], shaded=s)[0] for s in (True, False))
    assert shaded[0] == bare[0] > 50
    assert shaded[1] == 0.0


# --- grids -----------------------------------------------------------------------------------------------------------


def test_points_stand_in_the_middle_of_equal_cells(van: tuple[Rig, Scene]) -> None:
    rig, _ = van
    area = SceneArea(id="a", ground=((10.0, 4.0), (14.0, 2.0)), state="on-scene-night", least=1, spacing=0.5)
    grid = grid_of(area, rig.vehicle)
    assert grid.points_m.shape == (3, 16 * 8)  # a quarter of a metre: eight cells along the shorter side at least
    assert grid.spacing_m == pytest.approx(0.25)
    assert grid.cell_m2 * grid.points_m.shape[1] == pytest.approx(8.0)
    assert grid.points_m[0].min() == pytest.approx(10.125) and grid.points_m[1].max() == pytest.approx(3.875)
    assert set(grid.points_m[2]) == {0.0}


def test_a_plane_lies_where_its_facing_and_tilt_put_it(van: tuple[Rig, Scene]) -> None:
    rig, _ = van
    wall = WorkPlane(at=(5.0, 1.0, 1.2), size=(0.6, 0.4), facing=90.0, tilt=0.0)
    grid = grid_of(SceneArea(id="a", plane=wall, state="on-scene-night", least=1), rig.vehicle)
    assert grid.normal == pytest.approx((0, 1, 0), abs=1e-12)
    assert grid.points_m[1] == pytest.approx(np.ones(grid.points_m.shape[1]))
    assert np.ptp(grid.points_m[0]) == pytest.approx(0.55) and np.ptp(grid.points_m[2]) == pytest.approx(0.35)
    table = WorkPlane(at=(5.0, 1.0, 1.2), size=(0.6, 0.4))
    flat = grid_of(SceneArea(id="a", plane=table, state="on-scene-night", least=1), rig.vehicle)
    assert flat.normal == pytest.approx((0, 0, 1), abs=1e-12) and np.ptp(flat.points_m[2]) == pytest.approx(
        0, abs=1e-12
    )


def test_what_the_vehicle_covers_does_not_count(van: tuple[Rig, Scene]) -> None:
    rig, scene = van
    front, rear, left, right = plan_of(rig.vehicle)
    half = SceneArea(id="a", ground=((front, 0.0), (rear, 2 * right)), state="on-scene-night", least=1)
    found = worked(scene.lighting, half)
    assert found is not None
    assert result_of(scene.lighting, found).area_m2 == pytest.approx((rear - front) * right)
    assert worked(scene.lighting, SceneArea(id="a", ground=((0, 0), (1, 0.5)), state="on-scene-night", least=1)) is None
    points = np.array([[0.0, 0.0, 0.0], [9.0, 0.0, 0.0], [0.0, -2.0, 0.0]]).T
    assert list(under(rig.vehicle, points)) == [True, False, False]
    toward = toward_vehicle(rig.vehicle, points)
    assert toward[:, 1] == pytest.approx((-1, 0, 0)) and toward[:, 2] == pytest.approx((0, 1, 0))
    assert left == -right


# --- figures ---------------------------------------------------------------------------------------------------------


def test_figures_of_an_area_hang_together(van: tuple[Rig, Scene]) -> None:
    _, scene = van
    assert len(scene.results) == len(scene.lighting.rig.build.scene) >= 5
    for row in scene.results:
        assert 0 <= row.minimum_lx <= row.average_lx <= row.maximum_lx
        assert row.average_lx <= row.unshaded_average_lx + 1e-9
        assert row.uniformity == pytest.approx(row.minimum_lx / row.average_lx)
        assert sum(lamp.average_lx for lamp in row.lamps) == pytest.approx(row.average_lx)
        assert (row.vertical_average_lx is None) == (scene.worked[row.name].area.plane is not None)


def test_every_figure_has_its_hand_calculation(van: tuple[Rig, Scene]) -> None:
    _, scene = van
    keys = ("average_lx", "minimum_lx", "maximum_lx", "uniformity", "vertical_average_lx", "vertical_minimum_lx",
            "unshaded_average_lx", "area_m2", "spacing_m")  # fmt: skip
    asked = 0
    for row in scene.results:
        for key in keys:
            value = getattr(row, key)
            figure = f"light.scene[{row.name}].{key}"
            if value is None:
                with pytest.raises(KeyError):
                    explain(figure, scene)
                continue
            working = explain(figure, scene)
            assert working.result == pytest.approx(value) and working.figure_id == figure
            asked += 1
        for lamp in row.lamps:
            assert explain(f"light.scene[{row.name}].lamps[{lamp.id}].average_lx", scene).result == pytest.approx(
                lamp.average_lx
            )
    assert asked >= 40


def test_the_hand_calculation_of_the_darkest_point_adds_up(van: tuple[Rig, Scene]) -> None:
    """E = I cos(theta) / d^2 by each lamp, from the numbers that the working shows."""
    _, scene = van
    row = scene.results[0]
    working = explain(f"light.scene[{row.name}].minimum_lx", scene)
    total = 0.0
    for step in working.steps:
        if not isinstance(step, str):
            value = {i.symbol: float(i.value) for i in step.inputs if isinstance(i.value, float)}
            total += value["I"] * value["cos(theta)"] / value["d"] ** 2
    assert total == pytest.approx(row.minimum_lx, rel=1e-9)


def test_an_id_that_is_none_is_refused(van: tuple[Rig, Scene]) -> None:
    for figure in (
        "light.scene[nowhere].average_lx",
        "light.scene[behind].colour",
        "light.scene",
        "light.scene[behind].lamps[x].average_lx",
    ):
        with pytest.raises(KeyError):
            explain(figure, van[1])


def test_an_area_under_the_vehicle_has_a_caution_and_no_figures(van: tuple[Rig, Scene]) -> None:
    rig, _ = van
    covered = SceneArea(id="sump", ground=((0, 0), (1, 0.5)), state="on-scene-night", least=1)
    build = rig.build.model_copy(update={"scene": [covered]})
    from dataclasses import replace

    scene = scene_of(replace(rig, build=build), {})
    assert scene.results == ()
    assert [(n.rule, n.subject, n.severity) for n in scene.notes if n.severity == "caution"] == [
        ("scene-area-covered", "sump", "caution")
    ]


def test_lamps_whose_light_is_not_known_are_told(van: tuple[Rig, Scene]) -> None:
    """Without its photometric file a scene lamp counts as dark, and a note says so; nothing crashes."""
    rig, scene = van
    dark = scene_of(rig, {})
    assert {n.subject for n in dark.notes if n.rule == "scene-light-unknown"} >= {"scene-left-front.white"}
    assert dark.results[0].average_lx < scene.results[0].average_lx


def test_equal_input_gives_equal_figures(van: tuple[Rig, Scene]) -> None:
    rig, scene = van
    loaded = load_build(SHOP, "builds/flood-support-van.yaml")
    assert scene_of(rig, loaded.light).results == scene.results
    assert len(lighting_of(rig, loaded.light)[1]) >= 1
