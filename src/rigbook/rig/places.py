"""Where things are: zones of a facing, halves, rows, bars, nodes within reach, areas.

Pure functions of vehicle axes (x backward, y to the driver's right, z up; azimuth clockwise from ahead).
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from typing import Literal

from rigbook.documents.schema.vehicle import Run
from rigbook.rig.model import Point

ZONE_MIDDLES: tuple[tuple[str, float], ...] = (("front", 0.0), ("right", 90.0), ("rear", 180.0), ("left", 270.0))
ALL_ZONES = frozenset(name for name, _ in ZONE_MIDDLES)
ZONE_HALF_WIDTH_DEG = 45.0
MIDDLE_M = 0.001
SEEN_TILT_DEG = 45.0
_TOLERANCE_DEG = 1e-9


def as_point(coordinates: Sequence[float]) -> Point:
    """Three coordinates in metres as a point."""
    x_m, y_m, z_m = coordinates
    return Point(x_m, y_m, z_m)


def distance_m(a: Point, b: Point) -> float:
    """Straight distance in metres."""
    return math.dist((a.x_m, a.y_m, a.z_m), (b.x_m, b.y_m, b.z_m))


def zones_of_facing(*, facing_deg: float | None, all_round: bool) -> frozenset[str]:
    """Zones an azimuth counts for; each spans 90 deg, both ends included, so that 45 deg belongs to two.

    All-round counts for all four, no facing for none. Any real azimuth is taken modulo 360 deg.
    """
    if all_round:
        return ALL_ZONES
    if facing_deg is None:
        return frozenset()
    found = set()
    for name, middle in ZONE_MIDDLES:
        away = abs((facing_deg - middle + 180.0) % 360.0 - 180.0)
        if away <= ZONE_HALF_WIDTH_DEG + _TOLERANCE_DEG:
            found.add(name)
    return frozenset(found)


def seen_zones(*, zones: frozenset[str], tilt_deg: float) -> frozenset[str]:
    """Zones a lamp is seen in: none where it tilts beyond 45 deg of the horizon [common practice, no source]."""
    return zones if abs(tilt_deg) <= SEEN_TILT_DEG + _TOLERANCE_DEG else frozenset()


def half_of(*, y_m: float) -> Literal["left", "right"] | None:
    """Half of the vehicle: y below 0 is left, above is right, within 1 mm of the middle neither."""
    if abs(y_m) <= MIDDLE_M + 1e-12:
        return None
    return "left" if y_m < 0 else "right"


def row_points(*, start: Point, end: Point, count: int) -> tuple[Point, ...]:
    """Evenly spaced points from start to end, both included; one point alone stands at the start."""
    if count < 1:
        raise ValueError("a row has at least one lamp")
    if count == 1:
        return (start,)
    made = []
    for index in range(count):
        share = index / (count - 1)
        made.append(
            Point(
                start.x_m + (end.x_m - start.x_m) * share,
                start.y_m + (end.y_m - start.y_m) * share,
                start.z_m + (end.z_m - start.z_m) * share,
            )
        )
    return tuple(made)


def in_bar(*, bar: Point, facing_deg: float, offset: Point) -> Point:
    """A module's place in vehicle axes, from its place in a bar that faces `facing_deg`.

    The offset is as the vehicle's axes for a bar that faces ahead: x behind the bar's middle, y to its
    right, z up. The bar turns about the vertical through its middle.
    """
    turn = math.radians(facing_deg)
    cos, sin = math.cos(turn), math.sin(turn)
    return Point(
        bar.x_m + offset.x_m * cos + offset.y_m * sin,
        bar.y_m - offset.x_m * sin + offset.y_m * cos,
        bar.z_m + offset.z_m,
    )


def facing_in_bar(*, facing_deg: float, module_deg: float) -> float:
    """Azimuth of a module in a bar, 0 up to 360 deg."""
    return (facing_deg + module_deg) % 360.0


def nearest(*, at: Point, among: Mapping[str, Point]) -> tuple[str, float] | None:
    """Name and distance of the nearest point; the first named wins a tie. None where there are none."""
    best: tuple[str, float] | None = None
    for name, point in among.items():
        away = distance_m(at, point)
        if best is None or away < best[1] - 1e-12:
            best = (name, away)
    return best


def area_of_node(*, node: str, runs: Iterable[Run], ambient_c: Mapping[str, float]) -> str | None:
    """Area of a node: the hottest of the runs that touch it, the first named on a tie; None where none does."""
    best: str | None = None
    for run in runs:
        if node in run.between and run.area in ambient_c and (best is None or ambient_c[run.area] > ambient_c[best]):
            best = run.area
    return best
