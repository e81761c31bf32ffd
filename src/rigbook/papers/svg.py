"""Writing SVG: elements with escaped text, numbers that print the same everywhere, widths of text.

Drawings are plain strings made from templates of our own; tests read them back with a strict XML parser.
"""

from __future__ import annotations

import json
import math
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from importlib import resources

FONT_FAMILY = "DejaVu Sans"
FONT_STRETCH = "75%"


def number(value: float) -> str:
    """A coordinate with at most two decimals, without a trailing zero or a negative zero.

    >>> number(1.50), number(-0.001), number(3.0)
    ('1.5', '0', '3')
    """
    if not math.isfinite(value):
        raise ValueError("a drawing cannot hold a coordinate that is not finite")
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


_TEXT_ESCAPES = {ord("&"): "&amp;", ord("<"): "&lt;", ord(">"): "&gt;", ord('"'): "&quot;", ord("'"): "&#39;"}


def _allowed(character: str) -> bool:
    """XML 1.0, production 2: tab, line ends and everything from U+0020 but surrogates and two non-characters."""
    code = ord(character)
    return code in (0x9, 0xA, 0xD) or 0x20 <= code <= 0xD7FF or 0xE000 <= code <= 0xFFFD or code >= 0x10000


def escape(text: str) -> str:
    """Text that is safe in XML content and in a quoted attribute; what XML cannot hold becomes U+FFFD."""
    return "".join(c if _allowed(c) else "�" for c in text).translate(_TEXT_ESCAPES)


def element(name: str, /, *children: str, **attributes: str | float | None) -> str:
    """One element. Children are markup already; attributes are escaped, None leaves one out.

    `_` in an attribute name stands for `-`, a trailing `_` is dropped (`class_`).
    """
    parts = [name]
    for key, value in attributes.items():
        if value is None:
            continue
        shown = value if isinstance(value, str) else number(value)
        parts.append(f'{key.rstrip("_").replace("_", "-")}="{escape(shown)}"')
    opening = " ".join(parts)
    inside = "".join(children)
    return f"<{opening}>{inside}</{name}>" if inside else f"<{opening}/>"


def text(content: str, *, x: float, y: float, size: float, **attributes: str | float | None) -> str:
    """A line of text whose baseline starts (or, with text_anchor, is centred or ends) at x, y."""
    return element("text", escape(content), x=x, y=y, font_size=size, **attributes)


@cache
def _advances(bold: bool) -> dict[str, int]:
    source = resources.files("rigbook.browser").joinpath("fonts/advances.json")
    table: dict[str, dict[str, int]] = json.loads(source.read_text(encoding="utf-8"))
    return table["bold" if bold else "regular"]


def text_width(content: str, *, size: float, bold: bool = False) -> float:
    """Width of a line in the drawing font, from its advance widths; unknown characters count as one em."""
    advances = _advances(bold)
    return sum(advances.get(c, 2048) for c in content) * size / 2048


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle on the drawing: left, top, right, bottom, with y downward."""

    left: float
    top: float
    right: float
    bottom: float

    def overlaps(self, other: Box) -> bool:
        """True when the two share an area (touching edges do not)."""
        return (
            self.left < other.right - 1e-9
            and other.left < self.right - 1e-9
            and self.top < other.bottom - 1e-9
            and other.top < self.bottom - 1e-9
        )

    def inside(self, other: Box) -> bool:
        """True when this box lies within the other, edges included."""
        return (
            self.left >= other.left - 1e-9
            and self.right <= other.right + 1e-9
            and self.top >= other.top - 1e-9
            and self.bottom <= other.bottom + 1e-9
        )

    def grown(self, by: float) -> Box:
        """The box with a margin all round."""
        return Box(self.left - by, self.top - by, self.right + by, self.bottom + by)

    def moved(self, dx: float, dy: float) -> Box:
        """The box shifted."""
        return Box(self.left + dx, self.top + dy, self.right + dx, self.bottom + dy)


def document(body: Iterable[str], *, width: float, height: float, title: str, **attributes: str | float | None) -> str:
    """A whole SVG document in millimetres."""
    return element(
        "svg",
        element("title", escape(title)),
        *body,
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"0 0 {number(width)} {number(height)}",
        width=f"{number(width)}mm",
        height=f"{number(height)}mm",
        font_family=FONT_FAMILY,
        font_stretch=FONT_STRETCH,
        **attributes,
    )
