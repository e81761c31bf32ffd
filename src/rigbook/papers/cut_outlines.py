"""What a cutter cuts of a face: closed outlines in millimetres, from the lower left corner, true to size.

Kerf is not in them: whoever cuts sets it once, on the machine.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import TYPE_CHECKING

from rigbook.body.face_fit import Laid, laid_on, letter_m
from rigbook.documents.schema.panels import Panel
from rigbook.rig.faces import STRIP
from rigbook.rig.model import Rig

if TYPE_CHECKING:
    from shapely.geometry import Polygon

SAME_MM = 0.01
"""Nearer than this, two outlines count as one."""
QUARTER = math.tan(math.pi / 8)
"""Bulge of a quarter of a circle."""
Corner = tuple[float, float, float]
"""x, y, and the bulge of the way to the next corner (tangent of a quarter of its angle; 0 straight)."""


@dataclass(frozen=True, slots=True)
class Outline:
    """One closed outline: a circle, or corners with arcs between them. Millimetres."""

    id: str
    what: str
    circle: tuple[float, float, float] | None = None
    corners: tuple[Corner, ...] = ()

    def points(self, *, step_deg: float = 1.0) -> list[tuple[float, float]]:
        """The outline as a polygon whose corners all lie on it."""
        if self.circle is not None:
            x, y, r = self.circle
            count = math.ceil(360 / step_deg)
            return [
                (x + r * math.cos(2 * math.pi * k / count), y + r * math.sin(2 * math.pi * k / count))
                for k in range(count)
            ]
        made: list[tuple[float, float]] = []
        for (x, y, bulge), (x2, y2, _) in zip(self.corners, self.corners[1:] + self.corners[:1], strict=True):
            made.append((x, y))
            made += _arc((x, y), (x2, y2), bulge, step_deg)
        return made


@dataclass(frozen=True, slots=True)
class Word:
    """One engraved text: its middle, the height of its capitals, what it says. Millimetres."""

    id: str
    text: str
    x: float
    y: float
    height: float


def _arc(
    start: tuple[float, float], end: tuple[float, float], bulge: float, step_deg: float
) -> list[tuple[float, float]]:
    """Points between the ends of an arc, ends left out."""
    if bulge == 0:
        return []
    angle = 4 * math.atan(bulge)
    chord = math.dist(start, end)
    radius = chord / (2 * math.sin(angle / 2))
    mx, my = (start[0] + end[0]) / 2, (start[1] + end[1]) / 2
    off = radius * math.cos(angle / 2) / chord
    cx, cy = mx - off * (end[1] - start[1]), my + off * (end[0] - start[0])
    first = math.atan2(start[1] - cy, start[0] - cx)
    count = max(1, math.ceil(abs(math.degrees(angle)) / step_deg))
    size = abs(radius)
    return [
        (cx + size * math.cos(first + angle * k / count), cy + size * math.sin(first + angle * k / count))
        for k in range(1, count)
    ]


def rounded(name: str, what: str, left: float, bottom: float, right: float, top: float, radius: float) -> Outline:
    """A rectangle with rounded corners; a circle where the corners take all of it."""
    wide, high = right - left, top - bottom
    if radius > 0 and abs(wide - 2 * radius) < 1e-6 and abs(high - 2 * radius) < 1e-6:
        return Outline(name, what, circle=((left + right) / 2, (bottom + top) / 2, radius))
    if radius <= 0:
        return Outline(
            name, what, corners=((left, bottom, 0.0), (right, bottom, 0.0), (right, top, 0.0), (left, top, 0.0))
        )
    r = radius
    corners: list[Corner] = [
        (left + r, bottom, 0.0), (right - r, bottom, QUARTER), (right, bottom + r, 0.0), (right, top - r, QUARTER),
        (right - r, top, 0.0), (left + r, top, QUARTER), (left, top - r, 0.0), (left, bottom + r, QUARTER),
    ]  # fmt: skip
    kept = [
        c for c, after in zip(corners, corners[1:] + corners[:1], strict=True) if math.dist(c[:2], after[:2]) > 1e-9
    ]
    return Outline(name, what, corners=tuple(kept))


def turned(x: float, y: float, turn_deg: float) -> tuple[float, float]:
    """A point turned about the middle by quarters, against the clock."""
    for _ in range(round(turn_deg / 90) % 4):
        x, y = -y, x
    return x, y


def cuts_of(rig: Rig, panel: Panel) -> list[Outline]:
    """Every outline to cut: the face itself first, then cut-outs and holes in file order."""
    wide, high = (1e3 * extent for extent in panel.size)
    made = [rounded(panel.id, "outer edge", 0.0, 0.0, wide, high, 1e3 * panel.corner)]
    for number, (x, y) in enumerate(panel.fixings, 1):
        made.append(
            Outline(
                f"{panel.id}.{number}", "fixing hole of the face", circle=(1e3 * x, 1e3 * y, 500 * panel.fixing_hole)
            )
        )
    for laid in laid_on(rig, panel):
        if laid.footprint.cut is not None:
            o = laid.opening
            corner = 1e3 * laid.footprint.corner
            made.append(rounded(laid.id, "cut-out", 1e3 * o.left, 1e3 * o.bottom, 1e3 * o.right, 1e3 * o.top, corner))
        part = rig.parts[rig.devices[laid.id].part_id or ""]
        for number, (x, y) in enumerate(part.fixings, 1):
            dx, dy = turned(x, y, laid.turn_deg)
            at = (1e3 * (laid.at[0] + dx), 1e3 * (laid.at[1] + dy), 500 * part.fixing_hole)
            made.append(Outline(f"{laid.id}.{number}", "fixing hole", circle=at))
    return made


def words_of(rig: Rig, panel: Panel) -> list[Word]:
    """Every engraved text: one stands above its thing, several in two rows above and below, in the order of the switches."""
    return [word for laid in laid_on(rig, panel) for word in _words(panel, laid)]


def _words(panel: Panel, laid: Laid) -> Iterator[Word]:
    letter = letter_m(panel, laid)
    if letter is None:
        return
    covers, size, strip = laid.covers, 1e3 * letter, 1e3 * STRIP * panel.legend
    across = 1 if len(laid.legends) == 1 else math.ceil(len(laid.legends) / 2)
    for index, text in enumerate(laid.legends):
        row, column = divmod(index, across)
        count = across if row == 0 else len(laid.legends) - across
        x = 1e3 * covers.left + 1e3 * covers.width * (column + 0.5) / count
        y = 1e3 * covers.top - strip / 2 if row == 0 else 1e3 * covers.bottom + strip / 2
        yield Word(f"{laid.id}.{index + 1}", text, x, y, size)


def problems(panel: Panel, cuts: Sequence[Outline]) -> list[str]:
    """Why a face cannot be cut as it is: outlines twice, crossing, over the edge; holes smaller than the sheet is thick."""
    from shapely.geometry import Polygon

    shapes: dict[str, Polygon] = {cut.id: Polygon(cut.points(step_deg=5)) for cut in cuts}
    outer, *inner = cuts
    found = []
    for cut in inner:
        if not shapes[outer.id].contains(shapes[cut.id]):
            found.append(f"the {cut.what} {cut.id} reaches over the edge of {panel.id}")
        if cut.circle is not None and 2 * cut.circle[2] < 1e3 * panel.thickness - 1e-9:
            found.append(f"the {cut.what} {cut.id} is smaller than the sheet is thick")
    for one, other in combinations(inner, 2):
        if shapes[one.id].hausdorff_distance(shapes[other.id]) < SAME_MM:
            found.append(f"{one.id} and {other.id} are the same outline twice")
        elif shapes[one.id].intersects(shapes[other.id]):
            found.append(f"the {one.what} {one.id} meets the {other.what} {other.id}")
    return found
