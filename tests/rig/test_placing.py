"""Places, doors, faces, rows and bars in a whole build."""

from __future__ import annotations

import pytest

from rigbook.rig.model import Point
from tests.rig.small import build_text, errors, opened


def test_a_place_gives_its_facing_level_node_glass_and_zones() -> None:
    rig = opened(build_text(install="  - {id: lamp, part: single, place: side}\n"))
    placed = rig.devices["lamp"].placement
    assert placed.zones == {"right", "rear"}, "zones of the place override those of its facing"
    assert (placed.half, placed.node, placed.glass_share, placed.area) == ("right", "rear", 0.7, "cabin")
    assert placed.closed.facing_deg == 90


def test_a_row_of_its_own_overrides_the_place() -> None:
    row = "  - {id: lamp, part: single, place: corner, facing: 300 deg, tilt: 50 deg, level: upper, inside: yes, area: bay}\n"
    placed = opened(build_text(install=row)).devices["lamp"].placement
    assert placed.zones == {"left"} and placed.closed.seen_zones == frozenset()
    assert (placed.level, placed.inside, placed.area) == ("upper", True, "bay")


def test_a_door_moves_its_lamp_and_shows_it_only_when_level() -> None:
    device = opened(build_text(install="  - {id: lamp, part: single, place: hatch-edge}\n")).devices["lamp"]
    closed, up = device.placement.poses
    assert closed.when is None and closed.zones == {"rear"} and closed.seen_zones == frozenset()
    assert up.when == "hatch" and up.at == Point(4, 0, 1.9) and up.seen_zones == {"rear"}


def test_the_wire_reaches_a_door_in_its_farthest_pose() -> None:
    device = opened(build_text(install="  - {id: lamp, part: single, place: hatch-edge}\n")).devices["lamp"]
    assert device.placement.node_distance_m == pytest.approx((1**2 + 1.3**2) ** 0.5)


def test_a_lamp_turned_in_its_door_keeps_its_turn_when_the_door_opens() -> None:
    row = "  - {id: lamp, part: single, place: hatch-edge, facing: 225 deg, tilt: -30 deg}\n"
    closed, up = opened(build_text(install=row)).devices["lamp"].placement.poses
    assert (closed.facing_deg, closed.tilt_deg) == (225, -30)
    assert (up.facing_deg, up.tilt_deg) == (225, 60)


def test_a_row_is_numbered_from_its_first_lamp() -> None:
    row = "  - {id: stick, part: single, along: {from: [3.2 m, -0.6 m, 1 m], to: [3.2 m, 0.6 m, 1 m], count: 3}, facing: 180 deg}\n"
    devices = opened(build_text(install=row)).devices
    assert [(name, devices[name].placement.half) for name in ("stick.1", "stick.2", "stick.3")] == [
        ("stick.1", "left"), ("stick.2", None), ("stick.3", "right"),
    ]  # fmt: skip
    assert "stick" not in devices


def test_a_bar_places_its_modules_by_its_facing() -> None:
    row = "  - {id: bar, part: bar, at: [2.5 m, 0 m, 1.4 m], facing: 180 deg, node: rear, level: upper, feed: box-feed, controller: control, tags: [warning]}\n"
    devices = opened(build_text(install=row)).devices
    front_left, end_right = devices["bar.front-left"], devices["bar.end-right"]
    # facing rearward, the module ahead of the bar's middle and to its left stands behind it and to the right
    assert front_left.placement.at.x_m == pytest.approx(2.6) and front_left.placement.at.y_m == pytest.approx(0.5)
    assert front_left.placement.zones == {"rear"} and front_left.tags == {"warning", "ahead"}
    assert end_right.placement.zones == {"left"} and end_right.placement.half == "left"
    assert devices["bar"].bought and not front_left.bought and front_left.inside_of == "bar"
    assert front_left.placement.level == "upper"


def test_the_nearest_node_within_reach_is_taken() -> None:
    rig = opened(build_text(install="  - {id: lamp, part: single, at: [1.4 m, 0.3 m, 0.8 m]}\n"))
    assert rig.devices["lamp"].placement.node == "middle"
    assert rig.node_why["lamp"][0] == "auto" and "0.37 m" in rig.node_why["lamp"][1]


def test_beyond_reach_is_an_error_that_names_the_nearest_and_its_distance() -> None:
    (said,) = errors(build_text(install="  - {id: lamp, part: single, at: [1.5 m, 0 m, 1.9 m]}\n"))
    assert "lamp is beyond the reach of 1 m" in said and "the nearest is middle, 1.30 m away" in said
    assert said.startswith("builds/unit.yaml:")


def test_a_node_named_by_a_person_may_be_farther() -> None:
    rig = opened(build_text(install="  - {id: lamp, part: single, at: [1.5 m, 0 m, 1.9 m], node: middle}\n"))
    assert rig.devices["lamp"].placement.node_distance_m == pytest.approx(1.3)


def test_something_without_wires_may_stand_anywhere() -> None:
    rig = opened(build_text(install="  - {id: console, part: plate, at: [1.5 m, 0 m, 1.9 m]}\n"))
    assert rig.devices["console"].placement.node is None


def test_what_sits_on_a_face_is_where_the_face_is() -> None:
    rows = (
        "  - {id: console, part: plate, at: [1.4 m, 0 m, 0.7 m]}\n"
        "  - {id: one, part: single, on: {panel: console, at: [120 mm, 40 mm]}}\n"
        "  - {id: two, part: single, on: {panel: dash}}\n"
    )
    devices = opened(build_text(install=rows)).devices
    assert devices["one"].placement.at == Point(1.4, 0, 0.7)
    assert devices["one"].placement.on_face_m == (0.12, 0.04)
    assert devices["two"].placement.at == Point(0.7, 0.1, 0.9) and devices["two"].placement.on_face_m is None


@pytest.mark.parametrize(
    ("row", "says"),
    [
        ("{id: lamp, part: single, place: noze}", "there is no place noze; the nearest is nose"),
        ("{id: lamp, part: single, place: nose, node: reer}", "there is no route node reer; the nearest is rear"),
        ("{id: lamp, part: single, place: nose, area: cabbin}", "there is no area cabbin; the nearest is cabin"),
        ("{id: lamp, part: singel, place: nose}", "there is no part singel; the nearest is single"),
        ("{id: lamp, part: single, on: {panel: dahs}}", "there is no face, place or installed face dahs; the nearest is dash"),
    ],
)  # fmt: skip
def test_a_place_that_is_not_there_is_an_error(row: str, says: str) -> None:
    assert any(says in said for said in errors(build_text(install=f"  - {row}\n")))


def test_all_errors_come_in_one_go() -> None:
    rows = "  - {id: one, part: single, place: noze}\n  - {id: two, part: single, place: rooof}\n"
    assert len(errors(build_text(install=rows))) == 2


def test_a_factory_lamp_has_no_node_and_its_own_zones() -> None:
    tail = opened(build_text()).devices["tail"]
    assert tail.placement.zones == {"rear"} and tail.placement.node is None and not tail.bought
    assert tail.commanded_when == "gear == drive" and tail.part_id is None
