"""The fuse map: every fuse block as it looks from the front, every fuse that stands elsewhere, readable in black and white.

A block is drawn in its rows, position 1 at the upper left, counting to the right and then down. A shop whose block counts
otherwise reads the number that stands in each position, not the place.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from rigbook.papers.canvas import HAIR, INK, LEADING, QUIET, SHEET_MM, Canvas, Plate, height_of
from rigbook.papers.normal import normal_a
from rigbook.quantities.show import format_number
from rigbook.rig.model import FeedLine, Rig, Segment

DASH = "–"
HEAD_MM, SMALL_MM, LABEL_MM, RATING_MM = 3.6, 2.2, 2.3, 4.2
FOOT = "A: N normal (highest average of the saved states), W worst average, P name-plate. A dash was not worked out."
CELLS_ACROSS = 6
"""Positions side by side before the drawing of a row goes on below."""
ROOM_MM = 232.0
"""Height of a plate at most: what a page leaves beside heading and caption."""


@dataclass(frozen=True, slots=True)
class Fuse:
    """What stands in one position, or in the line: texts as printed. `spare` is an empty position."""

    number: str
    rating: str
    label: str
    feeds: str
    normal: str
    worst: str
    nameplate: str
    facts: str
    spare: bool = False


def fuse_map(rig: Rig, report: Mapping[str, Any]) -> list[Plate]:
    """The plates of the fuse map: the blocks in file order, then what is fused in its own line. Never empty."""
    normal, worst = normal_a(rig), _worst(report)
    plates: list[Plate] = []
    for device in rig.devices.values():
        part = rig.parts.get(device.part_id or "")
        if part is not None and part.kind == "fuse-block":
            plates += _block(rig, device.id, part, normal, worst)
    plates += _in_line(rig, normal, worst)
    if not plates:
        canvas = Canvas()
        canvas.text("This build has no fuse of its own.", 0.0, 4.0, size=LABEL_MM, key="none")
        plates = [canvas.plate("none", "Fuses", height=8.0)]
    return plates


def _worst(report: Mapping[str, Any]) -> dict[str, float | None]:
    """Worst average by circuit and feed; a circuit's own figure goes before its feed's."""
    power = report["power"]
    found: dict[str, float | None] = {}
    for row in (*(power["feeds"] or ()), *(power["circuits"] or ())):
        figure = row.get("worst_average_a")
        if figure is not None or row["id"] not in found:
            found[row["id"]] = figure
    return found


def _a(value: float | None) -> str:
    return DASH if value is None else f"{value:.1f}"


def _rating(value: float) -> str:
    return f"{format_number(value)} A"


def _fuse(
    rig: Rig, feed: FeedLine, number: str, normal: Mapping[str, float], worst: Mapping[str, float | None]
) -> Fuse:
    return Fuse(
        number=number,
        rating=_rating(feed.fuse_a),
        label=feed.id,
        feeds=", ".join(_feeds(rig, feed)) or DASH,
        normal=_a(normal.get(feed.id)),
        worst=_a(worst.get(feed.id)),
        nameplate=_a(feed.nameplate_a),
        facts="; ".join(_facts(rig, feed)),
    )


def _feeds(rig: Rig, feed: FeedLine) -> list[str]:
    """What stands behind a fuse: a block, or the installed rows on its own circuit."""
    if feed.to:
        return [feed.to]
    circuit = rig.circuits.get(feed.id)
    rows = (
        [rig.devices[m.device_id].row if m.device_id in rig.devices else m.device_id for m in circuit.members]
        if circuit
        else []
    )
    return list(dict.fromkeys(rows))


def _facts(rig: Rig, feed: FeedLine) -> list[str]:
    """What else a person at the block must know: the wire, and what must hold for it to be live."""
    own = rig.segments.get(feed.segment) if feed.segment else _first_wire(rig, feed)
    found = [f"wire {own.conductor.gauge}"] if own else []
    if feed.live_when:
        found.append(f"live when {feed.live_when}")
    if feed.through:
        found.append(f"through {feed.through}")
    if feed.sheds is not None:
        found.append(f"shed step {feed.sheds}")
    return found


def _first_wire(rig: Rig, feed: FeedLine) -> Segment | None:
    """The first wire of a feed's own circuit, from the fuse outward."""
    circuit = rig.circuits.get(feed.id)
    names = (name for member in circuit.members for name in member.feed_path) if circuit else ()
    return next((rig.segments[name] for name in names if rig.segments[name].role != "lead"), None)


# --- a block -----------------------------------------------------------------------------------------------------------


def _block(
    rig: Rig, block_id: str, part: Any, normal: Mapping[str, float], worst: Mapping[str, float | None]
) -> list[Plate]:
    own = {f.block_position: f for f in rig.feeds.values() if f.block_id == block_id and f.block_position is not None}
    count = max(part.positions, max(own, default=0))
    fuses = [
        _fuse(rig, own[n], str(n), normal, worst)
        if n in own
        else Fuse(str(n), "", "spare", "", "", "", "", "", spare=True)
        for n in range(1, count + 1)
    ]
    across = max(1, math.ceil(count / max(1, part.rows)))
    rows = [fuses[i : i + across] for i in range(0, len(fuses), across)] or [[]]
    strips = [row[i : i + CELLS_ACROSS] for row in rows for i in range(0, len(row), CELLS_ACROSS)]
    head = _block_head(rig, block_id, part, fuses)
    plates: list[Plate] = []
    waiting = list(strips)
    while waiting or not plates:
        page = 1 + len(plates)
        plates.append(_block_plate(block_id, head, waiting, page))
        waiting = waiting[_taken(waiting, head) :]
    return plates


def _block_head(rig: Rig, block_id: str, part: Any, fuses: Sequence[Fuse]) -> list[str]:
    """The lines above the drawing: what feeds the block, its limit, its spares."""
    spares = [f.number for f in fuses if f.spare]
    above = [f for f in rig.feeds.values() if f.to == block_id]
    lines = [
        f"{part.title}. {part.positions} positions, {part.form} fuses; the whole block at most {_rating(part.limit)}"
        + (f", one position at most {_rating(part.position_limit)}" if part.position_limit is not None else "")
        + "."
    ]
    for feed in above:
        wire = rig.segments[feed.segment].conductor.gauge if feed.segment else None
        where = f"{feed.block_id}.{feed.block_position}" if feed.block_id else f"battery {feed.bank_id or DASH}"
        lines.append(
            f"Fed by {feed.id} from {where}, fuse {_rating(feed.fuse_a)}"
            + (f", wire {wire}" if wire is not None else "")
            + "."
        )
    if not above:
        lines.append("Nothing feeds this block.")
    lines.append(f"Spare: {', '.join(spares)}." if spares else "No spare position.")
    return lines


_GAP = 2.0
_CELL = (SHEET_MM - 8.0 - (CELLS_ACROSS - 1) * _GAP) / CELLS_ACROSS
_INSIDE = _CELL - 2.4


def _cell_height(fuse: Fuse) -> float:
    """Height of a position, by how its texts wrap."""
    if fuse.spare:
        return 22.0
    texts = height_of(fuse.label, width=_INSIDE, size=LABEL_MM, bold=True) + height_of(
        fuse.feeds, width=_INSIDE, size=SMALL_MM
    )
    if fuse.facts:
        texts += height_of(fuse.facts, width=_INSIDE, size=SMALL_MM)
    return max(30.0, 14.5 + texts + 2 * LEADING * SMALL_MM + 1.5)


def _head_height(head: Sequence[str]) -> float:
    return 7.7 + sum(height_of(line, width=SHEET_MM, size=LABEL_MM) for line in head)


def _strip_height(strip: Sequence[Fuse]) -> float:
    return max((_cell_height(f) for f in strip), default=8.0) + 3.0


def _taken(strips: Sequence[Sequence[Fuse]], head: Sequence[str]) -> int:
    """How many strips stand on one plate: as many as fit, at least one."""
    height, count = _head_height(head) + 9.0, 0
    for strip in strips:
        height += _strip_height(strip)
        if count and height > ROOM_MM:
            break
        count += 1
    return count


def _block_plate(block_id: str, head: Sequence[str], strips: Sequence[Sequence[Fuse]], page: int) -> Plate:
    canvas = Canvas()
    title = f"Fuse block {block_id}" + (f", continued ({page})" if page > 1 else "")
    y = canvas.lines(title, 0.0, HEAD_MM, width=SHEET_MM, size=HEAD_MM, key="title", bold=True) + 0.6
    for index, line in enumerate(head):
        y = canvas.lines(line, 0.0, y, width=SHEET_MM, size=LABEL_MM, key=f"head:{index}")
    top = y + 1.6 - LABEL_MM
    at = top + 3.0
    shown = strips[: _taken(strips, head)]
    for strip in shown:
        for index, fuse in enumerate(strip):
            _position(canvas, fuse, 4.0 + index * (_CELL + _GAP), at, _strip_height(strip) - 3.0)
        at += _strip_height(strip)
    canvas.rect(0.4, top, SHEET_MM - 0.8, at - top, stroke_width=0.6, radius=2.5)
    canvas.text(FOOT, 0.4, at + 4.0, size=SMALL_MM, key="foot", fill=QUIET)
    return canvas.plate(f"{block_id}:{page}", title, height=at + 5.5)


def _position(canvas: Canvas, fuse: Fuse, x: float, y: float, height: float) -> None:
    """One position: number, the fuse with its rating (or an empty socket), label, what it feeds, currents."""
    key = f"{fuse.number}"
    middle = x + _CELL / 2
    canvas.rect(x, y, _CELL, height, stroke=INK if not fuse.spare else HAIR, radius=0.8, stroke_width=0.3)
    canvas.text(fuse.number, x + 1.2, y + 3.4, size=2.8, key=f"{key}:number", bold=True)
    socket = (x + 7.0, y + 1.6, _CELL - 8.2, 8.4)
    if fuse.spare:
        canvas.rect(*socket, dash="1 0.8", stroke=QUIET, radius=0.8)
        canvas.text(fuse.label, middle + 3.2, y + 6.8, size=LABEL_MM, key=f"{key}:spare", anchor="middle", fill=QUIET)
        return
    canvas.rect(*socket, stroke_width=0.5, radius=0.8)
    # the two blades of a fuse
    for side in (0.22, 0.78):
        canvas.line(socket[0] + side * socket[2], y + 10.0, socket[0] + side * socket[2], y + 11.6, width=1.0)
    canvas.text(
        fuse.rating, socket[0] + socket[2] / 2, y + 7.3, size=RATING_MM, key=f"{key}:rating", anchor="middle", bold=True
    )
    at = y + 14.8
    at = canvas.lines(fuse.label, x + 1.2, at, width=_INSIDE, size=LABEL_MM, key=f"{key}:label", bold=True)
    at = canvas.lines(fuse.feeds, x + 1.2, at, width=_INSIDE, size=SMALL_MM, key=f"{key}:feeds")
    if fuse.facts:
        canvas.lines(fuse.facts, x + 1.2, at, width=_INSIDE, size=SMALL_MM, key=f"{key}:facts", fill=QUIET)
    foot = y + height - 1.4
    canvas.line(x + 1.2, foot - SMALL_MM - 0.4, x + _CELL - 1.2, foot - SMALL_MM - 0.4, stroke=HAIR, width=0.15)
    canvas.text(f"N {fuse.normal}", x + 1.2, foot, size=SMALL_MM, key=f"{key}:normal")
    canvas.text(f"W {fuse.worst}", middle, foot, size=SMALL_MM, key=f"{key}:worst", anchor="middle")
    canvas.text(f"P {fuse.nameplate}", x + _CELL - 1.2, foot, size=SMALL_MM, key=f"{key}:nameplate", anchor="end")


# --- fuses in their own line -------------------------------------------------------------------------------------------


_COLUMNS = (
    (0.0, 18.0, "Fuse"), (20.0, 36.0, "Label"), (58.0, 34.0, "Stands at"), (94.0, 30.0, "Feeds"), (126.0, 18.0, "Wire"),
    (146.0, 9.0, "N"), (156.0, 9.0, "W"), (166.0, 10.0, "P"),
)  # fmt: skip


def _in_line(rig: Rig, normal: Mapping[str, float], worst: Mapping[str, float | None]) -> list[Plate]:
    """What is fused at a battery or in the line, and the fuses at both ends of every link."""
    blocks = {d.id for d in rig.devices.values() if getattr(rig.parts.get(d.part_id or ""), "kind", "") == "fuse-block"}
    rows: list[tuple[str, ...]] = []
    for feed in rig.feeds.values():
        if feed.block_id in blocks and feed.block_position is not None:
            continue
        fuse = _fuse(rig, feed, "", normal, worst)
        start = f"{feed.block_id}, no position given" if feed.block_id else f"battery {feed.bank_id or DASH}"
        own = rig.segments.get(feed.segment) if feed.segment else _first_wire(rig, feed)
        wire = str(own.conductor.gauge) if own else DASH
        rows.append((fuse.rating, fuse.label, start, fuse.feeds, wire, fuse.normal, fuse.worst, fuse.nameplate))
    for link in rig.links.values():
        wire = str(rig.segments[link.segments[0]].conductor.gauge) if link.segments else DASH
        for fuse_a, here, there in (
            (link.start_fuse_a, link.from_bank, link.to_bank),
            (link.end_fuse_a, link.to_bank, link.from_bank),
        ):
            rows.append(
                (_rating(fuse_a), link.id, f"battery {here}", f"battery {there}", wire, DASH, DASH, _a(link.load_a))
            )
    plates: list[Plate] = []
    while rows:
        plate, rows = _line_plate(rows, 1 + len(plates), links=bool(rig.links))
        plates.append(plate)
    return plates


def _line_plate(rows: list[tuple[str, ...]], page: int, *, links: bool) -> tuple[Plate, list[tuple[str, ...]]]:
    canvas = Canvas()
    title = "Fuses at batteries and in the line" + (f", continued ({page})" if page > 1 else "")
    canvas.text(title, 0.0, HEAD_MM, size=HEAD_MM, key="title", bold=True)
    y = HEAD_MM + 2.4
    if links:
        y = canvas.lines("A link has a fuse at either end, for both ends are live: take out both before work on it.", 0.0, y + LABEL_MM, width=SHEET_MM,
                         size=LABEL_MM, key="link") - LABEL_MM  # fmt: skip
    y += 4.0
    for x, _, name in _COLUMNS:
        canvas.text(name, x, y, size=SMALL_MM, key=f"column:{name}", bold=True)
    canvas.line(0.0, y + 1.2, SHEET_MM, y + 1.2, width=0.35)
    y += 1.2
    done = 0
    for row in rows:
        height = (
            max(height_of(text, width=wide, size=LABEL_MM) for text, (_, wide, _) in zip(row, _COLUMNS, strict=True))
            + 1.8
        )
        if done and y + height > ROOM_MM:
            break
        for text, (x, wide, name) in zip(row, _COLUMNS, strict=True):
            canvas.lines(
                text, x, y + 0.6 + LABEL_MM, width=wide, size=LABEL_MM, key=f"{page}:{done}:{name}", bold=name == "Fuse"
            )
        y += height
        canvas.line(0.0, y, SHEET_MM, y, stroke=HAIR, width=0.15)
        done += 1
    canvas.text(FOOT, 0.0, y + 4.0, size=SMALL_MM, key="foot", fill=QUIET)
    return canvas.plate(f"line:{page}", title, height=y + 5.5), rows[done:]
