from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rigbook.switching.patterns import (
    SHIPPED,
    pattern_timeline,
    pattern_trouble,
    position_key,
    sequence_ranks,
    sequence_timeline,
)
from rigbook.switching.timeline import intensity_at, lit_ms

ORDERS = ("left-to-right", "right-to-left", "front-to-rear", "rear-to-front", "out-to-in", "in-to-out")


def test_shipped_patterns_divide_800_ms():
    assert len(SHIPPED) >= 5
    for name, times in SHIPPED.items():
        assert not pattern_trouble(times)
        assert 800 % sum(times) == 0, name


def test_a_pattern_as_written():
    line = pattern_timeline([100, 50, 100, 550], 0.5)
    assert line.period_ms == 800
    assert [(s.start_ms, s.end_ms, s.intensity_from) for s in line.spans] == [(0, 100, 0.5), (150, 250, 0.5)]
    assert pattern_trouble([100]) and pattern_trouble([]) and pattern_trouble([0, 100])


@pytest.mark.parametrize(
    ("order", "ranks"),
    [
        ("left-to-right", (0, 1, 2, 2)),
        ("right-to-left", (2, 1, 0, 0)),
        ("front-to-rear", (0, 0, 1, 2)),
        ("rear-to-front", (2, 2, 1, 0)),
        ("out-to-in", (0, 1, 0, 0)),
        ("in-to-out", (1, 0, 1, 1)),
    ],
)
def test_six_orders_and_shared_ranks(order, ranks):
    """x runs backward, y to the driver's right: left is y below 0."""
    places = [(100, -400, 0), (100, 0, 0), (200, 400, 0), (300, 400, 9)]
    assert sequence_ranks(order, places) == ranks
    assert len({position_key(o, places[0]) for o in ORDERS}) >= 3


@given(
    st.sampled_from(["fill", "walk"]),
    st.integers(1, 5),
    st.integers(1, 9),
    st.integers(1, 9),
    st.integers(0, 9),
    st.data(),
)
def test_sequences_word_by_word(kind, ranks, step, hold, gap, data):
    """Against the sentence of the language, instant by instant."""
    rank = data.draw(st.integers(0, ranks - 1))
    line = sequence_timeline(kind, rank=rank, ranks=ranks, step_ms=step, hold_ms=hold, gap_ms=gap)
    lit_until = (ranks - 1) * step + hold
    assert line.period_ms == lit_until + gap
    for t in range(line.period_ms):
        begun = t >= rank * step and t < lit_until
        moved_on = kind == "walk" and rank < ranks - 1 and t >= (rank + 1) * step
        assert bool(intensity_at(line, t)) == (begun and not moved_on)
    assert lit_ms(line) > 0
