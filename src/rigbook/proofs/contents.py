"""What a content amounts to: which colours it lights, whether steadily, and which it lights at the same time.

Functions of compiled contents alone, shared by every way of proving (source: the project's own page on the
switching language, *What functions do*, points 4 to 7). Times are whole milliseconds, half-open.
"""

from __future__ import annotations

from itertools import combinations
from math import gcd

from rigbook.switching.program import Content, Timeline


def lit_spans(timeline: Timeline) -> tuple[tuple[int, int], ...]:
    """The spans (start_ms, end_ms) of one period in which the timeline is above 0, in order."""
    spans = [
        (span.start_ms, span.end_ms)
        for span in timeline.spans
        if span.end_ms > span.start_ms and max(span.intensity_from, span.intensity_to) > 0
    ]
    return tuple(sorted(spans))


def lit_colours(content: Content) -> tuple[str, ...]:
    """Colours that the content lights for some positive time, in its own order."""
    return tuple(colour for colour, timeline in content.channels if lit_spans(timeline))


def is_steady(timeline: Timeline) -> bool:
    """Whether the timeline is above 0 at one intensity throughout (steady-burning)."""
    reached = 0
    intensities: set[float] = set()
    for span in sorted(timeline.spans, key=lambda s: s.start_ms):
        if span.end_ms <= span.start_ms:
            continue
        if span.start_ms > reached:
            return False
        reached = max(reached, span.end_ms)
        intensities.update((span.intensity_from, span.intensity_to))
    return reached >= timeline.period_ms and len(intensities) == 1 and min(intensities) > 0


def _residues(spans: tuple[tuple[int, int], ...], *, modulus_ms: int) -> list[tuple[int, int]]:
    """Spans folded onto one turn of modulus_ms, cut where they pass its end."""
    folded: list[tuple[int, int]] = []
    for start, end in spans:
        if end - start >= modulus_ms:
            return [(0, modulus_ms)]
        low = start % modulus_ms
        high = low + (end - start)
        folded.append((low, min(high, modulus_ms)))
        if high > modulus_ms:
            folded.append((0, high - modulus_ms))
    return folded


def overlap(one: Timeline, other: Timeline) -> bool:
    """Whether two timelines on one clock are ever above 0 together for a positive time.

    Periods T_a, T_b meet in every offset that is a multiple of gcd(T_a, T_b) (Chinese remainder theorem), so it is
    enough to compare the spans folded onto that length. Touching ends do not overlap.
    """
    modulus_ms = gcd(one.period_ms, other.period_ms)
    ours = _residues(lit_spans(one), modulus_ms=modulus_ms)
    theirs = _residues(lit_spans(other), modulus_ms=modulus_ms)
    return any(max(a, c) < min(b, d) for a, b in ours for c, d in theirs)


def colours_together(content: Content) -> tuple[tuple[str, str], ...]:
    """Pairs of colours of one content that are above 0 together for a positive time."""
    return tuple((a, b) for (a, one), (b, other) in combinations(content.channels, 2) if overlap(one, other))
