"""Faces of a build: gaps, edges, depth, reach, swing, what comes out first."""

from __future__ import annotations

import math

import pytest

from rigbook.body import face_fit, work_out
from rigbook.rig.model import Rig
from tests.body.test_explain import agree
from tests.rig.faced import car, cupboard_text, face_text
from tests.rig.small import VEHICLE

PAIR = (
    "{id: keys-1, part: keys-cut, on: {panel: dash-plate, at: [110 mm, 65 mm]}}\n"
    "  - {id: plug-1, part: plug, on: {panel: dash-plate, at: [230 mm, 65 mm]}}"
)


def found(rig: Rig, panel: int = 0) -> dict[str, face_fit.FaceItem]:
    return {item.id: item for item in work_out(rig).panels[panel].items}


def rules(rig: Rig) -> dict[tuple[str, str], str]:
    return {(n.rule, n.subject): n.says for n in work_out(rig).notes}


def test_two_things_on_a_face_by_hand() -> None:
    rig = car(face_text(PAIR))
    items = found(rig)
    assert items["keys-1"].gap_m == pytest.approx(0.230 - 0.020 - 0.110 - 0.090)
    assert items["keys-1"].nearest == "plug-1" and items["plug-1"].nearest == "keys-1"
    assert items["plug-1"].edge_m == pytest.approx(0.260 - 0.230 - 0.0145)
    assert items["keys-1"].edge_m == pytest.approx(min(0.110 - 0.085, 0.020 + 0.010))
    assert items["plug-1"].needs_m == pytest.approx(0.055 + 0.040) and items["plug-1"].room_m == 0.15
    seat = rig.vehicle.seats[0].at
    at = rig.devices["plug-1"].placement.at
    there = items["plug-1"].reach_m
    assert there is not None and abs(there - math.dist(seat, (at.x_m, at.y_m, at.z_m))) < 0.03
    assert work_out(rig).panels[0].used_share == pytest.approx((0.18 * 0.06 + 0.04 * 0.04) / (0.26 * 0.13))
    assert agree(rig) > 60


def test_overlap_is_below_zero_by_how_far_one_must_move() -> None:
    items = found(car(face_text(PAIR.replace("230 mm", "210 mm"))))
    assert items["keys-1"].gap_m == pytest.approx(-0.010) and items["plug-1"].gap_m == pytest.approx(-0.010)


def test_what_stands_behind_takes_the_room() -> None:
    box = "\n  - {id: behind-1, part: plate, at: [0.45 m, 0.1 m, 0.8 m], facing: 180 deg, inside: yes, node: middle}"
    rig = car(face_text(PAIR + box))
    items = found(rig)
    assert items["keys-1"].behind == "behind-1" and items["keys-1"].room_m < 0.15
    assert found(car(face_text(PAIR + box.replace("0.45 m", "0.30 m"))))["keys-1"].behind is None
    keep = "  keep_out:\n    - {id: line, why: brake line, box: [[0.55 m, 0 m, 0.7 m], [0.6 m, 0.3 m, 1.1 m]]}\n"
    assert found(car(face_text(PAIR), vehicle=VEHICLE + keep))["keys-1"].behind == "line (brake line)"


def test_legends_are_the_labels_of_the_switches_or_what_is_written() -> None:
    switches = (
        "switching:\n  switches:\n    - {id: heat, label: HEAT, kind: latching, link: keys-1}\n"
        "    - {id: pump, label: A VERY LONG LEGEND INDEED FOR SO SMALL A KEY, kind: latching, link: keys-1}\n"
    )
    rig = car(face_text(PAIR, more=switches))
    item = found(rig)["keys-1"]
    assert item.legends == ("HEAT", "A VERY LONG LEGEND INDEED FOR SO SMALL A KEY")
    assert item.letter_m is not None and item.letter_m < 0.0055
    many = "switching:\n  switches:\n" + "".join(
        f"    - {{id: s{i}, label: QUITE A LONG ONE FOR A KEY {i}, kind: latching, link: keys-1}}\n" for i in range(8)
    )
    crowded = car(face_text(PAIR, more=many))
    small = found(crowded)["keys-1"].letter_m
    assert small is not None and small < face_fit.LEAST_LETTER_M
    assert ("legend-small", "dash-plate-keys-1") in rules(crowded)
    written = found(car(face_text(PAIR.replace("[230 mm, 65 mm]", "[230 mm, 65 mm], legend: 12 V"))))["plug-1"]
    assert written.legends == ("12 V",) and written.letter_m == 0.003
    agree(rig)


DRAWERS = (
    "{id: drawer-a, part: drawer-1, on: {panel: front, at: [300 mm, 700 mm]}}\n"
    "  - {id: drawer-b, part: drawer-1, on: {panel: front, at: [300 mm, 300 mm]}}"
)
MOVES = "    moves: [{of: drawer-a, out: 350 mm}, {of: drawer-b, out: 350 mm}]\n"


def test_a_drawer_is_blocked_by_what_stands_before_it_and_not_by_its_own_cupboard() -> None:
    free = car(cupboard_text(DRAWERS, MOVES))
    assert [m.blocked_by for m in work_out(free).panels[0].moves] == [(), ()]
    box = "\n  - {id: crate, part: plate, at: [2.5 m, -0.1 m, 0.75 m], facing: 180 deg, inside: yes, node: rear}"
    rig = car(cupboard_text(DRAWERS + box, MOVES))
    assert [m.blocked_by for m in work_out(rig).panels[0].moves] == [(), ("crate",)]
    assert "crate" in rules(rig)[("swing-blocked", "front-drawer-b")]
    agree(rig)


def test_a_door_by_its_hinge() -> None:
    door = "{id: door-a, part: door-1, on: {panel: front, at: [300 mm, 450 mm]}}"
    crate = "\n  - {id: crate, part: plate, at: [2.30 m, 0.05 m, 0.9 m], facing: 180 deg, inside: yes, node: rear}"
    left = car(cupboard_text(door + crate, "    moves: [{of: door-a, hinge: left, angle: 90 deg}]\n"))
    right = car(cupboard_text(door + crate, "    moves: [{of: door-a, hinge: right, angle: 10 deg}]\n"))
    assert [m.blocked_by for m in work_out(left).panels[0].moves] == [("crate",)]
    assert work_out(right).panels[0].moves[0].stands_out_m == pytest.approx(0.5 * math.sin(math.radians(10)))
    assert work_out(right).panels[0].moves[0].blocked_by == (), "it opens away from the crate"


def test_what_must_come_out_to_reach_what() -> None:
    behind = (
        "{id: radio-1, part: radio, at: [2.5 m, 0.67 m, 0.9 m], facing: 270 deg, inside: yes, node: rear}\n"
        "  - {id: crate, part: plate, at: [2.5 m, 0.42 m, 0.9 m], facing: 180 deg, inside: yes, node: rear}"
    )
    rig = car(cupboard_text(behind, "    holds: [radio-1, crate]\n"))
    service = {s.id: s for s in work_out(rig).panels[0].service}
    assert service["radio-1"].takes_out == ("crate",) and service["crate"].takes_out == ()
    told = [n for n in work_out(rig).notes if n.rule == "reached-behind"]
    assert [(n.severity, n.subject) for n in told] == [("caution", "front-radio-1")]
    top = car(cupboard_text(behind, "    holds: [radio-1, crate]\n    access: [front, top]\n"))
    assert work_out(top).panels[0].service[0].side == "top" and not work_out(top).panels[0].service[0].takes_out
    drawer = "{id: drawer-a, part: drawer-1, on: {panel: front, at: [300 mm, 450 mm]}}\n  - {id: radio-1, part: radio, at: [2.5 m, 0.75 m, 0.9 m], facing: 270 deg, inside: yes, node: rear}"
    pulled = car(cupboard_text(drawer, "    holds: [radio-1]\n    moves: [{of: drawer-a, out: 350 mm}]\n"))
    assert work_out(pulled).panels[0].service[0].opens == ("drawer-a",)
