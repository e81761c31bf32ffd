from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from rigbook.proofs.contents import colours_together, is_steady, lit_colours, lit_spans, overlap
from rigbook.switching.program import Content, Span, Timeline
from tests.proofs.programs import DARK, STEADY, blink, show


@st.composite
def timelines(draw: st.DrawFn) -> Timeline:
    period = draw(st.integers(1, 24))
    edges = sorted(draw(st.sets(st.integers(0, period), max_size=6)))
    spans = [Span(a, b, 1.0, 1.0) for a, b in zip(edges[::2], edges[1::2], strict=False)]
    return Timeline(period, tuple(spans))


def lit_at(timeline: Timeline, time_ms: int) -> bool:
    return any(s.start_ms <= time_ms % timeline.period_ms < s.end_ms for s in timeline.spans)


@given(timelines(), timelines())
def test_overlap_equals_looking_at_every_millisecond(one: Timeline, other: Timeline) -> None:
    # All edges lie on whole milliseconds, so one instant a millisecond decides.
    together = any(lit_at(one, t) and lit_at(other, t) for t in range(one.period_ms * other.period_ms))
    assert overlap(one, other) == together == overlap(other, one)


@given(timelines())
def test_steady_is_lit_at_every_millisecond(timeline: Timeline) -> None:
    assert is_steady(timeline) == all(lit_at(timeline, t) for t in range(timeline.period_ms))


def test_spans_that_pass_the_common_turn_are_folded() -> None:
    """Periods 6 and 4 meet in every offset of 2 ms: what runs from 3 to 4 and from 1 to 2 meets, from 0 to 1 does not."""

    def lit(period_ms: int, *spans: tuple[int, int]) -> Timeline:
        return Timeline(period_ms, tuple(Span(a, b, 1.0, 1.0) for a, b in spans))

    assert overlap(lit(6, (3, 4)), lit(4, (1, 2)))
    assert not overlap(lit(6, (3, 4)), lit(4, (0, 1)))
    assert overlap(lit(9, (2, 4)), lit(6, (0, 1)))  # 2 to 4 is 2 to 3 and 0 to 1 of a turn of 3
    assert not overlap(lit(9, (2, 4)), lit(6, (1, 2)))
    assert overlap(lit(9, (2, 4)), lit(6, (2, 3)))
    assert overlap(lit(12, (7, 9)), lit(8, (0, 1)))  # as long as half a turn of 4, past its end
    assert not overlap(lit(12, (7, 9)), lit(8, (1, 3)))


def test_empty_spans_and_darkness_are_not_steady() -> None:
    assert is_steady(Timeline(4, (Span(0, 0, 0.5, 0.5), Span(0, 4, 1.0, 1.0))))
    assert is_steady(Timeline(4, (Span(0, 2, 1.0, 1.0), Span(2, 2, 0.5, 0.5), Span(2, 4, 1.0, 1.0))))
    assert not is_steady(Timeline(4, (Span(0, 4, 0.0, 0.0),)))
    assert not is_steady(Timeline(4, (Span(1, 4, 1.0, 1.0),)))
    assert not is_steady(Timeline(4, ()))


def test_touching_ends_do_not_overlap() -> None:
    assert not overlap(blink(200, 200), blink(200, 200, shift_ms=200))
    assert overlap(blink(200, 200), blink(200, 200, shift_ms=199))


def test_two_intensities_are_not_steady() -> None:
    assert not is_steady(Timeline(10, (Span(0, 5, 1.0, 1.0), Span(5, 10, 0.5, 0.5))))
    assert is_steady(Timeline(10, (Span(0, 5, 0.5, 0.5), Span(5, 10, 0.5, 0.5))))


def test_what_is_lit() -> None:
    assert lit_colours(DARK) == ()
    assert lit_colours(show("blue")) == ("blue",)
    assert lit_spans(Timeline(10, (Span(2, 2, 1.0, 1.0), Span(3, 4, 0.0, 0.0)))) == ()


def test_pairs_of_colours() -> None:
    alternating = Content(channels=(("blue", blink(100, 300)), ("white", blink(100, 300, shift_ms=200))))
    mixed = Content(channels=(("blue", STEADY), ("white", blink(100, 300)), ("amber", blink(100, 300, shift_ms=200))))
    assert colours_together(alternating) == ()
    assert colours_together(mixed) == (("blue", "white"), ("blue", "amber"))
