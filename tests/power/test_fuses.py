"""Gates, rerating, pulses and colours of fuses; printed vectors stand in tests/outside."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rigbook.power import fuses

CLASSES = ("blade-standard", "blade-small", "maxi", "maxi-form-e", "strip", "breaker-thermal")


@pytest.mark.parametrize("fuse_class", CLASSES)
def test_a_gate_never_rises_with_current_and_fast_lies_below_slow(fuse_class: str) -> None:
    looked, slow_before, fast_before = 0, math.inf, math.inf
    for percent in range(50, 1200, 3):
        slow = fuses.slowest_s(fuse_class=fuse_class, percent=percent)
        fast = fuses.fastest_s(fuse_class=fuse_class, percent=percent)
        assert fast <= fast_before
        if slow is not None:
            assert slow <= slow_before and fast <= slow * (1 + 1e-9)
            slow_before, looked = slow, looked + 1
        fast_before = fast
    assert looked > 300


def test_a_fuse_need_not_open_below_its_first_gate() -> None:
    assert fuses.slowest_s(fuse_class="maxi", percent=134) is None
    assert fuses.fastest_s(fuse_class="maxi", percent=90) == pytest.approx(360000)


@given(st.sampled_from(CLASSES), st.floats(1, 200), st.floats(1e2, 1e8))
def test_least_cleared_current_is_the_root_found_by_search(fuse_class: str, rating_a: float, heat: float) -> None:
    found = fuses.least_cleared_a(fuse_class=fuse_class, rating_a=rating_a, heat_a2s=heat)

    def clears(amps: float) -> bool:
        slow = fuses.slowest_s(fuse_class=fuse_class, percent=100 * amps / rating_a)
        return slow is not None and slow * amps * amps <= heat * (1 + 1e-6)

    last = fuses.breakpoints(fuse_class=fuse_class)[-1] / 100 * rating_a
    grid = [last * (i / 400) for i in range(800, 80, -2)]
    cleared = [amps for amps in grid if clears(amps)]
    if math.isinf(found):
        assert not clears(last)
    else:
        assert clears(found * (1 + 1e-9))
        # from it onward everything is cleared, beyond the last gate too
        assert all(clears(amps) for amps in grid if amps >= found * (1 + 1e-9))
        below = [amps for amps in grid if amps < found * (1 - 1e-6)]
        assert not below or not clears(below[0]) or found <= fuses._points(fuse_class, "max_s")[0][0] / 100 * rating_a
    assert len(grid) == 360 and len(cleared) <= 360


def test_what_is_not_printed_is_refused() -> None:
    for wrong in (
        lambda: fuses.slowest_s(fuse_class="paper", percent=200),
        lambda: fuses.form_row(form="paper", rating_a=5),
        lambda: fuses.rerating_share(ambient_c=126),
        lambda: fuses.pulse_share(pulses=200_000),
        lambda: fuses.fault_a(source_v=12, resistance_ohm=0),
    ):
        with pytest.raises(ValueError):
            wrong()
    assert fuses.melting_a2s(fuse_class="strip", rating_a=100) is None
    assert fuses.colour(form="strip", rating_a=100) is None


def test_melting_heat_between_ratings_goes_by_the_square() -> None:
    found = fuses.melting_a2s(fuse_class="blade-small", rating_a=12.5)
    assert found == (pytest.approx(625 / 4), False)
    assert fuses.melting_a2s(fuse_class="maxi", rating_a=35) == (6000, True)
    assert fuses.rerating_share(ambient_c=-20) == 1.0
