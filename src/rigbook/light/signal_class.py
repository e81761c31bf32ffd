"""Classes of electrically flashed warning lamps by their printed test points [13 CCR 817, Table I]."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from math import cos, radians, sin

from rigbook.light.sources import Shape
from rigbook.quantities.tables import read_table

TABLE = "ccr-13-817-table-1"
CLASSES = ("A", "B", "C", "D")
Point = tuple[float, float, float]
"""Degrees up, degrees to either side, least candela."""


@lru_cache(maxsize=32)
def points_of(name: str, colour: str) -> tuple[Point, ...]:
    """The printed points of a class and colour; empty where the table has no such column."""
    table = read_table(TABLE)
    column = f"{name} {colour}"
    if column not in table.columns:
        return ()
    found = []
    for row in table.records():
        if row[column]:
            up = 0.0 if row["vertical"] == "H" else float(row["vertical"].removesuffix("U"))
            side = 0.0 if row["horizontal"] == "V" else float(row["horizontal"])
            found.append((up, side, float(row[column])))
    return tuple(found)


def least_share(*, name: str, colour: str, candela: Callable[[float, float], float]) -> float | None:
    """Least of candela over the printed figure at the points of a class, left and right; None without such a column.

    candela: intensity at degrees up and degrees to the right, in a lamp's own axes.
    """
    points = points_of(name, colour)
    if not points:
        return None
    return min(candela(up, turn * side) / least for up, side, least in points for turn in (1, -1))


def shape_share(shape: Shape, *, name: str, colour: str) -> float | None:
    """`least_share` of a distribution: the sphere of SAE lamp grids, up from H and to the side of V."""

    def candela(up_deg: float, right_deg: float) -> float:
        up, right = radians(up_deg), radians(right_deg)
        return float(shape.toward_cd(ahead=cos(up) * cos(right), right=cos(up) * sin(right), up=sin(up)))

    return least_share(name=name, colour=colour, candela=candela)
