from __future__ import annotations

from fractions import Fraction
from math import lcm

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rigbook.switching.patterns import pattern_timeline
from rigbook.switching.program import Span, Timeline
from rigbook.switching.timeline import DARK, intensity_at, is_steady, lit_ms, normal, overlap, scaled, shifted, steady

PATTERNS = st.lists(st.integers(1, 9), min_size=2, max_size=6).filter(lambda p: len(p) % 2 == 0)
PHASES = st.fractions(0, Fraction(49, 50), max_denominator=50)


@given(PATTERNS, PHASES)
def test_shifted_says_what_the_pattern_said_earlier(pattern, phase):
    base = pattern_timeline(pattern)
    moved = shifted(base, phase)
    offset = int(phase * base.period_ms + Fraction(1, 2))
    assert [intensity_at(moved, t) for t in range(base.period_ms)] == [
        intensity_at(base, t - offset) for t in range(base.period_ms)
    ]
    assert lit_ms(moved) == lit_ms(base)
    assert all(0 <= s.start_ms < s.end_ms <= base.period_ms for s in moved.spans)
    assert all(a.end_ms <= b.start_ms for a, b in zip(moved.spans, moved.spans[1:], strict=False))


@pytest.mark.outside
@given(PATTERNS, PHASES, PATTERNS, PHASES)
def test_overlap_by_residues_agrees_with_running_through_the_common_period(p, a, q, b):
    """Chinese remainder theorem: residues modulo the greatest common divisor decide; brute force over the lcm."""
    one, other = shifted(pattern_timeline(p), a), shifted(pattern_timeline(q), b)
    together = any(intensity_at(one, t) and intensity_at(other, t) for t in range(lcm(one.period_ms, other.period_ms)))
    assert overlap(one, other) == together == overlap(other, one)


def test_touching_ends_do_not_overlap():
    first, second = pattern_timeline([400, 400]), shifted(pattern_timeline([400, 400]), Fraction(1, 2))
    assert not overlap(first, second)
    assert overlap(first, second, one_clock=False)
    assert not overlap(first, DARK, one_clock=False)
    assert overlap(first, steady())


@pytest.mark.parametrize(
    ("period", "phase", "offset"), [(5, "1/2", 3), (7, "1/2", 4), (10, "1/4", 3), (10, "1/3", 3), (800, "1/3", 267)]
)
def test_offsets_round_halves_up(period, phase, offset):
    moved = shifted(Timeline(period, (Span(0, 1, 1.0, 1.0),)), Fraction(phase))
    assert moved.spans == (Span(offset, offset + 1, 1.0, 1.0),)


def test_steady_scaled_and_joined():
    assert is_steady(steady(0.5)) and is_steady(scaled(steady(), 0.4))
    assert scaled(steady(), 0.4).spans[0].intensity_to == 0.4
    assert not is_steady(pattern_timeline([1, 1])) and not is_steady(DARK)
    assert is_steady(normal(10, [Span(0, 4, 1.0, 1.0), Span(4, 10, 1.0, 1.0)]))
    assert not is_steady(normal(10, [Span(0, 4, 1.0, 1.0), Span(4, 10, 0.5, 0.5)]))
