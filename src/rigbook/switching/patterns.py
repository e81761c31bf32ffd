"""Patterns and sequences: from on and off times, or an order of lamps, to timelines."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Literal

from rigbook.switching.program import Span, Timeline
from rigbook.switching.timeline import normal

Order = Literal["left-to-right", "right-to-left", "front-to-rear", "rear-to-front", "out-to-in", "in-to-out"]

SHIPPED: Mapping[str, tuple[int, ...]] = {
    "single": (400, 400),
    "double": (100, 100, 100, 500),
    "triple": (80, 80, 80, 80, 80, 400),
    "quad": (50, 50, 50, 50, 50, 50, 50, 450),
    "half": (200, 200),
    "quarter": (100, 100),
}
"""Neutral patterns, on and off times in ms; every period divides 800 ms, so any two of them repeat together.
A shop's or a build's pattern of the same name stands in their place."""


def pattern_trouble(times_ms: Sequence[int]) -> str:
    """What is wrong with a list of on and off times, or an empty text."""
    if not times_ms or len(times_ms) % 2:
        return "a pattern is a list of on and off times: an even count, at least one pair"
    if min(times_ms) < 1:
        return "each time of a pattern is at least 1 ms"
    return ""


def pattern_timeline(times_ms: Sequence[int], intensity: float = 1.0) -> Timeline:
    """The timeline of on and off times (whole ms, at least 1, even count) at an intensity 0 to 1."""
    spans: list[Span] = []
    at = 0
    for index, length in enumerate(times_ms):
        if index % 2 == 0:
            spans.append(Span(at, at + length, intensity, intensity))
        at += length
    return normal(at, spans)


def position_key(order: Order, at_mm: tuple[int, int, int]) -> int:
    """What a sequence sorts by, in whole mm: y for left and right, x for front and rear, |y| for out and in."""
    x, y, _ = at_mm
    return {
        "left-to-right": y,
        "right-to-left": -y,
        "front-to-rear": x,
        "rear-to-front": -x,
        "out-to-in": -abs(y),
        "in-to-out": abs(y),
    }[order]


def sequence_ranks(order: Order, at_mm: Sequence[tuple[int, int, int]]) -> tuple[int, ...]:
    """Rank of each lamp from 0; lamps at one position share a rank."""
    keys = [position_key(order, at) for at in at_mm]
    place = {key: rank for rank, key in enumerate(sorted(set(keys)))}
    return tuple(place[key] for key in keys)


def sequence_timeline(
    kind: Literal["fill", "walk"],
    *,
    rank: int,
    ranks: int,
    step_ms: int,
    hold_ms: int,
    gap_ms: int,
    intensity: float = 1.0,
) -> Timeline:
    """The timeline of one rank (0 to ranks - 1) of a sequence; step and hold at least 1 ms, gap at least 0."""
    lit_until = (ranks - 1) * step_ms + hold_ms
    last = rank == ranks - 1
    end = lit_until if kind == "fill" or last else (rank + 1) * step_ms
    return normal(lit_until + gap_ms, [Span(rank * step_ms, end, intensity, intensity)])
