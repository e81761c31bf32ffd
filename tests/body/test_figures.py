"""The run over a rig."""

from __future__ import annotations

from dataclasses import replace

import pytest

from rigbook.body import balance, work_out
from rigbook.rig.model import Point
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


def test_every_loading_fits_together() -> None:
    rig = car()
    cases = {case.id: case for case in work_out(rig).cases}
    assert list(cases) == list(balance.STATES)
    laden, light = cases["laden"], cases["without-crew"]
    assert laden.mass_kg - light.mass_kg == pytest.approx(75 + 12)
    assert laden.mass_kg - cases["with-crew"].mass_kg == pytest.approx(12)
    assert laden.mass_kg - cases["laden-empty-tank"].mass_kg == pytest.approx(50 * 0.75)
    assert cases["as-delivered"].mass_kg == pytest.approx(rig.vehicle.curb.front + rig.vehicle.curb.rear)
    for case in cases.values():
        assert case.front_kg + case.rear_kg == pytest.approx(case.mass_kg)
        assert case.front_share == pytest.approx(case.front_kg / case.mass_kg)
        assert case.margin_kg == pytest.approx(rig.vehicle.ratings.gvwr - case.mass_kg)
        assert case.cg.x_m == pytest.approx(2.7 * case.rear_kg / case.mass_kg)
        assert 0 < case.tilt_deg < 90 and 0 < (case.rollover_share or 0) < 1


def test_things_add_up_to_the_difference_from_the_curb() -> None:
    rig = car()
    result = work_out(rig)
    assert sum(item.mass_kg for item in result.items) == pytest.approx(
        result.mass_kg - rig.vehicle.curb.front - rig.vehicle.curb.rear
    )
    assert sum(item.front_kg for item in result.items) == pytest.approx(
        result.axles[0].load_kg - rig.vehicle.curb.front
    )


def test_wheels_add_up_to_their_axles_and_lean_to_the_heavy_side() -> None:
    result = work_out(car())
    wheels = {wheel.id: wheel.load_kg for wheel in result.wheels}
    assert wheels["front-left"] + wheels["front-right"] == pytest.approx(result.axles[0].load_kg)
    assert wheels["rear-left"] + wheels["rear-right"] == pytest.approx(result.axles[1].load_kg)
    assert (wheels["front-left"] > wheels["front-right"]) == (result.left_share > 0.5)
    assert {wheel.how for wheel in result.wheels} == {"assumed"}


def test_weight_beyond_the_wheelbase_lifts_an_axle() -> None:
    far = tuple(replace(m, mass_kg=4000, at=Point(6, 0, 1)) if m.why == "kit" else m for m in car().masses)
    found = work_out(replace(car(), masses=far))
    assert {(n.subject, n.severity) for n in found.notes if n.rule == "axle-lifts"} == {
        ("front-axle-laden", "fail"),
        ("front-axle-laden-empty-tank", "fail"),
    }


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
