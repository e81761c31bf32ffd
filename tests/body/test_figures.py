"""The run over a rig."""

from __future__ import annotations

from dataclasses import replace

import pytest

from rigbook.body import balance, work_out
from tests.body.test_balance import car


def test_margins_and_masses_fit_together() -> None:
    rig = car()
    result = work_out(rig)
    front, rear = result.axles
    assert (front.id, rear.id) == ("front", "rear")
    assert front.load_kg + rear.load_kg == pytest.approx(result.mass_kg)
    for axle in result.axles:
        assert axle.margin_kg == pytest.approx(axle.rating_kg - axle.load_kg)
    assert result.payload_remaining_kg == pytest.approx(rig.vehicle.ratings.gvwr - result.mass_kg)
    assert result.cg.x_m == pytest.approx(2.7 * rear.load_kg / result.mass_kg)


def test_stability_before_and_after() -> None:
    rig = car()
    result = work_out(rig)
    assert result.curb_stability_factor == pytest.approx(1.595 / 2 / 0.64)
    assert result.stability_factor == pytest.approx(1.595 / 2 / result.cg.z_m)


def test_two_loadings_lightest_last() -> None:
    laden, light = work_out(car()).cases
    assert laden.mass_kg - light.mass_kg == pytest.approx(75 + 12)
    assert laden.front_kg + laden.rear_kg == pytest.approx(laden.mass_kg)
    assert laden.front_share == pytest.approx(laden.front_kg / laden.mass_kg)


def test_the_added_weight_threshold() -> None:
    rig = car()
    result = work_out(rig)
    # GVWR 4,900 lb: 1.5 % is 73.5 lb, less than 100 lb
    assert result.added_threshold_kg == pytest.approx(73.5 * 0.45359237)
    assert not result.added_beyond_threshold
    heavy = tuple(replace(m, mass_kg=m.mass_kg + 50) if m.why == "equipment" else m for m in rig.masses)
    assert work_out(replace(rig, masses=heavy)).added_beyond_threshold


def test_what_was_taken_for_granted_is_told() -> None:
    rig = car()
    assert {note.rule for note in work_out(rig).notes} == {"balance-assumed"}
    doubled = rig.vehicle.tyres.model_copy(update={"count_rear": 4})
    other = replace(rig, vehicle=rig.vehicle.model_copy(update={"tyres": doubled}))
    result = work_out(other)
    assert result.axles[1].tyre_kg is None and balance.tyre_capacity_kg(other, "front") is not None
    assert "tyres-not-worked-out" in {note.rule for note in result.notes}
