"""The pieces papers are made of: headings, text, cautions, drawings, tables. Plain data that a template lays out."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

DASH = "–"
"""Stands where nothing was worked out; a note below the table says why."""

Piece = dict[str, Any]


def heading(text: str, *, level: int = 1) -> Piece:
    """A heading of a chapter (1) or a section (2)."""
    return {"kind": "heading", "level": level, "text": text}


def paragraph(text: str) -> Piece:
    """A paragraph."""
    return {"kind": "text", "text": text}


def small(text: str) -> Piece:
    """A note below a table or drawing."""
    return {"kind": "small", "text": text}


def caution(text: str) -> Piece:
    """A caution where work can hurt someone."""
    return {"kind": "caution", "text": text}


def drawing(svg: str, *, caption: str, max_height_mm: float = 220.0) -> Piece:
    """A drawing over the width of the page, made smaller where it would be taller than `max_height_mm`."""
    return {"kind": "drawing", "svg": svg, "caption": caption, "alt": caption, "max_height_mm": max_height_mm}


def new_page() -> Piece:
    """What follows begins on a new page."""
    return {"kind": "page"}


def cover(*, title: str, subtitle: str, facts: Sequence[tuple[str, str]]) -> Piece:
    """The head of a book: title, what it is, and facts as pairs of name and value."""
    return {"kind": "cover", "title": title, "subtitle": subtitle, "facts": [list(f) for f in facts]}


def facts(pairs: Sequence[tuple[str, str]]) -> Piece:
    """Names and values, one pair a line."""
    return {"kind": "facts", "facts": [list(p) for p in pairs]}


def sign(*lines: str) -> Piece:
    """Lines to sign on, each with what it is for."""
    return {"kind": "sign", "lines": list(lines)}


def contents() -> Piece:
    """The contents list of the book."""
    return {"kind": "contents"}


def column(title: str, *, share: float | None = None, number: bool = False, least_mm: float = 0.0) -> dict[str, Any]:
    """A column: its title, its share of the width that is left (None: none), numbers to the right, room to write in."""
    return {"title": title, "share": share, "number": number, "least_mm": least_mm}


def group(text: str) -> dict[str, str]:
    """A head over the rows that follow in a table; repeated where they run on to the next page."""
    return {"group": text}


def table(
    *, caption: str, columns: Sequence[dict[str, Any]], rows: Sequence[Sequence[str] | dict[str, str]], size: float = 8.5,
    form: bool = False,
) -> Piece:  # fmt: skip
    """A table of texts in `size` points; a form has lines round every cell to write in.

    Raises:
        ValueError: a row has not as many cells as there are columns.
    """
    for row in rows:
        if not isinstance(row, dict) and len(row) != len(columns):
            raise ValueError(f"{caption}: a row has {len(row)} cells for {len(columns)} columns")
    kept = [row if isinstance(row, dict) else list(row) for row in rows]
    return {"kind": "table", "caption": caption, "columns": list(columns), "rows": kept, "size": size, "form": form}
