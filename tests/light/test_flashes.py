"""Trains, pulses, shortest periods and what an observer counts; random timelines against a walk over every millisecond."""

from __future__ import annotations

from math import lcm

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rigbook.light.flashes import (
    flashing_of,
    keeps_r65_times,
    rate_by_cycles_per_min,
    rises_of,
    seen_flashes_per_min,
    seen_pulses_per_min,
)
from rigbook.switching.program import Span, Timeline

LEVELS = (1.0, 0.4)


def pattern(*times: int, shift: int = 0) -> Timeline:
    """A timeline of on and off times in ms, shifted as phases shift."""
    period, at, spans = sum(times), 0, []
    for number, time in enumerate(times):
        if number % 2 == 0:
            start = (at + shift) % period
            end = start + time
            spans += [Span(start, min(end, period), 1.0, 1.0)]
            if end > period:
                spans.append(Span(0, end - period, 1.0, 1.0))
        at += time
    return Timeline(period, tuple(sorted(spans, key=lambda s: s.start_ms)))


STEADY = Timeline(1, (Span(0, 1, 1.0, 1.0),))
DARK = Timeline(1, ())


@pytest.mark.parametrize(
    ("timeline", "flashes", "pulses"),
    [
        (pattern(400, 400), 75, 75),
        (pattern(100, 100, 100, 500), 75, 150),
        (pattern(40, 360, 40, 360), 150, 150),  # written twice, repeats after half its period
        (pattern(40, 360, 60, 340), 75, 150),
        (STEADY, 0, 0),
        (DARK, 0, 0),
        (
            Timeline(800, (Span(0, 400, 1.0, 1.0), Span(400, 800, 0.2, 0.2))),
            75,
            75,
        ),  # two intensities are no steady light
    ],
)
def test_rates_of_one_lamp(timeline: Timeline, flashes: float, pulses: float) -> None:
    found = flashing_of(timeline)
    assert (found.flashes_per_min, found.pulses_per_min) == (flashes, pulses)


def test_a_train_may_wrap_round_the_end_of_the_period() -> None:
    found = flashing_of(pattern(100, 100, 100, 500, shift=700))
    assert (found.train_start_ms, found.train_ms, found.dark_ms, found.pulses) == (700, 300, 500, 2)


def test_steady_light_has_no_optical_power() -> None:
    assert flashing_of(STEADY).cd_s_per_min(1000) == 0
    assert flashing_of(pattern(400, 400)).cd_s_per_min(1000) == pytest.approx(30_000)


def test_what_an_observer_counts() -> None:
    a, b = pattern(100, 100, 100, 500), pattern(100, 100, 100, 500, shift=400)
    assert seen_flashes_per_min([("c", a), ("c", a)]) == 75  # together: one flash
    assert seen_flashes_per_min([("c", a), ("c", b)]) == 150  # in turn
    assert seen_flashes_per_min([("c", a), ("d", a)]) == 150  # clocks that drift
    assert seen_pulses_per_min([("c", a), ("c", b)]) == 300
    assert seen_pulses_per_min([("c", a), ("c", a), ("c", STEADY)]) == 150
    assert seen_flashes_per_min([]) == 0 == seen_pulses_per_min([("c", STEADY)])


def test_flasher_rates_and_times() -> None:
    with pytest.raises(ValueError, match="no cycle"):
        rate_by_cycles_per_min([])
    assert keeps_r65_times(frequency_hz=2, on_s=0.2, off_s=0.3)
    assert not keeps_r65_times(frequency_hz=4.1, on_s=0.05, off_s=0.2)
    assert not keeps_r65_times(frequency_hz=3, on_s=0.2, off_s=0.13)
    assert not keeps_r65_times(frequency_hz=4, on_s=0.1, off_s=0.05)


timelines = st.lists(st.tuples(st.integers(1, 6), st.integers(0, 6), st.sampled_from(LEVELS)), min_size=1, max_size=4)


def made(parts: list[tuple[int, int, float]]) -> Timeline:
    at, spans = 0, []
    for on, off, level in parts:
        spans.append(Span(at, at + on, level, level))
        at += on + off
    return Timeline(at, tuple(spans))


@settings(max_examples=300, deadline=None)
@given(st.lists(timelines, min_size=1, max_size=3))
def test_against_a_walk_over_every_millisecond(rows: list[list[tuple[int, int, float]]]) -> None:
    lamps = [made(parts) for parts in rows]
    for lamp in lamps:
        levels = [
            max((s.intensity_from for s in lamp.spans if s.start_ms <= t < s.end_ms), default=0.0)
            for t in range(lamp.period_ms)
        ]
        found = flashing_of(lamp)
        assert found.mean_share == pytest.approx(sum(levels) / lamp.period_ms)
        assert found.steady == (len(set(levels)) == 1 and levels[0] > 0)
        if not found.steady and found.pulses:
            shifts = [
                d for d in range(1, lamp.period_ms + 1) if lamp.period_ms % d == 0 and levels == levels[d:] + levels[:d]
            ]
            assert found.period_ms == shifts[0]
            assert set(rises_of(lamp)) == {t for t in range(lamp.period_ms) if levels[t] > levels[t - 1]}
            dark = "".join("x" if level else "." for level in levels * 2)
            longest = max(map(len, dark.split("x")))
            assert found.dark_ms == min(longest, found.period_ms) and found.train_ms == found.period_ms - found.dark_ms
    common = lcm(*(lamp.period_ms for lamp in lamps))
    rises = {
        (r + n * lamp.period_ms) for lamp in lamps for r in rises_of(lamp) for n in range(common // lamp.period_ms)
    }
    assert seen_pulses_per_min([("c", lamp) for lamp in lamps]) == pytest.approx(len(rises) * 60_000 / common)
