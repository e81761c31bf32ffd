"""Timelines and their algebra: when a lamp is lit within one period, in whole milliseconds, half-open."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction
from math import floor, gcd

from rigbook.switching.program import Span, Timeline

DARK = Timeline(1, ())
"""Never lit."""


def steady(intensity: float = 1.0) -> Timeline:
    """Lit throughout at one intensity (0 to 1)."""
    return Timeline(1, (Span(0, 1, intensity, intensity),))


def normal(period_ms: int, spans: Iterable[Span]) -> Timeline:
    """Spans in order, cut at the period's end, touching ones of one intensity joined."""
    pieces: list[Span] = []
    for span in spans:
        length = span.end_ms - span.start_ms
        if length <= 0:
            continue
        start = span.start_ms % period_ms
        end = start + min(length, period_ms)
        level = span.intensity_from
        pieces.append(Span(start, min(end, period_ms), level, level))
        if end > period_ms:
            pieces.append(Span(0, end - period_ms, level, level))
    pieces.sort(key=lambda s: (s.start_ms, s.end_ms))
    joined: list[Span] = []
    for piece in pieces:
        if joined and joined[-1].end_ms == piece.start_ms and joined[-1].intensity_to == piece.intensity_from:
            last = joined.pop()
            piece = Span(last.start_ms, piece.end_ms, last.intensity_from, piece.intensity_to)
        joined.append(piece)
    return Timeline(period_ms, tuple(joined))


def shifted(timeline: Timeline, phase: Fraction) -> Timeline:
    """What `timeline` says at t - p·T; the offset is rounded to whole ms, halves up. 0 <= phase < 1."""
    offset = floor(phase * timeline.period_ms + Fraction(1, 2))
    moved = (Span(s.start_ms + offset, s.end_ms + offset, s.intensity_from, s.intensity_to) for s in timeline.spans)
    return normal(timeline.period_ms, moved)


def scaled(timeline: Timeline, factor: float) -> Timeline:
    """The same times at `factor` (0 to 1) of the intensity."""
    if factor == 1.0:
        return timeline
    return Timeline(
        timeline.period_ms,
        tuple(Span(s.start_ms, s.end_ms, s.intensity_from * factor, s.intensity_to * factor) for s in timeline.spans),
    )


def lit_ms(timeline: Timeline) -> int:
    """Lit time within one period, ms."""
    return sum(s.end_ms - s.start_ms for s in timeline.spans)


def is_steady(timeline: Timeline) -> bool:
    """Lit at one intensity throughout."""
    levels = {s.intensity_from for s in timeline.spans} | {s.intensity_to for s in timeline.spans}
    return len(levels) == 1 and lit_ms(timeline) == timeline.period_ms


def intensity_at(timeline: Timeline, at_ms: int) -> float:
    """Intensity at an instant, 0 where dark. Start belongs to a span, end does not."""
    at = at_ms % timeline.period_ms
    for span in timeline.spans:
        if span.start_ms <= at < span.end_ms:
            return span.intensity_from
    return 0.0


def overlap(a: Timeline, b: Timeline, *, one_clock: bool = True) -> bool:
    """Whether both are lit together for a positive time. Touching ends are none.

    On one clock, t and u (ms within each period) meet exactly when t = u modulo gcd(T_a, T_b) (Chinese
    remainder theorem), so residues decide without the common period. On two clocks any phase may come: two
    that are ever lit meet."""
    if not a.spans or not b.spans:
        return False
    if not one_clock:
        return True
    common = gcd(a.period_ms, b.period_ms)
    of_a, of_b = _residues(a.spans, common), _residues(b.spans, common)
    return any(max(s, u) < min(e, f) for s, e in of_a for u, f in of_b)


def _residues(spans: Sequence[Span], modulus: int) -> list[tuple[int, int]]:
    """The spans modulo `modulus`, half-open."""
    found: list[tuple[int, int]] = []
    for span in spans:
        length = span.end_ms - span.start_ms
        if length >= modulus:
            return [(0, modulus)]
        start = span.start_ms % modulus
        found.append((start, min(start + length, modulus)))
        if start + length > modulus:
            found.append((0, start + length - modulus))
    return found
