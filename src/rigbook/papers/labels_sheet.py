"""Sheets of labels on the shop's stock: one drawing a sheet, of the sheet's own size, without outlines: stock is cut.

The text is as large as its label allows. One that would be too small to read stands as its number instead, and the sheet
of labels (.csv) has it in full.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

from rigbook.papers.canvas import ASCENT, DESCENT, LEADING, QUIET, Canvas, Plate, height_of, width_of, wrapped
from rigbook.papers.label_items import LabelItem, label_items
from rigbook.rig.model import Rig

SIZES_MM = (3.6, 3.2, 2.8, 2.5, 2.2, 2.0, 1.8, 1.6, 1.4)
"""Sizes of the main text, tried in turn; below the last nobody reads it."""
SMALL_MM = 1.5
INSET_MM = 1.0
HEAD_MM = 1.8
QUIET_MODULES = 4
"""Blank rim of a QR code, in modules: ISO/IEC 18004 asks for four."""


def label_sheets(rig: Rig, report: Mapping[str, Any]) -> list[Plate]:
    """Every sheet, in order. Never empty: without labels one sheet says so."""
    stock = rig.shop.labels.stock
    items = label_items(rig)
    on_sheet = stock.columns * stock.rows
    count = max(1, math.ceil(len(items) / on_sheet))
    return [_sheet(rig, report, items[i * on_sheet : (i + 1) * on_sheet], i + 1, count) for i in range(count)]


def label_sheet_data(rig: Rig, report: Mapping[str, Any]) -> dict[str, Any]:
    """What the template of the label sheets takes."""
    width, height = rig.shop.labels.stock.page
    return {
        "title": f"Labels of {rig.build.build.title}",
        "shop": rig.shop.title,
        "width_mm": round(width * 1000, 3),
        "height_mm": round(height * 1000, 3),
        "pages": [sheet.document for sheet in label_sheets(rig, report)],
    }


def _sheet(rig: Rig, report: Mapping[str, Any], items: Sequence[LabelItem], number: int, count: int) -> Plate:
    stock = rig.shop.labels.stock
    canvas = Canvas()
    width, height = stock.page[0] * 1000, stock.page[1] * 1000
    _head(canvas, rig, report, number, count, room=width - 2 * max(5.0, stock.left * 1000))
    for index, item in enumerate(items):
        x = (stock.left + (index % stock.columns) * stock.across) * 1000
        y = (stock.top + (index // stock.columns) * stock.down) * 1000
        draw_label(
            canvas,
            item,
            x,
            y,
            stock.width * 1000,
            stock.height * 1000,
            key=f"{item.kind}:{item.number}:{item.end or 0}",
        )
    if not items:
        canvas.text("Nothing to label.", stock.left * 1000 + INSET_MM, stock.top * 1000 + 4.0, size=2.2, key="none")
    return canvas.plate(f"labels:{number}", f"Labels, sheet {number} of {count}", width=width, height=height)


def _head(canvas: Canvas, rig: Rig, report: Mapping[str, Any], number: int, count: int, *, room: float) -> None:
    """Build, digest and sheet in the upper margin, where it is wide enough to print on."""
    top = rig.shop.labels.stock.top * 1000
    if top < 8.0:
        return
    build = report["build"]
    for words in (
        f"{build['id']} · digest {build['digest'][:16]} · sheet {number} of {count} · print at 100 %, without scaling",
        f"digest {build['digest'][:16]} · sheet {number} of {count}",
    ):
        if width_of(words, size=HEAD_MM) <= room:
            canvas.text(
                words, max(5.0, rig.shop.labels.stock.left * 1000), top - 3.0, size=HEAD_MM, key="head", fill=QUIET
            )
            return


def draw_label(canvas: Canvas, item: LabelItem, x: float, y: float, width: float, height: float, *, key: str) -> None:
    """One label with its text, its smaller lines as far as they fit, and its code."""
    inset = min(INSET_MM, height / 8)
    left, room = x + inset, width - 2 * inset
    if item.code is not None:
        side = min(height - 0.4, width / 2)
        _code(canvas, item.code, x + width - side - 0.2, y + (height - side) / 2, side)
        room = width - side - inset - 0.6
    high = height - 2 * inset
    size = _size(item.text, room, high)
    text = item.text if size is not None else f"{item.kind} {item.number}"
    size = size if size is not None else _size(text, room, high) or SIZES_MM[-1]
    lines = [(line, SMALL_MM) for line in item.lines if line]
    used = _tall(text, room, size)
    kept: list[tuple[str, float]] = []
    for line, small in lines:
        more = height_of(line, width=room, size=small)
        if used + more > high:
            break
        kept.append((line, small))
        used += more
    at = y + inset + max(0.0, (high - used) / 2)
    canvas.lines(text, left, at + ASCENT * size, width=room, size=size, key=f"{key}:text", bold=True)
    at += _tall(text, room, size)
    for number, (line, small) in enumerate(kept):
        canvas.lines(line, left, at + (LEADING - DESCENT) * small, width=room, size=small, key=f"{key}:line:{number}")
        at += height_of(line, width=room, size=small)


def _tall(text: str, room: float, size: float) -> float:
    """Height of the main text, from the top of its capitals to below its descenders."""
    return LEADING * size * (len(wrapped(text, width=room, size=size, bold=True)) - 1) + (ASCENT + DESCENT) * size


def _size(text: str, room: float, high: float) -> float | None:
    """The largest size at which the text fits; None where it fits at none. A text on one line goes before one on two."""
    for size in SIZES_MM:
        if width_of(text, size=size, bold=True) <= room and _tall(text, room, size) <= high:
            if size >= 2.2:
                return size
            break
    fitting = (
        size for size in SIZES_MM
        if _tall(text, room, size) <= high and all(width_of(line, size=size, bold=True) <= room for line in wrapped(text, width=room, size=size, bold=True))
    )  # fmt: skip
    return next(fitting, None)


def _code(canvas: Canvas, content: str, x: float, y: float, side: float) -> None:
    """A QR code with its blank rim in a square. Always the full symbol: telephones do not read the small kind."""
    import segno

    symbol = segno.make_qr(content, error="m")
    count = symbol.symbol_size(border=QUIET_MODULES)[0]
    step = side / count
    canvas.rect(x, y, side, side, fill="#ffffff", stroke=None)
    data = []
    for row, modules in enumerate(symbol.matrix):
        column = 0
        while column < len(modules):
            if not modules[column]:
                column += 1
                continue
            run = column
            while run < len(modules) and modules[run]:
                run += 1
            px, py = x + (QUIET_MODULES + column) * step, y + (QUIET_MODULES + row) * step
            data.append(f"M{px:.4f} {py:.4f}h{(run - column) * step:.4f}v{step:.4f}h{-(run - column) * step:.4f}z")
            column = run
    canvas.path("".join(data), fill="#000000", stroke=None)
