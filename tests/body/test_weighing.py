"""Weigh tickets: the residual is told, spread with the least change, and the scales stand in place of arithmetic."""

from __future__ import annotations

import random

import pytest

from rigbook.body import balance, statics, weighing, work_out
from rigbook.body.statics import PointLoad
from rigbook.rig.model import Rig
from tests.body.test_balance import LOAD
from tests.body.test_explain import agree
from tests.rig.small import build_text, errors, load, worked

WHEELS = """weighed:
  state: without-crew
  fuel: 100 %
  wheels: {front_left: 480 kg, front_right: 470 kg, rear_left: 360 kg, rear_right: 350 kg}
  whole: 1662 kg
  lifted: {axle: rear, rise: 0.5 m, other: 1010 kg, radius_front: 0.34 m, radius_rear: 0.35 m}
"""
AXLES = "weighed:\n  state: laden\n  axles: {front: 1010 kg, rear: 820 kg}\n"


def car(weighed: str) -> Rig:
    return worked(build_text(install="  - {id: lamp, part: dual, place: nose}\n", more=LOAD + weighed))


def test_the_scales_stand_in_place_of_arithmetic() -> None:
    rig = car(WHEELS)
    result = work_out(rig)
    case = next(c for c in result.cases if c.id == "without-crew")
    assert case.mass_kg == pytest.approx(1660)
    assert (case.front_kg, case.rear_kg) == pytest.approx((950, 710))
    assert case.cg.z_m == pytest.approx(balance.weighed_height_m(rig))
    laden = result.cases[0]
    assert laden.mass_kg == pytest.approx(1660 + 75 + 12)
    assert result.weighed is not None
    assert result.weighed.residual_kg == pytest.approx(
        result.weighed.residual_front_kg + result.weighed.residual_rear_kg
    )
    computed = statics.total_mass_kg(w.load for w in balance.computed_when_weighed(rig))
    assert result.weighed.residual_kg == pytest.approx(1660 - computed)
    agree(rig)


def test_wheels_on_the_ticket_are_the_wheels_of_that_state() -> None:
    rig = car(WHEELS)
    assert balance.wheel_loads_kg(rig, "without-crew") == pytest.approx(
        {"front-left": 480, "front-right": 470, "rear-left": 360, "rear-right": 350}
    )
    assert sum(balance.wheel_loads_kg(rig).values()) == pytest.approx(work_out(rig).mass_kg)
    assert work_out(rig).wheels[0].how == "weighed and changed"


def test_axles_without_sides_leave_the_sides_as_computed() -> None:
    rig = car(AXLES)
    result = work_out(rig)
    assert result.weighed is not None
    assert (result.weighed.residual_left_kg, result.weighed.height_m) == (None, None)
    assert (result.axles[0].load_kg, result.axles[1].load_kg) == pytest.approx((1010, 820))
    agree(rig)


def test_without_a_ticket_nothing_changes() -> None:
    rig = car("")
    assert work_out(rig).weighed is None
    assert balance.weights(rig)[0].load.mass_kg == rig.vehicle.curb.front + rig.vehicle.curb.rear


def test_the_spread_is_the_least_change_that_fits() -> None:
    chance = random.Random(7)
    loads = [PointLoad(chance.uniform(1, 900), chance.uniform(-1, 5), chance.uniform(-1, 1), 1) for _ in range(12)]
    by = weighing.spread_residual(loads, mass_kg=30, moment_x_kg_m=50, moment_y_kg_m=-4)
    changes = [by.of(one).mass_kg - one.mass_kg for one in loads]
    assert sum(changes) == pytest.approx(30)
    assert sum(d * one.x_m for d, one in zip(changes, loads, strict=True)) == pytest.approx(50)
    assert sum(d * one.y_m for d, one in zip(changes, loads, strict=True)) == pytest.approx(-4)
    cost = sum(d * d / one.mass_kg for d, one in zip(changes, loads, strict=True))
    import numpy as np

    rows = np.array([[1.0, one.x_m, one.y_m] for one in loads])
    free = np.linalg.svd(rows.T)[2][3:]
    for direction in free:  # every other change with the same sums costs more
        for step in (-1.0, 1.0):
            other = np.array(changes) + step * direction
            assert sum(d * d / one.mass_kg for d, one in zip(other, loads, strict=True)) > cost


def test_masses_in_one_point_cannot_take_it_up() -> None:
    with pytest.raises(ValueError, match="one line"):
        weighing.spread_residual([PointLoad(1, 1, 0, 0)], mass_kg=1, moment_x_kg_m=3, moment_y_kg_m=None)


BAD = [
    (
        "wheels: {front_left: 480 kg, front_right: 470 kg, rear_left: 360 kg, rear_right: 350 kg}",
        "wheels: {front_left: 480 kg, front_right: 470 kg, rear_left: 360 kg, rear_right: 0 kg}",
        "above zero",
    ),
    ("whole: 1662 kg", "whole: 1762 kg", "differ by more than"),
    ("other: 1010 kg", "other: 900 kg", "gains when the other is lifted"),
    ("other: 1010 kg", "other: 1700 kg", "more than the whole vehicle"),
    ("rise: 0.5 m", "rise: 0 m", "above zero"),
    ("rise: 0.5 m", "rise: 3 m", "wheelbase"),
    ("state: without-crew", "state: half-laden", "half-laden"),
    ("fuel: 100 %", "axles: {front: 900 kg, rear: 760 kg}", "a weighing has wheels or axles"),
]


@pytest.mark.parametrize(("good", "bad", "says"), BAD)
def test_tickets_that_cannot_be(good: str, bad: str, says: str) -> None:
    assert good in WHEELS
    text = build_text(install="  - {id: lamp, part: dual, place: nose}\n", more=LOAD + WHEELS.replace(good, bad))
    found = load(text).errors
    told = [str(error) for error in found] or errors(text)
    assert any(says in error and "builds/unit.yaml:" in error for error in told), told
