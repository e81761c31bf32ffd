"""Exact figures of flashing currents against a walk over every millisecond."""

from __future__ import annotations

import math
import random
from collections import Counter
from fractions import Fraction

import pytest

from rigbook.power.waveform import (
    Wave,
    WaveSpan,
    currents,
    exact,
    mean_a,
    mean_square_of_clock,
    peak_of_clock,
    steady,
)

THIRD = Fraction(1, 3)


def random_wave(rng: random.Random, clock: str, periods: tuple[int, ...]) -> Wave:
    period = rng.choice(periods)
    count = 2 * rng.randint(1, 2) if period >= 4 else 2
    edges = sorted(rng.sample(range(period + 1), min(count, period + 1)))
    spans = tuple(
        WaveSpan(low, high, Fraction(rng.randint(1, 9), rng.choice((1, 2, 5))), rng.choice((1, 1, 2, 3)) * THIRD)
        for low, high in zip(edges[::2], edges[1::2], strict=False)
    )
    return Wave(clock, period, spans)


def walked(waves: list[Wave]) -> tuple[Fraction, Fraction, Fraction]:
    """Mean, mean square and peak of one clock, over every ms of the common period and every layer of duty."""
    common = math.lcm(*(wave.period_ms for wave in waves))
    mean, square, peak = Fraction(0), Fraction(0), Fraction(0)
    for at in range(common):
        for layer in (0 * THIRD, THIRD, 2 * THIRD):
            amps = sum(
                (s.current_a for w in waves for s in w.spans
                 if s.start_ms <= at % w.period_ms < s.end_ms and s.duty > layer),
                Fraction(0),
            )  # fmt: skip
            mean += amps / 3
            square += amps * amps / 3
            peak = max(peak, amps)
    return mean / common, square / common, peak


def test_one_clock_agrees_with_a_walk_over_every_ms() -> None:
    rng = random.Random(7)
    reached: Counter[str] = Counter()
    for _ in range(400):
        waves = [random_wave(rng, "c", (1, 4, 6, 8, 9, 10, 15)) for _ in range(rng.randint(1, 5))]
        mean, square, peak = walked(waves)
        assert mean_a(waves) == mean
        assert mean_square_of_clock(waves) == square
        assert peak_of_clock(waves) == (peak, False)
        periods = {w.period_ms for w in waves}
        reached["several periods"] += len(periods) > 1
        reached["no common divisor"] += any(math.gcd(a, b) == 1 for a in periods for b in periods if a > b > 1)
        reached["dimmed"] += any(s.duty < 1 for w in waves for s in w.spans)
        reached["steady"] += any(w.period_ms == 1 for w in waves)
    assert set(reached) == {"several periods", "no common divisor", "dimmed", "steady"}
    assert min(reached.values()) > 50


def test_between_clocks_every_phase_is_meant() -> None:
    rng = random.Random(11)
    looked = 0
    for _ in range(60):
        a, b = random_wave(rng, "a", (4, 6, 8)), random_wave(rng, "b", (4, 6, 9))
        squares, peaks = [], []
        for shift in range(b.period_ms):
            spans = sorted(
                ((s.start_ms + shift) % b.period_ms, s) for s in b.spans
                if (s.start_ms + shift) % b.period_ms + s.end_ms - s.start_ms <= b.period_ms
            )  # fmt: skip
            if len(spans) < len(b.spans):
                split = []
                for s in b.spans:
                    low, high = s.start_ms + shift, s.end_ms + shift
                    for k in (0, -b.period_ms):
                        start, end = max(0, low + k), min(b.period_ms, high + k)
                        if start < end:
                            split.append(WaveSpan(start, end, s.current_a, s.duty))
                moved = Wave("a", b.period_ms, tuple(sorted(split, key=lambda s: s.start_ms)))
            else:
                moved = Wave(
                    "a", b.period_ms,
                    tuple(WaveSpan(at, at + s.end_ms - s.start_ms, s.current_a, s.duty) for at, s in spans),
                )  # fmt: skip
            peaks.append(peak_of_clock([a, moved])[0])
            squares.append(mean_square_of_clock([a, moved]))
            looked += 1
        found = currents([a, b])
        assert found.peak_a == pytest.approx(float(max(peaks)))
        if all(s.duty == 1 for w in (a, b) for s in w.spans):
            assert found.rms_a**2 == pytest.approx(float(sum(squares, Fraction(0)) / len(squares)))
    assert looked > 300


def test_dimming_by_switching_scales_the_average_and_leaves_the_peak() -> None:
    full = currents([Wave("c", 800, (WaveSpan(0, 400, Fraction(6)),))])
    dim = currents([Wave("c", 800, (WaveSpan(0, 400, Fraction(6), Fraction(2, 5)),))])
    assert dim.average_a == pytest.approx(0.4 * full.average_a)
    assert dim.rms_a == pytest.approx(math.sqrt(0.4) * full.rms_a)
    assert dim.peak_a == full.peak_a


def test_two_dimmed_lamps_of_one_controller_overlap_for_the_lesser_duty() -> None:
    one = steady(clock="c", current_a=Fraction(2), duty=Fraction(1, 2))
    two = steady(clock="c", current_a=Fraction(3), duty=Fraction(1, 4))
    # a quarter of the time 5 A, a quarter 2 A, half nothing
    assert mean_square_of_clock([one, two]) == Fraction(25, 4) + Fraction(4, 4)


def test_adding_a_wave_lowers_nothing_and_order_does_not_matter() -> None:
    rng = random.Random(3)
    for _ in range(50):
        waves = [random_wave(rng, rng.choice("ab"), (4, 6, 10)) for _ in range(4)]
        some, more = currents(waves[:-1]), currents(waves)
        assert more.average_a >= some.average_a and more.rms_a >= some.rms_a - 1e-12 and more.peak_a >= some.peak_a
        assert currents(waves[::-1]) == more
        assert more.average_a <= more.rms_a + 1e-12 <= more.peak_a + 2e-12


def test_long_common_periods_give_an_upper_bound_and_say_so() -> None:
    # even periods whose common period is beyond 10^14 ms; every lit stretch starts at 0 except one
    primes = (101, 103, 107, 109, 113, 127, 131, 137)
    waves = [Wave("c", 2 * p, (WaveSpan(0, 1, Fraction(1)),)) for p in primes]
    assert math.lcm(*(w.period_ms for w in waves)) > 10**14
    peak, bound = peak_of_clock(waves)
    assert (peak, bound) == (8, False), "all rise together at 0: the bound is reached, so it is exact"
    odd = [*waves[:-1], Wave("c", 2 * 137, (WaveSpan(1, 2, Fraction(1)),))]
    # the last lamp lights in odd ms, the others in even ones: 7 is the truth, and grouping finds it
    assert peak_of_clock(odd) == (7, False)
    # with too little effort to group, the sum of all peaks is given, marked as a bound
    assert peak_of_clock(odd, candidates_at_most=3) == (8, True)
    assert currents(odd, candidates_at_most=3).bound


def test_whole_groups_below_the_effort_are_exact() -> None:
    a = Wave("c", 6, (WaveSpan(0, 1, Fraction(1)),))
    b = Wave("c", 4, (WaveSpan(1, 2, Fraction(1)),))
    # residues 0 mod 6 and 1 mod 4 never meet: they differ modulo 2
    assert peak_of_clock([a, b]) == (1, False)


def test_nothing_lit_draws_nothing() -> None:
    found = currents([Wave("c", 100, ())])
    assert (found.average_a, found.rms_a, found.peak_a, found.bound) == (0, 0, 0, False)
    assert steady(clock="c", current_a=Fraction(0)).spans == ()


@pytest.mark.parametrize(
    ("period_ms", "spans"),
    [
        (0, ()),
        (10, (WaveSpan(5, 11, Fraction(1)),)),
        (10, (WaveSpan(5, 5, Fraction(1)),)),
        (10, (WaveSpan(0, 5, Fraction(1)), WaveSpan(4, 6, Fraction(1)))),
        (10, (WaveSpan(0, 5, Fraction(-1)),)),
        (10, (WaveSpan(0, 5, Fraction(1), Fraction(0)),)),
    ],
)
def test_waves_that_cannot_be_are_refused(period_ms: int, spans: tuple[WaveSpan, ...]) -> None:
    with pytest.raises(ValueError, match=r"period|span|current"):
        Wave("c", period_ms, spans)


def test_exact_reads_the_printed_decimal() -> None:
    assert exact(0.95) == Fraction(19, 20)
    with pytest.raises(ValueError, match="finite"):
        exact(float("inf"))
