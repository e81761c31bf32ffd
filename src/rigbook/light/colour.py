"""Colours of signal light against printed boundaries of CIE 1931 chromaticity, one rule an edition.

The federal text prints lines; the other standard is known here by its vertices. White and signal blue are not convex:
their lines are joined with *min* and *or* as printed, not all of them anded. Vertices form a polygon whose open side
lies on the spectral locus, which bulges outside it, so that a saturated colour may pass the lines and miss the polygon.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from types import MappingProxyType
from typing import Literal

from rigbook.quantities.tables import Mark, Table, read_table

Vertex = tuple[float, float]
Test = Callable[[float, float], bool]
SLACK = 1e-12


def _red(x: float, y: float) -> bool:
    return y <= 0.33 + SLACK and y >= 0.98 - x - SLACK


def _amber(x: float, y: float) -> bool:
    return y >= 0.39 - SLACK and y >= 0.79 - 0.67 * x - SLACK and y <= x - 0.12 + SLACK


def _white(x: float, y: float) -> bool:
    upper, lower = min(0.44, 0.15 + 0.64 * x), min(0.38, 0.05 + 0.75 * x)
    return 0.31 - SLACK <= x <= 0.50 + SLACK and lower - SLACK <= y <= upper + SLACK


def _green(x: float, y: float) -> bool:
    return y <= 0.73 - 0.73 * x + SLACK and x <= 0.63 * y - 0.04 + SLACK and y >= 0.50 - 0.50 * x - SLACK


def _restricted_blue(x: float, y: float) -> bool:
    return y <= 0.07 + 0.81 * x + SLACK and x <= 0.40 - y + SLACK and x <= 0.13 + 0.60 * y + SLACK


def _signal_blue(x: float, y: float, *, green_limit: float = 0.32) -> bool:
    white_edge = 0.16 if y >= 0.24 else 0.40 - y
    return y <= green_limit + SLACK and x <= 0.13 + 0.60 * y + SLACK and x <= white_edge + SLACK


def _ambulance_red(x: float, y: float) -> bool:
    return 0.32 - SLACK <= y <= 0.34 + SLACK and x >= 0.62 - SLACK


@dataclass(frozen=True, slots=True)
class Edition:
    """One edition of boundaries: its tests by colour, its source key and mark."""

    id: str
    title: str
    source: str
    mark: Mark
    tests: Mapping[str, Test]
    vertices: Mapping[str, tuple[Vertex, ...]]


FMVSS = Edition(
    "fmvss-108", "49 CFR 571.108, S14.4.1.4 (2015)", "fmvss-108-colour", "published",
    MappingProxyType(
        {"red": _red, "amber": _amber, "white": _white, "green": _green, "restricted blue": _restricted_blue,
         "blue": _signal_blue}
    ),
    MappingProxyType({}),
)  # fmt: skip
AMBULANCE = Edition(
    "kkk-a-1822e", "ambulance purchase description, revision E, 3.8.2.1", "kkk-a-1822e", "published",
    MappingProxyType({"red": _ambulance_red}), MappingProxyType({}),
)  # fmt: skip
TABLE = "sae-j578-2020-vertices"


@lru_cache(maxsize=1)
def editions() -> tuple[Edition, ...]:
    """All editions, the federal lines first."""
    table: Table = read_table(TABLE)
    corners: dict[str, list[Vertex]] = {}
    for row in table.records():
        corners.setdefault(row["colour"], []).append((float(row["x"]), float(row["y"])))
    vertices = {colour: tuple(points) for colour, points in corners.items()}
    tests = {colour: _polygon(points) for colour, points in vertices.items()}
    polygon = Edition("sae-j578-2020", "SAE J578 2020-04, vertices", table.source, table.mark,
                      MappingProxyType(tests), MappingProxyType(vertices))  # fmt: skip
    return (FMVSS, polygon, AMBULANCE)


def _polygon(points: Sequence[Vertex]) -> Test:
    return lambda x, y: within(points, x, y)


def within(points: Sequence[Vertex], x: float, y: float) -> bool:
    """Whether a point lies in a polygon or on its edge (ray casting; the polygon need not be convex)."""
    inside = False
    for (x1, y1), (x2, y2) in zip(points, (*points[1:], points[0]), strict=True):
        cross = (x2 - x1) * (y - y1) - (y2 - y1) * (x - x1)
        if (
            abs(cross) <= 1e-9
            and min(x1, x2) - 1e-9 <= x <= max(x1, x2) + 1e-9
            and min(y1, y2) - 1e-9 <= y <= max(y1, y2) + 1e-9
        ):
            return True
        if (y1 > y) != (y2 > y) and x < x1 + (y - y1) / (y2 - y1) * (x2 - x1):
            inside = not inside
    return inside


Verdict = Literal["inside", "outside", "not named"]


def judge_colour(*, edition: Edition, colour: str, x: float, y: float) -> Verdict:
    """Whether a chromaticity is that colour by an edition. ValueError for what is no chromaticity."""
    if not (0 <= x <= 1 and 0 < y <= 1 and x + y <= 1 + 1e-9):
        raise ValueError(f"x {x:g}, y {y:g} is no chromaticity: both from 0 up, together at most 1")
    test = edition.tests.get(colour)
    if test is None:
        return "not named"
    return "inside" if test(x, y) else "outside"


def colours_of(*, edition: Edition, x: float, y: float) -> tuple[str, ...]:
    """The colours of an edition that a chromaticity is."""
    return tuple(colour for colour, test in edition.tests.items() if test(x, y))


def temperature_k(*, x: float, y: float) -> float:
    """Correlated colour temperature by McCamy's cubic, K, for whites near the Planckian locus (about 2000 to 12500 K)
    [McCamy 1992, as computed in colour-science]. ValueError at its pole y = 0.1858."""
    if abs(0.1858 - y) < 1e-9:
        raise ValueError("no colour temperature at y = 0.1858")
    n = (x - 0.3320) / (0.1858 - y)
    return float(449 * n**3 + 3525 * n**2 + 6823.3 * n + 5520.33)


def mixed(parts: Sequence[tuple[float, float, float]]) -> tuple[float, float]:
    """Chromaticity of colours lit together, from (x, y, luminous part each): two colours of one head at once are a
    third [CIE 1931 additive mixture]. ValueError where nothing shines."""
    total = sum(part / y for _, y, part in parts if part > 0)
    if total <= 0:
        raise ValueError("nothing shines")
    big_y = sum(part for _, _, part in parts)
    big_x = sum(part * x / y for x, y, part in parts)
    return big_x / total, big_y / total


@lru_cache(maxsize=1)
def locus() -> tuple[tuple[float, float, float], ...]:
    """The spectral locus: wavelength in nm, x, y, every 5 nm."""
    return tuple((float(r["nm"]), float(r["x"]), float(r["y"])) for r in read_table("cie-1931-locus").records())
