"""What the outline hides of one lamp, for very many points: the same answer as `outline.blocked`, column by column."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np

from rigbook.light.illuminance import Mask, Numbers, Vector
from rigbook.light.outline import Prism

TOUCHES = 1e-9
"""Less of the way than this inside a body is a touch, and hides nothing."""


def reached(prisms: Sequence[Prism], start: Vector, points_m: Numbers) -> Mask:
    """Which points (shape (3, n)) a lamp at `start` reaches past the outline. Touching a face hides nothing."""
    way = tuple(points_m[axis] - start[axis] for axis in range(3))
    hidden = np.zeros(points_m.shape[1], bool)
    for body in prisms:
        hidden |= _inside(body, start, way)
    return ~hidden


def _inside(body: Prism, start: Vector, way: tuple[Numbers, ...]) -> Mask:
    """Whether a part of the way from the start (0) to the point (1) lies inside a convex body."""
    low, high = np.zeros_like(way[0]), np.ones_like(way[0])
    never = np.zeros(len(low), bool)
    for normal, offset in zip(body.normals, body.offsets, strict=True):
        room = float(offset - sum(n * s for n, s in zip(normal, start, strict=True)))
        speed = _along(normal, way)
        flat = speed == 0
        if flat.any():
            if room <= 0:
                never |= flat
            speed[flat] = 1e-300  # such a face limits nothing
        at = room / speed
        np.maximum(low, at, out=low, where=speed < 0)
        np.minimum(high, at, out=high, where=speed > 0)
    found: Mask = (high - low > TOUCHES) & ~never
    return found


def _along(normal: Numbers, way: tuple[Numbers, ...]) -> Numbers:
    found = np.zeros_like(way[0])
    for n, w in zip(normal, way, strict=True):
        if n != 0:
            found += n * w
    return found


def shade(prisms: Sequence[Prism], starts: Sequence[Vector]) -> Callable[[int, Numbers], Mask]:
    """For `illuminance_lx`: which points of a chunk each of several lamps reaches."""
    return lambda index, points: reached(prisms, starts[index], points)
