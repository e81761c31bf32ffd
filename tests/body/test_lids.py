"""Lids of a build: chosen springs, ends at their worst, and what cannot be."""

from __future__ import annotations

import math

import pytest

from rigbook.body import lids, work_out
from rigbook.rig.model import Rig
from tests.body.test_explain import agree
from tests.rig.small import PARTS, build_text, errors, load, worked

SPRINGS = PARTS + "".join(
    f"  - {{id: strut-{f}, kind: gas-spring, title: Spring, mass: 0.3 kg, size: [18 mm, 18 mm, 420 mm], force: {f} N, stroke: 160 mm, ratio: 1.25}}\n"
    for f in (60, 120, 200)
)
ROWS = "  - {id: board-1, part: plate, at: [2.5 m, 0 m, 0.7 m]}\n"
TEXT = """lids:
  - id: board
    board: board-1
    mass: 7.6 kg
    length: 0.6 m
    closed: 0 deg
    open: 85 deg
    springs: {part: strut-120, body: [0.12 m, -0.30 m], radius: 50 mm}
"""


def car(text: str = TEXT) -> Rig:
    return worked(build_text(install=ROWS, more=text), parts=SPRINGS)


def test_a_lid_that_stays_at_both_ends() -> None:
    rig = car()
    found = work_out(rig).lids[0]
    assert found.open_cold_n_m > 0 > found.closed_hot_n_m
    assert found.reaches and not found.goes_over_centre
    assert [p.angle_deg for p in found.points][:: lids.POINTS - 1] == [0, 85]
    assert found.hand_to_open_n == pytest.approx(max(-p.net_n_m for p in found.points) / 0.6)
    assert found.open_cold_n_m < found.points[-1].cold_n_m < found.points[-1].hot_n_m
    assert "spring-reach" not in {n.rule for n in work_out(rig).notes}
    assert agree(rig) > 200


def test_left_open_spring_and_stud_are_the_surest_of_all_that_reach() -> None:
    rig = car(TEXT.replace("part: strut-120, ", "").replace(", radius: 50 mm", ""))
    chosen = work_out(rig).lids[0]
    lid = rig.build.lids[0]
    best = min(chosen.open_cold_n_m, -chosen.closed_hot_n_m)
    tried = 0
    for name in ("strut-60", "strut-120", "strut-200"):
        for mm in range(10, 601, 10):
            swing = lids.swing_of(rig, lid, rig.parts[name], mm / 1000)
            if lids.reaches(swing, rig.parts[name], lid) and not lids.over_centre(swing, lid):
                tried += 1
                wide, shut = lids.extremes_n_m(lid, swing)
                assert min(wide, -shut) <= best + 1e-9
    assert tried > 5 and chosen.reaches
    agree(rig)


ROOM = "body: auto, room: {out: [0.06 m, 0.16 m], up: [-0.32 m, -0.22 m]}"


def test_the_stud_on_the_body_is_the_surest_of_its_room() -> None:
    text = TEXT.replace("part: strut-120, body: [0.12 m, -0.30 m], radius: 50 mm", ROOM)
    rig = car(text)
    chosen, lid = work_out(rig).lids[0], rig.build.lids[0]
    best = min(chosen.open_cold_n_m, -chosen.closed_hot_n_m)
    assert 0.06 <= chosen.body_out_m <= 0.16 + 1e-9 and -0.32 <= chosen.body_up_m <= -0.22 + 1e-9
    assert chosen.reaches and not chosen.goes_over_centre
    tried = 0
    for name in ("strut-60", "strut-120", "strut-200"):
        for body in lids.bodies_of(lid)[::3]:
            for stud in lids.studs_of(lid)[:30]:
                swing = lids.swing_of(rig, lid, rig.parts[name], stud, body)
                if lids.reaches(swing, rig.parts[name], lid) and not lids.over_centre(swing, lid):
                    tried += 1
                    wide, shut = lids.extremes_n_m(lid, swing)
                    assert min(wide, -shut) <= best + 1e-9, "all at once finds what one by one would"
    assert tried > 100
    agree(rig)


def test_the_hand_at_its_worst_is_colder_and_hotter_than_at_20_c() -> None:
    found = work_out(car()).lids[0]
    assert found.hand_to_open_cold_n > found.hand_to_open_n > 0
    assert found.hand_to_close_hot_n > found.hand_to_close_n > 0
    lid, rig = car().build.lids[0], car()
    strong = lids.swing_of(rig, lid, rig.parts["strut-120"], 0.05)
    most = max(
        1.1 * strong.count * strong.force_of_one_n(a, 60) * strong.signed_arm_m(a) - strong.weight_n_m(a)
        for a in lids.angles(lid)
    )
    assert found.hand_to_close_hot_n == pytest.approx(most / 0.6)


@pytest.mark.parametrize(("closed", "opened"), [("0 deg", "85 deg"), ("-90 deg", "10 deg"), ("90 deg", "175 deg")])
def test_boards_that_lie_hang_and_stand(closed: str, opened: str) -> None:
    text = TEXT.replace("closed: 0 deg", f"closed: {closed}").replace("open: 85 deg", f"open: {opened}")
    found = work_out(car(text)).lids[0]
    shut, wide = float(closed.split()[0]), float(opened.split()[0])
    weight = 7.6 * 9.80665 * 0.3
    first, last = found.points[0], found.points[-1]
    springs = [2 * p.spring_n * p.arm_m for p in (first, last)]
    assert first.net_n_m == pytest.approx(springs[0] - weight * math.cos(math.radians(shut)), abs=1e-9)
    assert last.net_n_m == pytest.approx(springs[1] - weight * math.cos(math.radians(wide)), abs=1e-9)


def test_a_spring_that_cannot_reach_and_one_that_goes_over_centre() -> None:
    far = work_out(car(TEXT.replace("radius: 50 mm", "radius: 500 mm")))
    assert not far.lids[0].reaches
    assert [n.severity for n in far.notes if n.rule == "spring-reach"] == ["fail"]
    over = work_out(car(TEXT.replace("body: [0.12 m, -0.30 m]", "body: [0.30 m, 0.30 m]")))
    assert over.lids[0].goes_over_centre
    assert "spring-over-centre" in {n.rule for n in over.notes}


BAD = [
    ("body: [0.12 m, -0.30 m]", "body: auto", "needs the room"),
    ("body: [0.12 m, -0.30 m]", "body: [0.12 m, -0.30 m], room: {out: [0 m, 0.1 m], up: [0 m, 0.1 m]}", "left open"),
    ("body: [0.12 m, -0.30 m]", "body: auto, room: {out: [0.2 m, 0.1 m], up: [0 m, 0.1 m]}", "ends before it begins"),
    ("body: [0.12 m, -0.30 m]", "body: auto, room: {out: [0 m, 2 m], up: [0 m, 0.1 m]}", "at most 1 m"),
    ("board: board-1", "board: board-9", "there is no installed board"),
    ("part: strut-120", "part: strut-9", "there is no gas spring"),
    ("part: strut-120", "part: plate", "there is no gas spring"),
    ("open: 85 deg", "open: 0 deg", "opens upward"),
    ("length: 0.6 m", "length: 0 m", "above zero"),
    ("radius: 50 mm", "radius: 700 mm", "beyond the edge"),
    ("radius: 50 mm", "radius: 0 mm", "above zero"),
    ("radius: 50 mm", "radius: 50", "unit"),
    ("mass: 7.6 kg", "centre: 0.7 m", "beyond the edge"),
    ("mass: 7.6 kg", "hottest: -30 C", "hottest is not above"),
    ("radius: 50 mm", "count: 0, radius: 50 mm", "above zero"),
]


@pytest.mark.parametrize(("good", "bad", "says"), BAD)
def test_lids_that_cannot_be(good: str, bad: str, says: str) -> None:
    assert good in TEXT
    text = build_text(install=ROWS, more=TEXT.replace(good, bad))
    told = [str(error) for error in load(text, parts=SPRINGS).errors] or errors(text, parts=SPRINGS)
    assert any(says in error and "builds/unit.yaml:" in error for error in told), told
