"""What an alternator gives at an engine speed."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise


def rotor_rpm(*, engine_rpm: float, pulley_ratio: float) -> float:
    """Rotor speed in rpm: engine speed x pulley ratio. Source: pulley. ValueError for a negative speed or ratio."""
    if engine_rpm < 0 or pulley_ratio <= 0:
        raise ValueError("a speed is not negative and a pulley ratio lies above 0")
    return engine_rpm * pulley_ratio


def output_a(*, curve: Sequence[tuple[float, float]], rotor_rpm: float) -> float:
    """Output in A at a rotor speed from points (rpm, A) in any order, straight between them.

    Below its first point 0 A, above its last the last point's. ValueError for an empty curve or a speed twice.
    """
    points = sorted(curve)
    if not points:
        raise ValueError("the curve has no point")
    if rotor_rpm < points[0][0]:
        return 0.0
    for (low_rpm, low_a), (high_rpm, high_a) in pairwise(points):
        if high_rpm == low_rpm:
            raise ValueError(f"the curve has two points at {low_rpm:g} rpm")
        if rotor_rpm <= high_rpm:
            return low_a + (high_a - low_a) * (rotor_rpm - low_rpm) / (high_rpm - low_rpm)
    return points[-1][1]
