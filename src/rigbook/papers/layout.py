"""Widths of a table's columns from its words, and texts made fit to print: nothing clipped, nothing upon another.

The widths are worked out here, from the advance widths of the font, so that no word is wider than its column: one that
would be gets places where it may break.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from functools import cache
from typing import Any

from rigbook.papers import glyphs
from rigbook.papers.svg import text_width

MM_PER_PT = 25.4 / 72
PAD_MM = 2 * 3.0 * MM_PER_PT
SPARE_MM = 0.5
BREAK = "\u200b"
WASTE = 1.06
"""What a wrapped line takes beside its words: it is seldom filled to its end."""
STEPS_MM = (1.0, 2.0, 4.0, 7.0, 11.0, 16.0, 24.0)
LONGEST_SHARE = 0.34
"""Share of the page that one unbroken word may claim for its column."""
_BLANKS = re.compile("[ \n]")
_JOINTS = re.compile(r"(?<=[-._/>:+])(?=.)")


@cache
def _word_mm(word: str, size: float, bold: bool) -> float:
    return text_width(word, size=size, bold=bold) * MM_PER_PT


@cache
def _line_mm(line: str, size: float, bold: bool) -> float:
    return _word_mm(line, size, bold)


def widths(columns: Sequence[Mapping[str, Any]], rows: Sequence[Any], *, width_mm: float, size: float) -> list[float]:
    """Width of every column in millimetres; together exactly `width_mm`.

    A column gets room for its longest word first; what is left goes where it saves lines, and then by `share`.
    """
    count = len(columns)
    least, most = [0.0] * count, [0.0] * count
    for at, column in enumerate(columns):
        least[at] = max((_word_mm(w, size, True) for w in column["title"].split()), default=0.0)
        most[at] = max(least[at], min(_word_mm(column["title"], size, True), 3 * least[at]))
    for row in rows:
        if isinstance(row, Mapping):
            continue
        for at, cell in enumerate(row):
            for line in cell.split("\n"):
                most[at] = max(most[at], _line_mm(line, size, False))
                for word in line.split(" "):
                    least[at] = max(least[at], _word_mm(word, size, False))
    cap = LONGEST_SHARE * width_mm
    least = [min(x, cap) + PAD_MM + SPARE_MM for x in least]
    most = [max(low, high + PAD_MM + SPARE_MM) for low, high in zip(least, most, strict=True)]
    fixed = [c.get("least_mm", 0.0) for c in columns]
    least = [max(x, f) for x, f in zip(least, fixed, strict=True)]
    if sum(least) >= width_mm:
        floor = min(8.0, width_mm / count)
        slack = sum(least) - width_mm
        over = sum(max(0.0, x - floor) for x in least)
        return [x - slack * max(0.0, x - floor) / over for x in least] if over > 0 else [width_mm / count] * count
    return _spread(columns, rows, least, most, width_mm, size)


def _spread(
    columns: Sequence[Mapping[str, Any]], rows: Sequence[Any], least: list[float], most: list[float], width_mm: float,
    size: float,
) -> list[float]:  # fmt: skip
    """Hand out what is left, step by step, to the column where it saves the most lines; the rest by share."""
    cells = [row for row in rows if not isinstance(row, Mapping)]
    found, left = list(most), width_mm - sum(most)
    if left < 0:
        found, left = _saving(cells, least, most, width_mm, size)
    shares = [float(c.get("share") or 0.0) for c in columns]
    total = sum(shares)
    if total <= 0:
        shares, total = [1.0] * len(columns), float(len(columns))
    return [now + left * share / total for now, share in zip(found, shares, strict=True)]


def _saving(
    cells: Sequence[Sequence[str]], least: list[float], most: list[float], width_mm: float, size: float
) -> tuple[list[float], float]:
    """Widths from the least upward, always where a millimetre saves the most lines; and what is left then."""
    import numpy as np

    count = len(least)
    depth = max((cell.count("\n") + 1 for row in cells for cell in row), default=1)
    lines = np.zeros((len(cells), count, depth))
    for r, row in enumerate(cells):
        for c, cell in enumerate(row):
            for k, line in enumerate(cell.split("\n")):
                lines[r, c, k] = max(_line_mm(line, size, False), 0.1)

    def height(column: int, width: float) -> Any:
        return np.ceil(lines[:, column, :] * WASTE / (width - PAD_MM)).sum(axis=1)

    found, left = list(least), width_mm - sum(least)
    high = np.stack([height(c, found[c]) for c in range(count)], axis=1)
    while left >= STEPS_MM[0]:
        now = float(high.max(axis=1).sum())
        best, column, by = 0.0, -1, 0.0
        for c in range(count):
            others = np.delete(high, c, axis=1).max(axis=1, initial=0.0)
            for step in STEPS_MM:
                if step > left or found[c] + step > most[c] + STEPS_MM[0]:
                    break
                saved = (now - float(np.maximum(others, height(c, found[c] + step)).sum())) / step
                if saved > best + 1e-9:
                    best, column, by = saved, c, step
        if column < 0:
            break
        found[column] += by
        left -= by
        high[:, column] = height(column, found[column])
    return found, left


SIZES_PT: Mapping[str, float] = {"heading": 13.0, "text": 9.0, "small": 8.0, "caution": 9.0}
"""Sizes of the pieces that hold one text, as the template sets them."""


def worded(piece: Mapping[str, Any], *, width_mm: float) -> dict[str, Any]:
    """Any piece but a table, with places to break in words that are wider than its line."""
    made = dict(piece)
    if piece["kind"] in SIZES_PT:
        made["text"] = breakable(piece["text"], width_mm=width_mm * 0.9, size=SIZES_PT[piece["kind"]])
    if piece["kind"] == "cover":
        made["title"] = breakable(piece["title"], width_mm=width_mm * 0.85, size=20.0)
    if "facts" in piece:
        names = max((text_width(name, size=9.0) * MM_PER_PT for name, _ in piece["facts"]), default=0.0)
        room = (width_mm - names - 7.0) * 0.95
        made["facts"] = [[name, breakable(value, width_mm=room, size=9.0)] for name, value in piece["facts"]]
    if "caption" in piece:
        made["caption"] = breakable(piece["caption"], width_mm=width_mm * 0.85, size=8.0)
    return made


_UNIT = re.compile(r"(?<=[0-9*]) (?=(?:A|V|W|Hz|h|s|ms|mm|in|ft|m|kg|lb|deg|C|AWG|%|milliohm|lamps)(?![A-Za-z0-9]))")


def kept_together(text: str) -> str:
    """A number and its unit on one line."""
    return _UNIT.sub("\u00a0", text)


def breakable(text: str, *, width_mm: float, size: float) -> str:
    """The text with places to break in every word that is wider than the line: at joints, and inside only where it must."""
    if not any(_word_mm(w, size, False) > width_mm for w in _BLANKS.split(text)):
        return text
    return "\n".join(" ".join(_broken(w, width_mm, size) for w in line.split(" ")) for line in text.split("\n"))


def _broken(word: str, width_mm: float, size: float) -> str:
    if _word_mm(word, size, False) <= width_mm:
        return word
    parts = []
    for part in _JOINTS.split(word):
        while len(part) > 1 and _word_mm(part, size, False) > width_mm:
            count = len(part) - 1
            while count > 1 and text_width(part[:count], size=size) * MM_PER_PT > width_mm:
                count -= 1
            parts.append(part[:count])
            part = part[count:]
        parts.append(part)
    return BREAK.join(parts)


def laid_out(piece: Mapping[str, Any], *, width_mm: float) -> dict[str, Any]:
    """A table piece with its widths, and with words that may break where they are wider than their column."""
    size = float(piece["size"])
    piece = dict(piece) | {
        "rows": [r if isinstance(r, Mapping) else [kept_together(c) for c in r] for r in piece["rows"]]
    }
    found = widths(piece["columns"], piece["rows"], width_mm=width_mm, size=size)
    room = [w - PAD_MM - 0.2 for w in found]
    rows = [
        {"group": breakable(row["group"], width_mm=(width_mm - PAD_MM) * 0.88, size=size)}
        if isinstance(row, Mapping)
        else [breakable(c, width_mm=room[at], size=size) for at, c in enumerate(row)]
        for row in piece["rows"]
    ]
    columns = [
        dict(c) | {"mm": round(w, 3), "title": breakable(c["title"], width_mm=(w - PAD_MM) / 1.15, size=size)}
        for c, w in zip(piece["columns"], found, strict=True)
    ]
    caption = breakable(piece["caption"], width_mm=width_mm * 0.85, size=8.0)
    return dict(piece) | {"columns": columns, "rows": rows, "caption": caption}


UNREAD = frozenset({"svg", "kind", "paper", "region", "name", "alt", "document_title", "document_author"})
"""Keys of the data that are no words for a reader."""


def boxed(value: Any) -> Any:
    """The data with every text that some character cannot be printed in as its runs; everything else as it is."""
    if isinstance(value, str):
        if value.isascii() and value.isprintable():
            return value
        kept = value.replace(BREAK, "").replace("\n", "").replace("\u00a0", " ")
        if glyphs.all_printable(kept):
            return value
        return [{"text": r.text, "boxed": r.boxed} for r in glyphs.runs(value.replace(BREAK, ""))]
    if isinstance(value, Mapping):
        return {k: v if k in UNREAD else boxed(v) for k, v in value.items()}
    if isinstance(value, list | tuple):
        return [boxed(v) for v in value]
    return value


def texts_of(value: Any) -> list[str]:
    """Every text for a reader in the data."""
    if isinstance(value, str):
        return [value]
    if isinstance(value, Mapping):
        return [t for k, v in value.items() if k not in UNREAD for t in texts_of(v)]
    if isinstance(value, list | tuple):
        return [t for v in value for t in texts_of(v)]
    return []


def shortened(text: str, *, width_mm: float, size: float) -> str:
    """A text for a running head: whole where it fits a width, else its beginning with an ellipsis."""
    if _word_mm(text, size, False) <= width_mm:
        return text
    kept = text
    while kept and text_width(kept + "…", size=size) * MM_PER_PT > width_mm:
        kept = kept[:-1]
    return kept.rstrip() + "…"
