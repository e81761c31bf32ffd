"""Contour lines of a regular grid: marching squares with the saddle decided by the middle of the cell.

Along each edge of a cell the value is linear, so a line crosses it where the level lies between its ends. A cell whose
corners lie high and low in turn (a saddle) is cut as the mean of its corners says. Values equal to the level count as
above it, so every line closes or ends at the rim of the grid.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from rigbook.light.illuminance import Numbers

Edge = tuple[int, int, int]  # row, column, and 0 for the edge toward the next column, 1 toward the next row
Line = tuple[tuple[float, float], ...]

# Which edges of a cell a line joins, by the corners that are high: bit 0 low left, 1 low right, 2 high right, 3 high left.
# Edges: 0 bottom, 1 right, 2 top, 3 left. Saddles (5 and 10) are decided apart.
_JOINS: tuple[tuple[tuple[int, int], ...], ...] = (
    (), ((3, 0),), ((0, 1),), ((3, 1),), ((1, 2),), (), ((0, 2),), ((3, 2),),
    ((2, 3),), ((2, 0),), (), ((2, 1),), ((1, 3),), ((1, 0),), ((0, 3),), (),
)  # fmt: skip
_SADDLES = {
    (5, True): ((3, 2), (1, 0)), (5, False): ((3, 0), (1, 2)),
    (10, True): ((0, 3), (2, 1)), (10, False): ((0, 1), (2, 3)),
}  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Contour:
    """The lines of one level, in the units of the grid's axes; a closed one ends where it begins."""

    level: float
    lines: tuple[Line, ...]


def contours(x: Numbers, y: Numbers, values: Numbers, levels: Sequence[float]) -> tuple[Contour, ...]:
    """The lines of several levels on a grid: `values[row, column]` stands at `x[column]`, `y[row]`.

    Raises:
        ValueError: the shapes do not agree, a side has fewer than two points, or an axis does not rise.
    """
    if values.shape != (len(y), len(x)) or min(values.shape) < 2:
        raise ValueError(f"a grid of {len(y)} rows by {len(x)} columns, at least 2 each, not {values.shape}")
    if (np.diff(x) <= 0).any() or (np.diff(y) <= 0).any():
        raise ValueError("the axes of a grid rise")
    return tuple(Contour(level=level, lines=_lines(x, y, values, level)) for level in levels)


def _lines(x: Numbers, y: Numbers, values: Numbers, level: float) -> tuple[Line, ...]:
    joined = _joined(values, level)
    seen: set[Edge] = set()
    found: list[Line] = []
    rim = [edge for edge, others in joined.items() if len(others) == 1]
    for start in (*rim, *joined):  # lines that end at the rim first, closed ones after
        if start in seen:
            continue
        way = _walk(joined, start, seen)
        found.append(tuple(_at(x, y, values, level, edge) for edge in way))
    return tuple(found)


def _joined(values: Numbers, level: float) -> dict[Edge, list[Edge]]:
    """Every crossed edge with the one or two crossed edges it is joined to."""
    high = values >= level
    code = high[:-1, :-1] + 2 * high[:-1, 1:] + 4 * high[1:, 1:] + 8 * high[1:, :-1]
    rows, columns = np.nonzero((code != 0) & (code != 15))
    joined: dict[Edge, list[Edge]] = {}
    for row, column in zip(rows.tolist(), columns.tolist(), strict=True):
        which = int(code[row, column])
        joins = _JOINS[which]
        if which in (5, 10):
            middle = float(values[row : row + 2, column : column + 2].mean())
            joins = _SADDLES[which, middle >= level]
        edges: tuple[Edge, ...] = ((row, column, 0), (row, column + 1, 1), (row + 1, column, 0), (row, column, 1))
        for a, b in joins:
            joined.setdefault(edges[a], []).append(edges[b])
            joined.setdefault(edges[b], []).append(edges[a])
    return joined


def _walk(joined: dict[Edge, list[Edge]], start: Edge, seen: set[Edge]) -> list[Edge]:
    """The edges of one line, from its start; the start again at the end of a closed one."""
    way, here = [start], start
    seen.add(start)
    while True:
        onward = [edge for edge in joined[here] if edge not in seen]
        if not onward:
            if len(way) > 2 and start in joined[here]:
                way.append(start)
            return way
        here = onward[0]
        seen.add(here)
        way.append(here)


def _at(x: Numbers, y: Numbers, values: Numbers, level: float, edge: Edge) -> tuple[float, float]:
    row, column, along = edge
    a = float(values[row, column])
    b = float(values[row, column + 1] if along == 0 else values[row + 1, column])
    share = 0.0 if a == b else (level - a) / (b - a)
    if along == 0:
        return float(x[column] + share * (x[column + 1] - x[column])), float(y[row])
    return float(x[column]), float(y[row] + share * (y[row + 1] - y[row]))
