"""Faces in space: where a point of a face lies in the vehicle, what a thing covers on it, and rows for what is left open.

On a face x runs to the right as seen from its front, y up, from the lower left corner; n stands out of it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from rigbook.documents.schema.build import BuildDocument, Install
from rigbook.documents.schema.panels import Panel
from rigbook.rig.placement import Point

STRIP = 1.7
"""Height of a line of engraved letters with its air, over the height of the letters [common practice, no source]."""
LETTERS_WIDE = 0.82
"""Width of a capital over its height, on average, of the letters that are engraved (measured; the usual is 3:5 to 1:1)."""
Axis = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Rectangle:
    """Part of a face, m: left, bottom, right, top."""

    left: float
    bottom: float
    right: float
    top: float

    @property
    def width(self) -> float:
        """Across."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """Up."""
        return self.top - self.bottom

    def apart(self, other: Rectangle) -> float:
        """Least distance between two; below zero by how far they would have to move where they overlap."""
        dx = max(other.left - self.right, self.left - other.right)
        dy = max(other.bottom - self.top, self.bottom - other.top)
        return math.hypot(dx, dy) if dx > 0 and dy > 0 else max(dx, dy)

    def room_in(self, other: Rectangle) -> float:
        """Least distance to the edges of what surrounds it; below zero where it reaches beyond them."""
        return min(
            self.left - other.left, self.bottom - other.bottom, other.right - self.right, other.top - self.top
        )  # fmt: skip


@dataclass(frozen=True, slots=True)
class Footprint:
    """What a thing covers on a face about the middle of its cut-out, m: bezel, cut-out, and letters above and below."""

    bezel: tuple[float, float]
    cut: tuple[float, float] | None
    corner: float
    above: float
    below: float
    behind: float
    in_front: float

    @property
    def width(self) -> float:
        """Of all of it."""
        return self.bezel[0]

    @property
    def height(self) -> float:
        """Of all of it."""
        return self.bezel[1] + self.above + self.below

    @property
    def middle(self) -> float:
        """From its lower edge up to the middle of the cut-out."""
        return self.below + self.bezel[1] / 2

    def covers(self, at: tuple[float, float]) -> Rectangle:
        """Bezel and letters of a thing at a place."""
        x, y = at
        bottom = y - self.middle
        return Rectangle(x - self.bezel[0] / 2, bottom, x + self.bezel[0] / 2, bottom + self.height)

    def opening(self, at: tuple[float, float]) -> Rectangle:
        """Its cut-out, or its bezel where it sits on the surface."""
        wide, high = self.cut or self.bezel
        return Rectangle(at[0] - wide / 2, at[1] - high / 2, at[0] + wide / 2, at[1] + high / 2)


@dataclass(frozen=True, slots=True)
class Frame:
    """A face in the vehicle: its lower left corner, and the ways to the right, up along it and out of it."""

    corner: Axis
    right: Axis
    up: Axis
    out: Axis

    def point(self, x: float, y: float, n: float = 0.0) -> Point:
        """A point of the face in vehicle axes."""
        return Point(
            *(c + x * r + y * u + n * o for c, r, u, o in zip(self.corner, self.right, self.up, self.out, strict=True))
        )

    def local(self, point: Sequence[float]) -> Axis:
        """A point in vehicle axes as x, y, n of the face."""
        away = [p - c for p, c in zip(point, self.corner, strict=True)]
        x, y, n = (sum(a * b for a, b in zip(away, axis, strict=True)) for axis in (self.right, self.up, self.out))
        return x, y, n


def frame_of(panel: Panel) -> Frame:
    """The face of a panel in vehicle axes: x backward, y to the right, z up."""
    facing, tilt = math.radians(panel.facing), math.radians(panel.tilt)
    ahead = (-math.cos(facing), math.sin(facing))
    right = (-math.sin(facing), -math.cos(facing), 0.0)
    out = (ahead[0] * math.cos(tilt), ahead[1] * math.cos(tilt), math.sin(tilt))
    up = (-ahead[0] * math.sin(tilt), -ahead[1] * math.sin(tilt), math.cos(tilt))
    wide, high = panel.size
    x, y, z = (m - wide / 2 * r - high / 2 * u for m, r, u in zip(panel.at, right, up, strict=True))
    return Frame((x, y, z), right, up, out)


def legends_of(row: Install, build: BuildDocument) -> tuple[str, ...]:
    """What is engraved beside a thing: as set, else the labels of the switches that sit on it."""
    if row.on is not None and row.on.legend is not None:
        return (row.on.legend,)
    switches = build.switching.switches
    return tuple(s.label or s.id for s in switches if row.id in (s.link, s.panel))


def footprint_of(row: Install, part: Any, panel: Panel, build: BuildDocument) -> Footprint:
    """What a row covers on its face, turned as set; letters always stand level, half of them below where there are many."""
    assert row.on is not None
    wide, high = part.bezel or (part.size[1], part.size[2])
    cut = part.cut_out
    if row.on.turn % 180 == 90:
        wide, high = high, wide
        cut = None if cut is None else (cut[1], cut[0])
    lines = len(legends_of(row, build)) if panel.legend > 0 else 0
    strip = STRIP * panel.legend
    depth = part.depth_behind_face
    behind = (part.size[0] if cut is not None else 0.0) if depth is None else depth
    return Footprint(
        (wide, high), cut, part.cut_out_corner, strip if lines else 0.0, strip if lines > 1 else 0.0, behind,
        max(0.0, part.size[0] - behind),
    )  # fmt: skip


def rows_on(panel: Panel, build: BuildDocument, parts: Mapping[str, Any]) -> list[Install]:
    """What sits on a face, in file order."""
    return [row for row in build.install if row.on is not None and row.on.panel == panel.id and row.part in parts]


# --- rows for what is left open ---------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Piece:
    """A thing to lay out, whole millimetres: its size with letters, from its lower edge to its middle, its use."""

    id: str
    width: int
    height: int
    middle: int
    use: int


@dataclass(frozen=True, slots=True)
class Room:
    """The part of a face that is laid out, whole millimetres, and the gap kept between things."""

    left: int
    bottom: int
    width: int
    height: int
    gap: int


def piece_of(row: Install, footprint: Footprint) -> Piece:
    """A row as a piece, its size rounded up to whole millimetres."""
    assert row.on is not None
    return Piece(row.id, _up(footprint.width), _up(footprint.height), _up(footprint.middle), row.on.use)


def _up(value_m: float) -> int:
    return math.ceil(value_m * 1e3 - 1e-6)


def room_of(panel: Panel, fixed: Iterable[Rectangle]) -> Room:
    """The largest free rectangle of a face within its edges, beside what is fixed on it, lower left on a tie."""
    edge, gap = panel.edge, panel.gap
    wide, high = panel.size
    kept = [Rectangle(f.left - gap, f.bottom - gap, f.right + gap, f.top + gap) for f in fixed]
    xs = sorted({edge, wide - edge, *(x for k in kept for x in (k.left, k.right) if edge < x < wide - edge)})
    ys = sorted({edge, high - edge, *(y for k in kept for y in (k.bottom, k.top) if edge < y < high - edge)})
    best, found = -1.0, Rectangle(edge, edge, edge, edge)
    for i, left in enumerate(xs):
        for right in xs[i + 1 :]:
            for j, bottom in enumerate(ys):
                for top in ys[j + 1 :]:
                    area = (right - left) * (top - bottom)
                    if area <= best + 1e-12:
                        continue
                    free = Rectangle(left, bottom, right, top)
                    if all(free.apart(k) >= -1e-9 for k in kept):
                        best, found = area, free
    left_mm, bottom_mm = _up(found.left), _up(found.bottom)
    return Room(
        left_mm, bottom_mm, math.floor(found.right * 1e3 + 1e-6) - left_mm,
        math.floor(found.top * 1e3 + 1e-6) - bottom_mm, _up(gap),
    )  # fmt: skip


def first_rows(pieces: Sequence[Piece], room: Room) -> list[list[Piece]]:
    """Rows by first fit, tallest first: quick, and never more than needed by much. Source: level packing, textbook."""
    rows: list[list[Piece]] = []
    for piece in sorted(pieces, key=lambda p: (-p.height, -p.use, p.id)):
        for row in rows:
            if sum(p.width + room.gap for p in row) + piece.width <= room.width:
                row.append(piece)
                break
        else:
            rows.append([piece])
    return rows


def height_of(rows: Sequence[Sequence[Piece]], room: Room) -> int:
    """Height that rows take, with the gaps between them."""
    return sum(max(p.height for p in row) for row in rows) + room.gap * max(0, len(rows) - 1)


def in_order(rows: Sequence[Sequence[Piece]], room: Room) -> list[list[Piece]]:
    """Rows from the top: those first that are used most for the height they take.

    The sum of use times distance from the upper edge is least that way (W. E. Smith's ratio rule for sequencing, 1956;
    an exchange of two neighbours shows it). In a row what is used most stands at the left.
    """
    inside = [sorted(row, key=lambda p: (-p.use, p.id)) for row in rows]
    return sorted(inside, key=lambda r: (-sum(p.use for p in r) / (max(p.height for p in r) + room.gap), r[0].id))


def placed(rows: Sequence[Sequence[Piece]], room: Room) -> dict[str, tuple[int, int]]:
    """Middles of all pieces, mm from the corner of the face: rows from the top, each spread over the width.

    What does not fit stands below the room or right of it, where a finding tells.
    """
    made: dict[str, tuple[int, int]] = {}
    top = room.bottom + room.height
    for row in rows:
        tall = max(p.height for p in row)
        spare = max(0, room.width - sum(p.width for p in row) - room.gap * (len(row) - 1))
        x = room.left + spare // 2
        for piece in row:
            made[piece.id] = (x + piece.width // 2, top - tall + (tall - piece.height) // 2 + piece.middle)
            x += piece.width + room.gap
        top -= tall + room.gap
    return made


def pieces_of(
    panel: Panel, build: BuildDocument, parts: Mapping[str, Any], settled: Mapping[str, tuple[float, float]]
) -> tuple[list[Piece], Room]:
    """What is left open on a face, and the room beside what is set or settled there."""
    fixed, pieces = [], []
    for row in rows_on(panel, build, parts):
        assert row.on is not None
        footprint = footprint_of(row, parts[row.part], panel, build)
        at = row.on.at if isinstance(row.on.at, tuple) else settled.get(row.id)
        if at is None:
            pieces.append(piece_of(row, footprint))
        else:
            fixed.append(footprint.covers(at))
    return pieces, room_of(panel, fixed)


def positions(
    panel: Panel, build: BuildDocument, parts: Mapping[str, Any], settled: Mapping[str, tuple[float, float]]
) -> dict[str, tuple[float, float]]:
    """Where everything on a face sits, m: as set, as settled, else in rows by first fit."""
    made = dict(settled)
    for row in rows_on(panel, build, parts):
        assert row.on is not None
        if isinstance(row.on.at, tuple):
            made[row.id] = row.on.at
    pieces, room = pieces_of(panel, build, parts, settled)
    if pieces:
        for name, (x, y) in placed(in_order(first_rows(pieces, room), room), room).items():
            made[name] = (x / 1e3, y / 1e3)
    return made
