"""Joints of a build: loads by the rule, the weakest link on record, and what cannot be."""

from __future__ import annotations

from dataclasses import replace

import pytest

from rigbook.body import mounts, work_out
from rigbook.quantities.units import STANDARD_GRAVITY_M_S2
from rigbook.rig.model import Rig
from tests.body.test_explain import agree
from tests.rig.small import build_text, errors, load, worked

ROWS = "  - {id: box-1, part: plate, at: [2.5 m, 0 m, 0.7 m]}\n"
JOINT = """mounts:
  - id: joint
    holds: [box-1]
    bolts: [[2.4 m, -0.1 m, 0.6 m], [2.6 m, -0.1 m, 0.6 m], [2.4 m, 0.1 m, 0.6 m], [2.6 m, 0.1 m, 0.6 m]]
    bolt: M6
    sheet: {thickness: 1.2 mm, edge: 20 mm}
"""


def car(joint: str = JOINT) -> Rig:
    return worked(build_text(install=ROWS, more=joint))


def test_loads_by_the_rule_and_the_weakest_link() -> None:
    rig = car()
    found = work_out(rig).mounts[0]
    assert found.mass_kg == 4
    assert {d.id: d.factor for d in found.directions} == {
        "forward": 9,
        "rearward": 9,
        "left": 3,
        "right": 3,
        "up": 3,
        "down": 3,
    }
    worst = max(found.directions, key=lambda d: d.used_share or 0)
    assert (found.worst, found.weakest, found.load_n) == (
        worst.id,
        worst.link,
        pytest.approx(36 * STANDARD_GRAVITY_M_S2),
    )
    assert found.reserve == pytest.approx(found.capacity_n / found.load_n - 1)  # type: ignore[operator]
    assert agree(rig) > 100


def test_reserve_falls_with_the_mass_and_rises_with_bolts() -> None:
    rig = car()
    heavy = replace(rig, masses=tuple(replace(m, mass_kg=3 * m.mass_kg) if m.id == "box-1" else m for m in rig.masses))
    assert work_out(heavy).mounts[0].reserve + 1 == pytest.approx((work_out(rig).mounts[0].reserve + 1) / 3)  # type: ignore[operator]
    thick = car(JOINT.replace("bolt: M6", "bolt: M8").replace("1.2 mm", "2 mm"))
    assert work_out(thick).mounts[0].reserve > work_out(rig).mounts[0].reserve  # type: ignore[operator]


def test_every_side_a_thing_may_stand_off_to() -> None:
    """The same joint turned to the roof, a wall and back: straight pull stays pull, push stays push."""
    rig = car()
    for side, pull in {
        "up": "up",
        "down": "down",
        "ahead": "forward",
        "back": "rearward",
        "left": "left",
        "right": "right",
    }.items():
        mount = rig.build.mounts[0].model_copy(update={"stands_off": side, "rule": "any-direction"})
        axis = mounts._AXIS[side][0]
        points = [
            tuple(p[(k - axis - 1) % 3] if k != axis else 0.65 for k in range(3))
            for p in [(x, y, 0) for x in (-0.1, 0.1) for y in (-0.1, 0.1)]
        ]
        at = [0.65] * 3
        for k in range(3):
            if k != axis:
                at[k] = 0.0
        mount = mount.model_copy(update={"bolts": points})
        moved = replace(rig, masses=tuple(replace(m, at=type(m.at)(*at)) if m.id == "box-1" else m for m in rig.masses))
        found = {d: mounts.direction(moved, mount, d) for d in mounts.WAYS}
        straight = found[pull]
        assert straight is not None and straight.link in ("sheet in pull-through", "bolt"), side
        back = {
            "up": "down",
            "down": "up",
            "forward": "rearward",
            "rearward": "forward",
            "left": "right",
            "right": "left",
        }[pull]
        assert (found[back].used_share or 0) < (straight.used_share or 0), side  # type: ignore[union-attr]


def test_rivet_nuts_brackets_and_torques() -> None:
    nut = car(JOINT + "    fastening: rivet-nut-hex\n")
    assert (nut_found := work_out(nut).mounts[0]).weakest == "rivet nut in the sheet"
    assert nut_found.torque_n_m == pytest.approx(8.6)
    tested = car(JOINT + "    fastening: rivet-nut-hex\n    pull_out: 5 kN\n    torque: 6 N m\n")
    assert work_out(tested).mounts[0].reserve > nut_found.reserve  # type: ignore[operator]
    assert work_out(tested).mounts[0].torque_n_m == 6
    weak = car(JOINT + "    bracket: {count: 2, arm: 80 mm, width: 25 mm, thickness: 3 mm}\n")
    found = work_out(weak).mounts[0]
    assert found.weakest == "bracket in bending"
    forward = next(d for d in found.directions if d.id == "forward")
    force = 4 * STANDARD_GRAVITY_M_S2 * (81 + 1) ** 0.5
    assert forward.used_share == pytest.approx(6 * force / 2 * 80 / (25 * 9) / 235)
    assert work_out(car()).mounts[0].torque_n_m == pytest.approx(0.2 * 0.006 * 0.75 * 11600)
    for rig in (nut, tested, weak, car(JOINT + "    torque: 9 N m\n")):
        agree(rig)


def test_bolts_in_one_line_and_heavy_things_without_a_joint_are_told() -> None:
    line = JOINT.replace(", [2.4 m, 0.1 m, 0.6 m], [2.6 m, 0.1 m, 0.6 m]", "")
    assert line != JOINT
    result = work_out(car(line))
    assert result.mounts[0].reserve is None
    assert "mount-in-line" in {n.rule for n in result.notes}
    bar = worked(build_text(install="  - {id: bar-1, part: bar, place: roof, feed: box-feed, controller: control}\n"))
    assert [n.subject for n in work_out(bar).notes if n.rule == "heavy-without-mount"] == ["bar-1"]


BAD = [
    ("holds: [box-1]", "holds: [box-9]", "there is no installed thing box-9"),
    ("holds: [box-1]", "holds: []", "nothing hangs"),
    ("holds: [box-1]", "holds: [box-1]\n    kit: [rope]", "there is no kit rope"),
    ("bolt: M6", "bolt: M7", "M7"),
    ("bolt: M6", "bolt: M4", "no row of proof loads"),
    ("bolt: M6", "bolt: M12\n    fastening: rivet-nut-hex", "no row of spin limits"),
    ("bolt: M6", "bolt: M6\n    rule: crew-are", "crew-area"),
    ("bolt: M6", "bolt: M6\n    pull_out: 5 kN", "of rivet nuts"),
    ("bolt: M6", "bolt: M6\n    class: 12.9", "12.9"),
    ("bolt: M6", "bolt: M6\n    stands_off: sideways", "sideways"),
    ("bolt: M6", "bolt: M6\n    bracket: {arm: 0 mm, width: 20 mm, thickness: 3 mm}", "above zero"),
    ("thickness: 1.2 mm", "thickness: 0 mm", "above zero"),
    ("edge: 20 mm", "edge: 3 mm, hole: 7 mm", "over the edge"),
    ("[2.6 m, -0.1 m, 0.6 m]", "[2.4 m, -0.1 m, 0.6 m]", "two bolts stand in one place"),
]


@pytest.mark.parametrize(("good", "bad", "says"), BAD)
def test_joints_that_cannot_be(good: str, bad: str, says: str) -> None:
    assert good in JOINT
    text = build_text(install=ROWS, more=JOINT.replace(good, bad))
    told = [str(error) for error in load(text).errors] or errors(text)
    assert any(says in error and "builds/unit.yaml:" in error for error in told), told


def test_zero_bolts_and_one_thing_on_two_joints() -> None:
    bare = JOINT[: JOINT.index("    bolts:")] + "    bolts: []\n" + JOINT[JOINT.index("    bolt: M6") :]
    assert any("without bolts" in str(e) for e in load(build_text(install=ROWS, more=bare)).errors)
    second = JOINT + JOINT.replace("mounts:\n", "").replace("id: joint", "id: other")
    assert any("hangs on joint already" in e for e in errors(build_text(install=ROWS, more=second)))
