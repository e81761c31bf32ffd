"""A plate: one drawing in millimetres, with the box of every text on it, so that a test can see what overlaps.

Text is put down by this alone: it boxes what no font has, wraps what is long (also in the middle of a word that is
longer than its line) and never cuts anything off.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from rigbook.papers import glyphs, svg
from rigbook.papers.svg import Box, element

INK, QUIET, HAIR = "#1a1a1a", "#555555", "#a8a8a8"
SHEET_MM = 176.0
"""Width of a plate: what stands between the margins of the narrower paper."""
ASCENT, DESCENT, LEADING = 0.78, 0.24, 1.25
_BOXED = 0.72  # size of a boxed code point, as a share of the text beside it
_PAD = 0.25  # inside of that box, as a share of the size
_BREAKS = " -_./>+,;:"
Anchor = Literal["start", "middle", "end"]


def width_of(content: str, *, size: float, bold: bool = False) -> float:
    """Width of a line as `Canvas.text` puts it down, boxes included."""
    total = 0.0
    for run in glyphs.runs(content):
        if run.boxed:
            total += svg.text_width(run.text, size=size * _BOXED) + 2 * _PAD * size
        else:
            total += svg.text_width(run.text, size=size, bold=bold)
    return total


def wrapped(content: str, *, width: float, size: float, bold: bool = False) -> list[str]:
    """The text in lines no wider than `width`: broken after blanks and joints, and inside a word only where it must be.

    A single character wider than the line stands alone on it. An empty text gives one empty line.
    """
    lines: list[str] = []
    line = ""
    for piece in _pieces(content):
        if width_of((line + piece).rstrip(), size=size, bold=bold) <= width:
            line += piece
            continue
        if line.strip():
            lines.append(line.strip())
            line = ""
        piece = piece.lstrip()
        while width_of(piece.rstrip(), size=size, bold=bold) > width and len(piece) > 1:
            count = _fitting(piece, width=width, size=size, bold=bold)
            lines.append(piece[:count])
            piece = piece[count:]
        line = piece
    if line.strip() or not lines:
        lines.append(line.strip())
    return lines


def _pieces(content: str) -> list[str]:
    found: list[str] = []
    start = 0
    for index, character in enumerate(content):
        if character in _BREAKS and index + 1 < len(content) and content[index + 1] not in _BREAKS:
            found.append(content[start : index + 1])
            start = index + 1
    return [*found, content[start:]]


def _fitting(piece: str, *, width: float, size: float, bold: bool) -> int:
    """How many characters of a long word stand on a line: at least one."""
    low, high = 1, len(piece)
    while low < high:
        middle = (low + high + 1) // 2
        if width_of(piece[:middle], size=size, bold=bold) <= width:
            low = middle
        else:
            high = middle - 1
    return low


@dataclass(frozen=True, slots=True)
class Plate:
    """One finished drawing. `markup` lies in a field of width by height; `boxes` are its texts."""

    key: str
    title: str
    width: float
    height: float
    markup: str
    boxes: tuple[tuple[str, Box], ...]
    missing: tuple[glyphs.Missing, ...] = ()

    @property
    def document(self) -> str:
        """The plate as a whole SVG document on white."""
        return stacked([self], title=self.title)


class Canvas:
    """Collects the markup of one plate and the boxes of its texts."""

    def __init__(self) -> None:
        self._parts: list[str] = []
        self._boxes: list[tuple[str, Box]] = []
        self._texts: list[str] = []

    @property
    def boxes(self) -> tuple[tuple[str, Box], ...]:
        """The texts put down so far, with their boxes."""
        return tuple(self._boxes)

    def add(self, *markup: str) -> None:
        """Markup that holds no text."""
        self._parts += markup

    def line(
        self,
        x1: float,
        y1: float,
        x2: float,
        y2: float,
        *,
        width: float = 0.2,
        stroke: str = INK,
        dash: str | None = None,
    ) -> None:
        """A straight line."""
        self.add(element("line", x1=x1, y1=y1, x2=x2, y2=y2, stroke=stroke, stroke_width=width, stroke_dasharray=dash))

    def rect(
        self, x: float, y: float, width: float, height: float, *, fill: str = "none", stroke: str | None = INK,
        stroke_width: float = 0.25, radius: float | None = None, dash: str | None = None,
    ) -> None:  # fmt: skip
        """A rectangle."""
        self.add(element("rect", x=x, y=y, width=width, height=height, rx=radius, fill=fill, stroke=stroke,
                         stroke_width=stroke_width if stroke else None, stroke_dasharray=dash))  # fmt: skip

    def circle(
        self,
        cx: float,
        cy: float,
        radius: float,
        *,
        fill: str = "none",
        stroke: str | None = INK,
        stroke_width: float = 0.25,
    ) -> None:
        """A circle."""
        self.add(
            element(
                "circle",
                cx=cx,
                cy=cy,
                r=radius,
                fill=fill,
                stroke=stroke,
                stroke_width=stroke_width if stroke else None,
            )
        )

    def path(self, data: str, *, fill: str = "none", stroke: str | None = INK, stroke_width: float = 0.25) -> None:
        """A path."""
        self.add(element("path", d=data, fill=fill, stroke=stroke, stroke_width=stroke_width if stroke else None))

    def text(
        self, content: str, x: float, y: float, *, size: float, key: str, anchor: Anchor = "start", bold: bool = False, fill: str = INK,
    ) -> Box:  # fmt: skip
        """One line of text, its baseline at y. Gives its box."""
        whole = width_of(content, size=size, bold=bold)
        left = x - {"start": 0.0, "middle": whole / 2, "end": whole}[anchor]
        box = Box(left, y - ASCENT * size, left + whole, y + DESCENT * size)
        self._texts.append(content)
        if not content.strip():
            return box
        self._boxes.append((key, box))
        for run in glyphs.runs(content):
            if run.boxed:
                small = size * _BOXED
                room = svg.text_width(run.text, size=small) + 2 * _PAD * size
                self.rect(
                    left + 0.1 * size, y - ASCENT * size, room - 0.2 * size, size, stroke=fill, stroke_width=0.06 * size
                )
                self.add(svg.text(run.text, x=left + _PAD * size, y=y - 0.06 * size, size=small, fill=fill))
                left += room
            else:
                weight = "bold" if bold else None
                width = svg.text_width(run.text, size=size, bold=bold)
                blank = svg.text_width(run.text[: len(run.text) - len(run.text.lstrip())], size=size, bold=bold)
                self.add(svg.text(run.text.strip(), x=left + blank, y=y, size=size, fill=fill, font_weight=weight))
                left += width
        return box

    def lines(
        self, content: str, x: float, y: float, *, width: float, size: float, key: str, anchor: Anchor = "start", bold: bool = False,
        fill: str = INK,
    ) -> float:  # fmt: skip
        """Wrapped text whose first baseline is at y; gives the baseline the next line would have."""
        for index, one in enumerate(wrapped(content, width=width, size=size, bold=bold)):
            self.text(one, x, y, size=size, key=f"{key}:{index}", anchor=anchor, bold=bold, fill=fill)
            y += LEADING * size
        return y

    def plate(self, key: str, title: str, *, height: float, width: float = SHEET_MM) -> Plate:
        """What was collected, as a plate."""
        return Plate(key, title, width, height, "".join(self._parts), tuple(self._boxes), glyphs.missing(self._texts))


def height_of(content: str, *, width: float, size: float, bold: bool = False) -> float:
    """Height that `Canvas.lines` takes for a text."""
    return LEADING * size * len(wrapped(content, width=width, size=size, bold=bold))


def stacked(plates: Sequence[Plate], *, title: str, gap: float = 6.0) -> str:
    """Several plates under one another as one SVG document on white."""
    width = max((p.width for p in plates), default=SHEET_MM)
    height = sum(p.height for p in plates) + gap * max(0, len(plates) - 1)
    body = [element("rect", x=0, y=0, width=width, height=height, fill="#ffffff", class_="paper")]
    at = 0.0
    for plate in plates:
        body.append(
            element("g", plate.markup, transform=f"translate(0 {svg.number(at)})" if at else None, data_plate=plate.key)
        )
        at += plate.height + gap
    return svg.document(body, width=width, height=height, title=title)
