"""Properties of the battery functions; printed figures stand in tests/outside."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rigbook.power import battery
from rigbook.power.battery import Charge, Kinetic

MODEL = Kinetic(0.45, 0.8, 100.0)


@given(st.floats(0.01, 30), st.floats(-20, 60), st.floats(0.05, 1))
def test_charge_is_kept_and_steps_compose(hours: float, amps: float, share: float) -> None:
    start = battery.full(MODEL, share=share)
    once = battery.after(MODEL, start, current_a=amps, hours=hours)
    assert once.whole_ah == pytest.approx(start.whole_ah - amps * hours, abs=1e-8)
    half = battery.after(MODEL, start, current_a=amps, hours=hours / 2)
    twice = battery.after(MODEL, half, current_a=amps, hours=hours / 2)
    assert twice.available_ah == pytest.approx(once.available_ah, abs=1e-8)


@given(st.floats(0.1, 40))
def test_the_largest_current_empties_exactly(hours: float) -> None:
    start = battery.full(MODEL)
    amps = battery.most_current_a(MODEL, start, hours=hours)
    assert battery.after(MODEL, start, current_a=amps, hours=hours).available_ah == pytest.approx(0, abs=1e-8)
    assert amps * hours == pytest.approx(battery.lasting_ah(MODEL, hours=hours))
    gone = battery.empty_after_h(MODEL, start, current_a=amps, within_h=2 * hours)
    assert gone == pytest.approx(hours, rel=1e-6)


@pytest.mark.parametrize(("c", "k", "full_ah"), [(0.3, 1.4, 60.0), (0.5, 0.7, 108.0), (0.6, 0.3, 40.0)])
def test_a_fit_finds_the_model_that_gave_the_points(c: float, k: float, full_ah: float) -> None:
    points = [(h, battery.lasting_ah(Kinetic(c, k, full_ah), hours=h)) for h in (1.0, 5.0, 20.0)]
    found = battery.fitted(rates=points)
    assert (found.c, found.k_per_h, found.full_ah) == pytest.approx((c, k, full_ah), rel=1e-3)


def test_a_table_gives_its_own_points_back_and_no_more_than_printed_below() -> None:
    points = battery.agm_55_points(end_v_cell="1.80")
    for hours, amps in points:
        assert battery.table_time_h(points=points, current_a=amps) == pytest.approx(hours)
    assert battery.table_time_h(points=points, current_a=0.5) == pytest.approx(2.77 * 20 / 0.5)
    assert battery.table_time_h(points=points, current_a=200) < 0.0834


def test_bad_numbers_are_refused() -> None:
    for wrong in (
        lambda: battery.peukert_h(capacity_ah=100, rated_h=20, current_a=0, exponent=1.2),
        lambda: battery.table_time_h(points=[(1, 1)], current_a=1),
        lambda: battery.fitted(rates=[(20, 100)]),
        lambda: battery.capacity_share(battery="paper", temperature_c=20),
        lambda: battery.days_to_no_start(reserve_min=100, drain_a=0),
    ):
        with pytest.raises(ValueError):
            wrong()
    assert battery.empty_after_h(MODEL, Charge(45, 55), current_a=0.1, within_h=1) is None
    assert battery.lead_rest_v(charge=1) == pytest.approx(12.65) and math.isclose(battery.lead_rest_v(charge=-1), 11.75)
