"""The circle round a few wires: diameter of a bundle of up to seven, of one size or of several.

Of one size the smallest circles are known in closed form. Of several sizes the wires are laid, largest first, each where
it touches two things (wall or wires), and the circle is drawn in until they can no longer be laid: what comes out holds
them surely, and a better laying may exist that is a little smaller.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache

MOST = 7
"""Wires that are laid one by one; beyond, the formula of bundles is good enough."""
EQUAL = {
    1: 1.0,
    2: 2.0,
    3: 1.0 + 2.0 / math.sqrt(3.0),
    4: 1.0 + math.sqrt(2.0),
    5: 1.0 + 1.0 / math.sin(math.pi / 5),
    6: 3.0,
    7: 3.0,
}
"""Diameter of the smallest circle round equal circles of diameter 1. Source: circle packing, proven for these counts."""
CLOSE = 0.002
"""How far the drawing in goes, as a share of the diameter."""
_SLACK = 1e-9
Laid = tuple[float, float, float]
"""x, y and radius of a wire in the bundle."""


def enclosing_diameter(*, diameters: Sequence[float]) -> float:
    """Diameter of a circle that holds one to seven wires, in the unit of their diameters.

    Exact for wires of one size, for two, and for three (source: circle packing); else the smallest circle in which they
    were laid, within 0.2 %. ValueError for none, more than seven, or a diameter of 0 or less.
    """
    if not 1 <= len(diameters) <= MOST or min(diameters) <= 0:
        raise ValueError("one to seven wires of some thickness")
    return _enclosing(tuple(sorted((float(each) for each in diameters), reverse=True)))


@lru_cache(maxsize=4096)
def _enclosing(diameters: tuple[float, ...]) -> float:
    if diameters[0] == diameters[-1]:
        return EQUAL[len(diameters)] * diameters[0]
    if len(diameters) == 2:
        return diameters[0] + diameters[1]
    if len(diameters) == 3:
        return _round_three(diameters)
    low = max(diameters[0] + diameters[1], math.sqrt(sum(each * each for each in diameters)))
    high = EQUAL[len(diameters)] * diameters[0]
    if laid(diameters=diameters, outer=low):
        return low
    while high - low > CLOSE * high:
        middle = (low + high) / 2
        if laid(diameters=diameters, outer=middle):
            high = middle
        else:
            low = middle
    return high


def _round_three(diameters: tuple[float, ...]) -> float:
    """Circle round three that touch one another (Descartes), or round the two largest where the third falls between."""
    a, b, c = (2.0 / each for each in diameters)
    outer = a + b + c - 2.0 * math.sqrt(a * b + b * c + c * a)
    two = diameters[0] + diameters[1]
    # The third falls into the gap beside two where the circle round all three would be no larger than round the two.
    beside = diameters[0] * diameters[1] * two / (diameters[0] ** 2 + diameters[0] * diameters[1] + diameters[1] ** 2)
    return two if diameters[2] <= beside else -2.0 / outer


def laid(*, diameters: Sequence[float], outer: float) -> tuple[Laid, ...]:
    """The wires laid inside a circle of diameter `outer` round the origin; empty where they were not to be laid so."""
    sizes = sorted((each / 2 for each in diameters), reverse=True)
    for first in dict.fromkeys(sizes):
        rest = list(sizes)
        rest.remove(first)
        for outward in (True, False):
            found = _lay(outer / 2, first, rest, outward=outward)
            if found:
                return tuple(found)
    return ()


def _lay(outer: float, first: float, rest: Sequence[float], *, outward: bool) -> list[Laid]:
    """Largest first, each at the free corner farthest from (or nearest to) the middle."""
    if outer < first - _SLACK:
        return []
    placed: list[Laid] = [(outer - first, 0.0, first)]
    for radius in rest:
        best: tuple[float, float, float] | None = None
        for x, y in _corners(outer, placed, radius):
            away = math.hypot(x, y)
            key = away if outward else -away
            if best is None or key > best[0] + _SLACK:
                best = (key, x, y)
        if best is None:
            return []
        placed.append((best[1], best[2], radius))
    return placed


def _corners(outer: float, placed: Sequence[Laid], radius: float) -> list[tuple[float, float]]:
    """Where a wire touches two of wall and wires, and overlaps none."""
    rings = [(0.0, 0.0, outer - radius)] + [(x, y, r + radius) for x, y, r in placed]
    found = []
    for one in range(len(rings)):
        for other in range(one + 1, len(rings)):
            for x, y in _crossings(rings[one], rings[other]):
                if x * x + y * y > (outer - radius + _SLACK) ** 2:
                    continue
                if all((x - a) ** 2 + (y - b) ** 2 >= (r + radius - _SLACK) ** 2 for a, b, r in placed):
                    found.append((x, y))
    return found


def _crossings(one: Laid, other: Laid) -> tuple[tuple[float, float], ...]:
    ax, ay, ar = one
    bx, by, br = other
    dx, dy = bx - ax, by - ay
    apart = math.hypot(dx, dy)
    if apart < _SLACK or apart > ar + br + _SLACK or apart < abs(ar - br) - _SLACK:
        return ()
    along = (apart * apart + ar * ar - br * br) / (2 * apart)
    up = math.sqrt(max(0.0, ar * ar - along * along))
    px, py = ax + along * dx / apart, ay + along * dy / apart
    return ((px - up * dy / apart, py + up * dx / apart), (px + up * dy / apart, py - up * dx / apart))
