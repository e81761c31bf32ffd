"""Timing diagrams: what each function makes every lamp do over one period, from the compiled timelines.

One diagram a function, one row for lamps of one colour that do the same on one clock; the instants stand in figures beside
the bars, so that they can be entered into any controller. A bar's height is the intensity, its letter the colour.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from rigbook.papers import svg
from rigbook.papers.canvas import HAIR, INK, QUIET, SHEET_MM, Canvas, Plate, height_of
from rigbook.papers.lampmap import colour_letters
from rigbook.quantities.show import format_number
from rigbook.rig.model import Rig
from rigbook.switching.program import Timeline
from rigbook.switching.timeline import is_steady

TITLE_MM, LABEL_MM, SMALL_MM = 3.0, 2.3, 2.0
LEFT_MM, RIGHT_MM = 66.0, 4.0
AXIS_MM = SHEET_MM - LEFT_MM - RIGHT_MM
BAR_MM = 4.2
BAR = "#cfcfcf"
LONGEST_MS = 4000
"""A common period beyond this is not drawn whole: the axis then ends with the longest period of a row."""
ROOM_MM = 225.0
STEPS_MS = (10, 20, 50, 100, 200, 500, 1000, 2000, 5000, 10000, 20000, 50000, 100000)


@dataclass(frozen=True, slots=True)
class Row:
    """Lamps of one colour that do the same, on one clock (named where the build has several)."""

    clock: str
    lamps: tuple[str, ...]
    colour: str
    letter: str
    timeline: Timeline


@dataclass(frozen=True, slots=True)
class Diagram:
    """One function: its rows, and the time its axis shows (0 where all is steady-burning)."""

    function: str
    rank: str
    when: str
    rows: tuple[Row, ...]
    axis_ms: int
    repeats: bool  # the axis holds a whole number of periods of every row


def diagrams(rig: Rig) -> list[Diagram]:
    """A diagram of every function that shows light, in file order."""
    program = rig.program
    letters = colour_letters(rig)
    clocks = len({device.clock for device in program.devices if device.colours}) > 1
    texts = {f.name: str(f.when) for f in rig.build.switching.functions}
    found: list[dict[tuple[str, str, Timeline], list[str]]] = [{} for _ in program.functions]
    for device in program.devices:
        for entry in device.entries:
            if entry.kind != "show":
                continue
            for colour, timeline in program.contents[entry.content].channels:
                found[entry.function].setdefault((device.clock, colour, timeline), []).append(device.id)
    made = []
    for function, groups in zip(program.functions, found, strict=True):
        if not groups:
            continue
        rows = tuple(
            Row(clock if clocks else "", tuple(lamp_names(rig, ids)), colour, letters.get(colour, colour), timeline)
            for (clock, colour, timeline), ids in groups.items()
        )
        axis, repeats = axis_of(r.timeline for r in rows)
        made.append(
            Diagram(function.name, program.ranks[function.rank], texts.get(function.name, ""), rows, axis, repeats)
        )
    return made


def lamp_names(rig: Rig, ids: Sequence[str]) -> list[str]:
    """Lamps by name: a row or bar whole by its own name, parts of one with their numbers run together."""
    by_row: dict[str, list[str]] = {}
    for name in ids:
        device = rig.devices.get(name)
        by_row.setdefault(device.row if device else name, []).append(name)
    names: list[str] = []
    for row, members in by_row.items():
        whole = [d.id for d in rig.devices.values() if d.row == row and d.colours]
        numbers = [rig.devices[m].index for m in members if m in rig.devices]
        if len(members) == len(whole):
            names.append(row)
        elif len(members) > 1 and all(n is not None for n in numbers):
            names.append(f"{row} {_runs(sorted(n for n in numbers if n is not None))}")
        else:
            names += members
    return names


def _runs(numbers: Sequence[int]) -> str:
    """1, 2, 3, 5 as `1–3, 5`."""
    runs: list[list[int]] = []
    for n in numbers:
        if runs and runs[-1][1] == n - 1:
            runs[-1][1] = n
        else:
            runs.append([n, n])
    return ", ".join(f"{a}" if a == b else f"{a}–{b}" for a, b in runs)


def axis_of(timelines: Iterable[Timeline]) -> tuple[int, bool]:
    """Time an axis must show, ms: the common period of what flashes, 0 for steady-burning alone; and whether it is that."""
    periods = [t.period_ms for t in timelines if not is_steady(t)]
    if not periods:
        return 0, True
    common = math.lcm(*periods)
    return (common, True) if common <= LONGEST_MS else (max(periods), len(set(periods)) == 1)


def instants(timeline: Timeline) -> str:
    """When a lamp is lit, in words and figures.

    >>> from rigbook.switching.program import Span
    >>> instants(Timeline(800, (Span(0, 100, 1.0, 1.0), Span(200, 300, 0.5, 0.5))))
    'lit 0–100, 200–300 (50 %) of 800 ms'
    """
    if is_steady(timeline):
        level = timeline.spans[0].intensity_from
        return "steady-burning" + ("" if level == 1.0 else f" at {_per_cent(level)}")
    if not timeline.spans:
        return "dark"
    parts = [
        f"{s.start_ms}–{s.end_ms}" + ("" if s.intensity_from == 1.0 else f" ({_per_cent(s.intensity_from)})")
        for s in timeline.spans
    ]
    return f"lit {', '.join(parts)} of {timeline.period_ms} ms"


def _per_cent(level: float) -> str:
    return f"{format_number(round(level * 100, 6))} %"


# --- drawing -----------------------------------------------------------------------------------------------------------


def timing(rig: Rig) -> list[Plate]:
    """Every diagram, as many on a plate as fit. Never empty."""
    found = diagrams(rig)
    if not found:
        canvas = Canvas()
        canvas.text("No function shows light.", 0.0, 4.0, size=LABEL_MM, key="none")
        return [canvas.plate("timing:1", "Timing diagrams", height=8.0)]
    plates: list[Plate] = []
    canvas, y = Canvas(), 0.0
    for number, (diagram, rows, first) in enumerate(_cut(found)):
        height = diagram_height(diagram, rows)
        if y and y + height > ROOM_MM:
            plates.append(_finish(canvas, y, len(plates)))
            canvas, y = Canvas(), 0.0
        y = _draw(canvas, diagram, rows, y, key=str(number), first=first)
    plates.append(_finish(canvas, y, len(plates)))
    return plates


def _finish(canvas: Canvas, y: float, before: int) -> Plate:
    words = "A bar's height is the intensity. Lamps of one clock keep this timing to each other; those of different clocks drift."
    canvas.text(words, 0.0, y + 2.4, size=SMALL_MM, key="foot", fill=QUIET)
    return canvas.plate(f"timing:{before + 1}", "Timing of the functions", height=y + 4.0)


def _cut(found: Sequence[Diagram]) -> list[tuple[Diagram, tuple[Row, ...], bool]]:
    """Diagrams in parts that fit on a plate: one part each, unless a function has very many rows."""
    parts: list[tuple[Diagram, tuple[Row, ...], bool]] = []
    for diagram in found:
        waiting, first = list(diagram.rows), True
        while waiting:
            count = 1
            while count < len(waiting) and diagram_height(diagram, waiting[: count + 1]) <= ROOM_MM:
                count += 1
            parts.append((diagram, tuple(waiting[:count]), first))
            waiting, first = waiting[count:], False
    return parts


def diagram_height(diagram: Diagram, rows: Sequence[Row]) -> float:
    """Height of a diagram with these rows."""
    head = height_of(_title(diagram, True), width=SHEET_MM, size=TITLE_MM, bold=True) + height_of(
        _when(diagram), width=SHEET_MM, size=SMALL_MM
    )
    return head + 2.0 + sum(_row_height(r) for r in rows) + (5.0 if diagram.axis_ms else 1.0) + 4.0


def _title(diagram: Diagram, first: bool) -> str:
    return diagram.function + ("" if first else " (continued)")


def _when(diagram: Diagram) -> str:
    return f"Rank {diagram.rank}; holds when {diagram.when}"


_NAMES_MM = LEFT_MM - 12.0


def _names(row: Row) -> str:
    return ", ".join(row.lamps)


def _words(row: Row) -> str:
    """The instants, and the clock where the build has several."""
    return instants(row.timeline) + (f"; clock {row.clock}" if row.clock else "")


def _row_height(row: Row) -> float:
    texts = height_of(_names(row), width=_NAMES_MM, size=LABEL_MM) + height_of(
        _words(row), width=_NAMES_MM, size=SMALL_MM
    )
    return max(BAR_MM + 2.0, texts + 1.2)


def _draw(canvas: Canvas, diagram: Diagram, rows: Sequence[Row], top: float, *, key: str, first: bool) -> float:
    """One diagram below `top`; gives where the next may begin."""
    y = canvas.lines(
        _title(diagram, first), 0.0, top + TITLE_MM, width=SHEET_MM, size=TITLE_MM, key=f"{key}:title", bold=True
    )
    y = canvas.lines(_when(diagram), 0.0, y - 0.6, width=SHEET_MM, size=SMALL_MM, key=f"{key}:when", fill=QUIET)
    y += 0.6 - SMALL_MM + 1.2
    start = y
    step = tick_ms(diagram.axis_ms)
    bottom = start + sum(_row_height(r) for r in rows)
    if step:
        for at in range(0, diagram.axis_ms + 1, step):
            x = LEFT_MM + AXIS_MM * at / diagram.axis_ms
            canvas.line(x, start, x, bottom + 0.8, stroke=HAIR, width=0.15)
    for index, row in enumerate(rows):
        _row(canvas, row, y, diagram.axis_ms, key=f"{key}:{index}")
        y += _row_height(row)
        canvas.line(0.0, y, SHEET_MM - RIGHT_MM, y, stroke=HAIR, width=0.12)
    if not step:
        return y + 5.0
    canvas.line(LEFT_MM, y, SHEET_MM - RIGHT_MM, y, width=0.3)
    for at in range(0, diagram.axis_ms + 1, step):
        x = LEFT_MM + AXIS_MM * at / diagram.axis_ms
        canvas.text(f"{at}", x, y + 3.2, size=SMALL_MM, key=f"{key}:tick:{at}", anchor="middle")
    ends = f"ms; repeats every {diagram.axis_ms} ms" if diagram.repeats else "ms; rows repeat at their own periods"
    canvas.text(ends, 0.0, y + 3.2, size=SMALL_MM, key=f"{key}:unit", fill=QUIET)
    return y + 9.0


def tick_ms(axis_ms: int) -> int:
    """Spacing of ticks whose figures have room beside each other; 0 without an axis."""
    if not axis_ms:
        return 0
    room = svg.text_width(str(axis_ms), size=SMALL_MM) + 2.0
    return next((s for s in STEPS_MS if AXIS_MM * s / axis_ms >= room), axis_ms)


def _row(canvas: Canvas, row: Row, top: float, axis_ms: int, *, key: str) -> None:
    y = canvas.lines(_names(row), 0.0, top + LABEL_MM + 0.2, width=_NAMES_MM, size=LABEL_MM, key=f"{key}:names")
    canvas.lines(
        _words(row), 0.0, y - LABEL_MM * 0.1, width=_NAMES_MM, size=SMALL_MM, key=f"{key}:instants", fill=QUIET
    )
    canvas.text(row.letter, LEFT_MM - 2.0, top + BAR_MM, size=3.0, key=f"{key}:letter", anchor="end", bold=True)
    bars(
        canvas,
        row.timeline,
        row.letter,
        x=LEFT_MM,
        y=top + 1.0,
        width=AXIS_MM,
        height=BAR_MM,
        axis_ms=axis_ms or 1,
        key=key,
    )


def bars(
    canvas: Canvas, timeline: Timeline, letter: str, *, x: float, y: float, width: float, height: float, axis_ms: int, key: str,
) -> None:  # fmt: skip
    """The bars of one timeline over an axis of `axis_ms`, at x, y: height by intensity, the letter in each that has room."""
    for number, (start, end, level) in enumerate(lit(timeline, axis_ms)):
        left, wide = x + width * start / axis_ms, width * (end - start) / axis_ms
        tall = height * max(level, 0.08)
        canvas.rect(left, y + height - tall, wide, tall, fill=BAR, stroke=INK, stroke_width=0.3)
        size = min(2.4, 0.72 * tall)
        if wide >= svg.text_width(letter, size=size, bold=True) + 0.8 and size >= 1.4:
            middle = y + height - tall / 2
            back = svg.text_width(letter, size=size, bold=True) + 0.6
            canvas.rect(
                left + wide / 2 - back / 2,
                middle - 0.55 * size,
                back,
                1.1 * size,
                fill="#ffffff",
                stroke=None,
                radius=0.3,
            )
            canvas.text(
                letter,
                left + wide / 2,
                middle + 0.36 * size,
                size=size,
                key=f"{key}:bar:{number}",
                anchor="middle",
                bold=True,
            )


def lit(timeline: Timeline, axis_ms: int) -> list[tuple[int, int, float]]:
    """What is lit from 0 to the end of the axis, the period repeated: start, end, intensity."""
    if is_steady(timeline):
        return [(0, axis_ms, timeline.spans[0].intensity_from)]
    found = []
    for turn in range(0, axis_ms, timeline.period_ms):
        for span in timeline.spans:
            if turn + span.start_ms < axis_ms:
                found.append((turn + span.start_ms, min(turn + span.end_ms, axis_ms), span.intensity_from))
    return found


def strip(timeline: Timeline, letter: str, *, axis_ms: int | None = None, width: float = 60.0) -> Plate:
    """The bars of one timeline alone, for a cell of a table: over its own period, or the axis given."""
    canvas = Canvas()
    axis = axis_ms or (1 if is_steady(timeline) else timeline.period_ms)
    canvas.line(0.3, 5.0, width - 0.3, 5.0, width=0.2)
    bars(canvas, timeline, letter, x=0.3, y=0.6, width=width - 0.6, height=4.4, axis_ms=axis, key="strip")
    return canvas.plate("strip", instants(timeline), height=5.6, width=width)
