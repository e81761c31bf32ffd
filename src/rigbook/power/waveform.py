"""Exact average, root mean square and peak of currents that flash, from their timelines.

A **wave** is one periodic current on one clock: whole milliseconds, half-open spans, a current and a duty.
Within a clock phases are fixed, so everything is worked out over the common period without ever walking
it: two residues meet exactly when they agree modulo the greatest common divisor of the periods. Between
clocks nothing is known of the phase: averages add, the mean of a product is the product of the means, and
peaks add. Source of the definitions: waveform-definitions.

Dimming by switching is a duty: it scales the average, leaves the peak, and gives a root mean square with
the square root of the duty. Inside a clock the carriers run together, so two dimmed currents overlap for
the lesser of their duties; between clocks the means alone count.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

CANDIDATES_AT_MOST = 200_000
"""Instants looked at for the exact peak of one clock before an upper bound is given instead."""


@dataclass(frozen=True, slots=True)
class WaveSpan:
    """From start to end (ms, half-open, within the period): a current in A and the duty it is switched with."""

    start_ms: int
    end_ms: int
    current_a: Fraction
    duty: Fraction = Fraction(1)


@dataclass(frozen=True, slots=True)
class Wave:
    """One periodic current on one clock. Spans are in order and do not overlap; between them nothing flows."""

    clock: str
    period_ms: int
    spans: tuple[WaveSpan, ...]

    def __post_init__(self) -> None:
        """ValueError for a period below 1 ms, or spans that overlap, run out of it or carry an impossible duty."""
        if self.period_ms < 1:
            raise ValueError(f"a period is at least 1 ms, not {self.period_ms}")
        last = 0
        for span in self.spans:
            if not last <= span.start_ms < span.end_ms <= self.period_ms:
                raise ValueError(f"span {span.start_ms} to {span.end_ms} does not fit a period of {self.period_ms} ms")
            if span.current_a < 0 or not 0 < span.duty <= 1:
                raise ValueError("a current is not negative and a duty lies above 0 up to 1")
            last = span.end_ms


@dataclass(frozen=True, slots=True)
class Currents:
    """Average, root mean square and peak in A; `bound` says that the peak is an upper bound, not reached for sure."""

    average_a: float
    rms_a: float
    peak_a: float
    bound: bool = False


NOTHING = Currents(0.0, 0.0, 0.0)


def exact(value: float) -> Fraction:
    """The decimal that a float prints as, exactly: 0.95 is 19/20. ValueError for NaN or infinity."""
    if not math.isfinite(value):
        raise ValueError(f"{value} is not a finite number")
    return Fraction(str(value))


def steady(*, clock: str, current_a: Fraction, duty: Fraction = Fraction(1)) -> Wave:
    """A current that never changes, in A."""
    spans = (WaveSpan(0, 1, current_a, duty),) if current_a else ()
    return Wave(clock, 1, spans)


# --- step functions: sorted (start, value) from 0, values holding to the next start or the period's end ------

# Values are whole numbers of a common unit: exact, and many times faster than fractions.
Steps = tuple[tuple[int, int], ...]


def _fold(spans: Iterable[tuple[int, int, int]], modulus_ms: int) -> Steps:
    """Sum of spans folded onto [0, modulus): value at r is the sum over all instants congruent to r."""
    changes: dict[int, int] = {}
    base = 0
    for start, end, value in spans:
        wraps, rest = divmod(end - start, modulus_ms)
        base += wraps * value
        if not rest:
            continue
        low = start % modulus_ms
        high = low + rest
        changes[low] = changes.get(low, 0) + value
        if high < modulus_ms:
            changes[high] = changes.get(high, 0) - value
        elif high > modulus_ms:
            base += value
            changes[high - modulus_ms] = changes.get(high - modulus_ms, 0) - value
    level = base + changes.pop(0, 0)
    steps = [(0, level)]
    for at in sorted(changes):
        if changes[at]:
            level += changes[at]
            steps.append((at, level))
    return tuple(steps)


def _integral_of_product(a: Steps, b: Steps, modulus_ms: int) -> int:
    """Sum over the whole ms of [0, modulus) of the product of two step functions."""
    edges = [*sorted({at for at, _ in a} | {at for at, _ in b}), modulus_ms]
    starts_a, starts_b = [at for at, _ in a], [at for at, _ in b]
    total = 0
    for low, high in pairwise(edges):
        value_a = a[bisect_right(starts_a, low) - 1][1]
        value_b = b[bisect_right(starts_b, low) - 1][1]
        total += value_a * value_b * (high - low)
    return total


# --- one clock ------------------------------------------------------------------------------------------------


def _by_period(waves: Sequence[Wave]) -> dict[int, list[WaveSpan]]:
    grouped: dict[int, list[WaveSpan]] = {}
    for wave in waves:
        if wave.spans:
            grouped.setdefault(wave.period_ms, []).extend(wave.spans)
    return dict(sorted(grouped.items()))


def _unit_of(waves: Iterable[Wave]) -> int:
    """Least whole number that makes every current whole."""
    return math.lcm(*{span.current_a.denominator for wave in waves for span in wave.spans})


def _whole(value: Fraction, unit: int) -> int:
    return value.numerator * (unit // value.denominator)


def mean_a(waves: Sequence[Wave]) -> Fraction:
    """Mean over time in A; exact for any mixture of clocks, as means add."""
    unit = _unit_of(waves)
    charges: dict[int, int] = {}
    total = Fraction(0)
    for wave in waves:
        for s in wave.spans:
            charge = _whole(s.current_a, unit) * (s.end_ms - s.start_ms)
            if s.duty == 1:
                charges[wave.period_ms] = charges.get(wave.period_ms, 0) + charge
            else:
                total += charge * s.duty / (unit * wave.period_ms)
    for period_ms, whole in charges.items():
        total += Fraction(whole, unit * period_ms)
    return total


def mean_square_of_clock(waves: Sequence[Wave]) -> Fraction:
    """Mean over time of the squared sum of waves that share one clock, in A^2, exact.

    The mean of i_a i_b over the common period of T_a and T_b is, with g = gcd(T_a, T_b), the sum over the
    residues r of g of A_r B_r divided by their lcm. Duties are taken in layers: a layer at u holds what is
    switched on for at least the share u.
    """
    grouped, unit = _by_period(waves), _unit_of(waves)
    duties = sorted({span.duty for spans in grouped.values() for span in spans})
    total, below = Fraction(0), Fraction(0)
    for duty in duties:
        layer = {
            period: [(s.start_ms, s.end_ms, _whole(s.current_a, unit)) for s in spans if s.duty >= duty]
            for period, spans in grouped.items()
        }
        total += (duty - below) * _mean_square_of_layer(layer)
        below = duty
    return total / unit**2


def _mean_square_of_layer(layer: dict[int, list[tuple[int, int, int]]]) -> Fraction:
    periods = [period for period, spans in layer.items() if spans]
    total = Fraction(0)
    for index, first in enumerate(periods):
        for second in periods[index:]:
            common = math.gcd(first, second)
            product = _integral_of_product(_fold(layer[first], common), _fold(layer[second], common), common)
            share = Fraction(product, math.lcm(first, second))
            total += share if first == second else 2 * share
    return total


def peak_of_clock(waves: Sequence[Wave], *, candidates_at_most: int = CANDIDATES_AT_MOST) -> tuple[Fraction, bool]:
    """Greatest sum in A of waves that share one clock, and whether it is only an upper bound.

    A greatest sum is reached at an instant where some wave rises, so only those are looked at. Periods
    without a common divisor above 1 ms meet in every way: their peaks add. Where the instants of one
    common period are more than `candidates_at_most`, periods are taken in groups that stay below it and the
    groups' peaks are added: an upper bound, unless an instant is seen that reaches it.
    """
    unit = _unit_of(waves)
    steps = {
        period: _fold([(s.start_ms, s.end_ms, _whole(s.current_a, unit)) for s in spans], period)
        for period, spans in _by_period(waves).items()
    }
    total, bound = 0, False
    for component in components(list(steps)):
        peak, only_bound = _peak_of_component({p: steps[p] for p in component}, candidates_at_most)
        total += peak
        bound = bound or only_bound
    return Fraction(total, unit), bound


def components(periods: list[int]) -> list[list[int]]:
    """Periods grouped so that between groups every two have no common divisor above 1."""
    groups: list[list[int]] = []
    for period in periods:
        joined = [period]
        apart = []
        for group in groups:
            if any(math.gcd(period, other) > 1 for other in group):
                joined = group + joined
            else:
                apart.append(group)
        groups = [*apart, joined]
    return groups


def _rises(steps: Steps) -> list[int]:
    """Instants where a step function rises, its wrap-around included; 0 where it never does."""
    values = [value for _, value in steps]
    before = [values[-1], *values[:-1]]
    found = [at for (at, value), last in zip(steps, before, strict=True) if value > last]
    return found or [0]


def _effort(steps: dict[int, Steps]) -> int:
    common = math.lcm(*steps)
    return sum(len(_rises(function)) * (common // period) for period, function in steps.items())


def _peak_of_component(steps: dict[int, Steps], at_most: int) -> tuple[int, bool]:
    if _effort(steps) <= at_most:
        return _greatest(steps, within_ms=math.lcm(*steps)), False
    groups: list[dict[int, Steps]] = []
    for period in sorted(steps, reverse=True):
        for group in groups:
            if _effort({**group, period: steps[period]}) <= at_most:
                group[period] = steps[period]
                break
        else:
            groups.append({period: steps[period]})
    bound = sum((_greatest(group, within_ms=math.lcm(*group)) for group in groups), 0)
    per_ms = sum(len(_rises(function)) / period for period, function in steps.items())
    seen = _greatest(steps, within_ms=max(1, int(at_most / per_ms)))
    return bound, seen < bound


def _greatest(steps: dict[int, Steps], *, within_ms: int) -> int:
    """Greatest sum of step functions at the instants before `within_ms` where one of them rises."""
    if len(steps) == 1:
        return max(value for function in steps.values() for _, value in function)
    instants = {
        first + turn * period
        for period, function in steps.items()
        for first in _rises(function)
        for turn in range(-(-(within_ms - first) // period))
    }
    starts = {period: [at for at, _ in function] for period, function in steps.items()}
    values = {p: [value for _, value in function] for p, function in steps.items()}
    return max(
        sum(values[p][bisect_right(starts[p], at % p) - 1] for p in steps)
        for at in instants or {0}
    )  # fmt: skip


# --- all clocks -------------------------------------------------------------------------------------------------


def currents(waves: Sequence[Wave], *, candidates_at_most: int = CANDIDATES_AT_MOST) -> Currents:
    """Average, root mean square and peak in A of the sum of waves, over time and over any phase between clocks."""
    clocks: dict[str, list[Wave]] = {}
    for wave in waves:
        if wave.spans:
            clocks.setdefault(wave.clock, []).append(wave)
    if not clocks:
        return NOTHING
    average = mean_a(waves)
    variance, peak, bound = Fraction(0), Fraction(0), False
    for own in clocks.values():
        variance += mean_square_of_clock(own) - mean_a(own) ** 2
        most, only_bound = peak_of_clock(own, candidates_at_most=candidates_at_most)
        peak += most
        bound = bound or only_bound
    return Currents(float(average), math.sqrt(float(average * average + variance)), float(peak), bound)
