"""Statics by their properties; worked examples: tests/outside."""

from __future__ import annotations

import math
import random

import pytest

from rigbook.body import statics
from rigbook.body.statics import PointLoad


def random_loads(rng: random.Random) -> list[PointLoad]:
    return [
        PointLoad(rng.uniform(1, 900), rng.uniform(-1, 5), rng.uniform(-1, 1), rng.uniform(0.2, 2)) for _ in range(9)
    ]


def test_axles_carry_everything_and_balance_about_the_centre() -> None:
    rng = random.Random(2)
    for _ in range(50):
        loads = random_loads(rng)
        front, rear = statics.axle_loads_kg(loads, wheelbase_m=3.2)
        total, x = statics.total_mass_kg(loads), statics.centre_of_mass_m(loads)[0]
        assert front + rear == pytest.approx(total)
        assert front * x == pytest.approx(rear * (3.2 - x))


def test_taking_out_what_was_put_in_changes_nothing() -> None:
    loads = random_loads(random.Random(4))
    extra = PointLoad(80, 2.0, 0.4, 1.1)
    less = PointLoad(-80, 2.0, 0.4, 1.1)
    assert statics.axle_loads_kg([*loads, extra, less], wheelbase_m=3) == pytest.approx(
        statics.axle_loads_kg(loads, wheelbase_m=3)
    )


def test_mirrored_masses_change_sides() -> None:
    left, right = statics.side_masses_kg(mass_kg=2000, moment_kg_m=60, track_m=1.6)
    assert (left, right) == pytest.approx((962.5, 1037.5))
    assert statics.side_masses_kg(mass_kg=2000, moment_kg_m=-60, track_m=1.6) == pytest.approx((right, left))
    back = statics.curb_moment_y_kg_m(mass_kg=2000, left_kg=left, track_m=1.6)
    assert back == pytest.approx(60)


def test_braking_moves_load_forward() -> None:
    moved = statics.longitudinal_transfer_kg(mass_kg=2000, height_m=0.7, share_of_g=-0.5, wheelbase_m=2.8)
    assert moved == pytest.approx(-250)


def test_tilt_is_the_arc_tangent_of_the_stability_factor() -> None:
    factor = statics.static_stability_factor(track_m=1.6, height_m=0.7)
    assert statics.tilt_angle_deg(half_track_m=0.8, height_m=0.7) == pytest.approx(math.degrees(math.atan(factor)))


def test_risk_falls_with_stability_and_stars_follow() -> None:
    risks = [statics.rollover_risk(stability_factor=f) for f in (0.95, 1.05, 1.2, 1.5)]
    assert risks == sorted(risks, reverse=True)
    assert [statics.stars(risk=r) for r in (0.0, 0.10, 0.20, 0.30, 0.40, 0.4001)] == [5, 4, 3, 2, 2, 1]


def test_fuel_beyond_what_the_curb_masses_hold() -> None:
    found = statics.fuel_mass_kg(volume_m3=0.08, density_kg_per_m3=750, fill=1.0, fill_at_curb=0.4)
    assert found == pytest.approx(36)
    assert statics.fuel_mass_kg(volume_m3=0.08, density_kg_per_m3=750, fill=0.1, fill_at_curb=0.4) < 0


@pytest.mark.parametrize(
    "call",
    [
        lambda: statics.centre_of_mass_m([]),
        lambda: statics.rear_axle_kg(moment_kg_m=1, wheelbase_m=0),
        lambda: statics.side_masses_kg(mass_kg=1, moment_kg_m=0, track_m=0),
        lambda: statics.static_stability_factor(track_m=1, height_m=0),
        lambda: statics.tilt_angle_deg(half_track_m=1, height_m=0),
        lambda: statics.rollover_risk(stability_factor=0.9),
        lambda: statics.lift_slope(wheelbase_m=2, rise_m=2),
    ],
)
def test_outside_its_range_a_function_refuses(call: object) -> None:
    with pytest.raises(ValueError):
        call()  # type: ignore[operator]


def test_an_index_the_table_lacks_is_refused() -> None:
    with pytest.raises(KeyError):
        statics.load_index_kg(load_index=200)
