"""Effective intensities: limits, order and the identities that hold between the published forms."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rigbook.light.effective import (
    DAY_S,
    allard,
    blondel_rey,
    blondel_rey_rectangle,
    faa_sum,
    flash_of,
    form_factor,
    illuminance_lx,
    integral,
    modified_allard,
    navigation_intensity_cd,
    navigation_threshold_lx,
    rectangles,
)

from .test_flashes import DARK, STEADY, pattern

pulse_times = st.lists(st.floats(0.005, 0.4), min_size=1, max_size=5).filter(lambda times: len(times) % 2 == 1)


@settings(max_examples=150, deadline=None)
@given(pulse_times, st.floats(1, 1e4), st.floats(0.05, 0.3))
def test_forms_on_random_trains(times: list[float], cd: float, a: float) -> None:
    flash = rectangles(intensity_cd=cd, pulses_s=times)
    douglas, form = blondel_rey(flash, a_s=a), form_factor(flash, a_s=a)
    pulses = [(cd, time) for time in times[::2]]
    best_single = max(blondel_rey_rectangle(intensity_cd=cd, time_s=s, a_s=a) for _, s in pulses)
    starts = [sum(times[:n]) for n in range(0, len(times), 2)]
    by_hand = max(
        sum(s for _, s in pulses[i : j + 1]) * cd / (a + starts[j] + times[2 * j] - starts[i])
        for i in range(len(pulses)) for j in range(i, len(pulses))
    )  # fmt: skip
    assert douglas == pytest.approx(by_hand, rel=1e-9)  # every stretch from a pulse's start to a pulse's end
    assert best_single - 1e-9 * cd <= douglas <= faa_sum(pulses, a_s=a) + 1e-9 * cd
    assert douglas <= form * (1 + 1e-9) < cd  # gaps count in the one and not in the other
    assert best_single * (1 - 1e-9) <= modified_allard(flash, a_s=a) <= cd
    # Allard's receptor against plain steps of time
    now = most = 0.0
    step = 2e-5
    edges = [0.0]
    for time in times:
        edges.append(edges[-1] + time)
    for number in range(math.ceil(edges[-1] / step)):
        at = (number + 0.5) * step
        lit = sum(edge <= at for edge in edges) % 2 == 1 and at < edges[-1]
        now += (cd * lit - now) * (1 - math.exp(-step / a))
        most = max(most, now)
    assert allard(flash, a_s=a) == pytest.approx(most, rel=2e-3)


def test_a_rectangle_in_every_form() -> None:
    flash = rectangles(intensity_cd=800, pulses_s=[0.15])
    expected = blondel_rey_rectangle(intensity_cd=800, time_s=0.15)
    for form in (blondel_rey, form_factor, modified_allard):
        assert form(flash) == pytest.approx(expected, rel=1e-9)
    assert form_factor(flash, a_s=DAY_S) > form_factor(flash)


def test_the_train_of_a_timeline() -> None:
    flash = flash_of(pattern(60, 60, 60, 620, shift=700), intensity_cd=1000)
    assert integral(flash) == pytest.approx(120)
    assert flash[0][0] == 0 and flash[-1][0] == pytest.approx(0.18)
    assert blondel_rey(flash) == pytest.approx(120 / 0.38)
    assert flash_of(STEADY, intensity_cd=5) == [] == flash_of(DARK, intensity_cd=5)
    assert form_factor([]) == 0 == blondel_rey([])


@pytest.mark.parametrize("pulses", [[0.1, 0.1], [0.1, 0.0, 0.1], [-0.1]])
def test_what_is_no_flash_is_refused(pulses: list[float]) -> None:
    with pytest.raises(ValueError, match="a flash is"):
        rectangles(intensity_cd=1, pulses_s=pulses)


def test_the_modified_form_wants_level_steps() -> None:
    with pytest.raises(ValueError, match="level steps"):
        modified_allard([(0, 0), (0.2, 1), (0.4, 0)])


def test_range_laws_turn_round() -> None:
    cd = navigation_intensity_cd(range_nmi=3)
    assert navigation_threshold_lx(intensity_cd=cd, range_nmi=3) == pytest.approx(2e-7)
    assert illuminance_lx(intensity_cd=100, distance_m=10) == 1
    assert illuminance_lx(intensity_cd=100, distance_m=10, visibility_m=10) == pytest.approx(0.05)
