"""Illuminance of any points by lamps: the inverse square and cosine law, for lobes and for measured distributions.

A point at r lit by a lamp at q with the intensity I toward it gets, on a plane with the unit normal n,

    E = I max(0, n . (q - r)) / |q - r|^3                                                   [ies-cosine-law]

so a horizontal plane gets I cos^3 g / h^2 and a vertical one facing the lamp I cos^2 g sin g / h^2. The lamp counts as a
point, which needs a distance of five times its largest dimension at least [five-times-rule].

The work runs in chunks of points, so its memory is bounded however many points and lamps there are.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from rigbook.light.beams import lobe_exponent
from rigbook.light.sources import Lobe, Shape

Numbers = npt.NDArray[np.float64]
Mask = npt.NDArray[np.bool_]
Vector = tuple[float, float, float]
UP: Vector = (0.0, 0.0, 1.0)
CHUNK = 16384
"""Points worked on at once: some twenty arrays of them stay in the cache."""
FAR_FIELD_TIMES = 5.0
"""Least distance in largest dimensions of the lamp for the inverse square law [five-times-rule]."""
_LEAST_M2 = 1e-9
_LEAST = 1e-300


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Beam:
    """One lamp that burns: from where, its axes (rows ahead, right, up), its distribution, and the share that shines.

    `share` is intensity (0 to 1) times glass times whatever else dims.
    """

    at: Vector
    axes: Numbers
    shape: Shape
    share: float = 1.0


def aim_at(*, at: Vector, target: Vector) -> tuple[float, float]:
    """Azimuth and tilt, deg, of a lamp at `at` whose axis goes through `target` (not the same point)."""
    x, y, z = (b - a for a, b in zip(at, target, strict=True))
    return math.degrees(math.atan2(y, -x)) % 360.0, math.degrees(math.atan2(z, math.hypot(x, y)))


def illuminance_lx(
    points_m: Numbers,
    normals: Sequence[Vector | Numbers],
    beams: Sequence[Beam],
    *,
    seen: Callable[[int, Numbers], Mask] | None = None,
    chunk: int = CHUNK,
) -> Numbers:
    """Illuminance, lx, of points on planes through each.

    Args:
        points_m: shape (3, n): x, y, z.
        normals: unit normals of the planes: one vector for all points, or an array of shape (3, n).
        beams: the lamps that burn.
        seen: for the number of a beam and a chunk of points, which of them it reaches; all where left out.
        chunk: points at once.

    Returns:
        An array of shape (number of normals, n).
    """
    count = points_m.shape[1]
    found = np.zeros((len(normals), count))
    for start in range(0, count, chunk):
        part = slice(start, min(start + chunk, count))
        points = points_m[:, part]
        planes = [n[:, part] if isinstance(n, np.ndarray) else n for n in normals]
        for index, beam in enumerate(beams):
            if beam.share <= 0:
                continue
            mask = None if seen is None else seen(index, points)
            if mask is not None and not mask.any():
                continue
            _add(found[:, part], points, planes, beam, mask)
    return found


def _add(found: Numbers, points: Numbers, planes: Sequence[Vector | Numbers], beam: Beam, mask: Mask | None) -> None:
    """Add what one beam gives the points of a chunk."""
    x, y, z = (q - points[axis] for axis, q in enumerate(beam.at))  # from the point to the lamp
    squared = x * x
    squared += y * y
    squared += z * z
    np.maximum(squared, _LEAST_M2, out=squared)
    over = _intensity_over_cube(x, y, z, squared, beam)
    if mask is not None:
        over *= mask
    for row, normal in zip(found, planes, strict=True):
        if normal is UP:
            slant = np.maximum(z, 0.0)
        else:
            slant = x * normal[0]
            slant += y * normal[1]
            slant += z * normal[2]
            np.maximum(slant, 0.0, out=slant)
        slant *= over
        row += slant


def _intensity_over_cube(x: Numbers, y: Numbers, z: Numbers, squared: Numbers, beam: Beam) -> Numbers:
    """I / d^3 of one beam, cd/m3; x, y, z lead from the points to the lamp."""
    shape, (ahead, right, up) = beam.shape, beam.axes
    along = _dot(x, y, z, ahead)
    if isinstance(shape, Lobe) and not shape.wide:
        exponent: float | Numbers
        if shape.horizontal_deg == shape.vertical_deg:
            exponent = lobe_exponent(beam_deg=shape.horizontal_deg)
        else:
            exponent = _exponents(_dot(x, y, z, right), _dot(x, y, z, up), shape)
        return _lobe_over_cube(squared, along, exponent, shape.peak_cd * beam.share)
    cube = np.sqrt(squared)
    cube *= squared
    candela = shape.toward_cd(ahead=along, right=_dot(x, y, z, right), up=_dot(x, y, z, up))
    candela *= beam.share
    candela /= cube
    return candela


def _dot(x: Numbers, y: Numbers, z: Numbers, axis: Numbers) -> Numbers:
    """Component along an axis of the way from the lamp to the points."""
    found: Numbers = x * -axis[0]
    found -= y * axis[1]
    found -= z * axis[2]
    return found


def _lobe_over_cube(squared: Numbers, along: Numbers, exponent: float | Numbers, peak_cd: float) -> Numbers:
    """peak (s/d)^m / d^3 as exp(m ln s - (m + 3)/2 ln d^2), s the way along the axis; 0 behind the lamp."""
    np.maximum(along, _LEAST, out=along)
    np.log(along, out=along)
    along *= exponent
    power = np.log(squared)
    power *= 0.5 * (np.asarray(exponent) + 3.0)
    along -= power
    np.exp(along, out=along)
    along *= peak_cd
    return along


def _exponents(right: Numbers, up: Numbers, shape: Lobe) -> Numbers:
    """Exponent of an elliptic lobe toward each point: ln 0.5 / ln cos g50, with g50 on the ellipse of half widths."""
    right *= right
    up *= up
    total = right + up
    np.maximum(total, _LEAST, out=total)
    right /= total  # sin^2 of the angle around the axis, from up
    wide, high = math.radians(shape.horizontal_deg / 2), math.radians(shape.vertical_deg / 2)
    right *= wide**-2 - high**-2
    right += high**-2
    np.sqrt(right, out=right)
    np.reciprocal(right, out=right)
    np.cos(right, out=right)
    np.log(right, out=right)
    found: Numbers = math.log(0.5) / right
    return found
