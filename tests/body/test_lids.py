"""Lids of a build: chosen springs, ends at their worst, and what cannot be."""

from __future__ import annotations

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


def test_a_spring_that_cannot_reach_and_one_that_goes_over_centre() -> None:
    far = work_out(car(TEXT.replace("radius: 50 mm", "radius: 500 mm")))
    assert not far.lids[0].reaches
    assert [n.severity for n in far.notes if n.rule == "spring-reach"] == ["fail"]
    over = work_out(car(TEXT.replace("body: [0.12 m, -0.30 m]", "body: [0.30 m, 0.30 m]")))
    assert over.lids[0].goes_over_centre
    assert "spring-over-centre" in {n.rule for n in over.notes}


BAD = [
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
