"""A drive drawn over time: requirements broken, switches and signals, devices, and what was drawn.

Devices that do the same at the same times share a row. Solid bars burn or are driven, hatched ones flash; letters say
the colour, so the drawing reads in black and white.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from rigbook.papers.canvas import HAIR, INK, QUIET, SHEET_MM, Canvas, Plate, stacked, width_of, wrapped
from rigbook.papers.drive_sheet import values_over_time
from rigbook.papers.lampmap import colour_letters
from rigbook.rig.model import Rig
from rigbook.switching.drive import Drive
from rigbook.switching.plain_words import name_of

LEFT_MM, RIGHT_MM = 56.0, 4.0
AXIS_MM = SHEET_MM - LEFT_MM - RIGHT_MM
ROW_MM, BAR_MM = 4.6, 3.4
LABEL_MM, SMALL_MM, HEAD_MM = 2.2, 1.9, 2.8
CHART_MM = 34.0
STEPS_S = (1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 900, 1800, 3600, 7200, 14400, 28800, 86400, 7 * 86400)
BROKEN, BAR, DARK = "#c0392b", "#dfe4e2", "#8f9a98"
MOST_NAMED = 3


@dataclass(frozen=True, slots=True)
class Bar:
    """One bar: from and to in ms, what stands in it, and how it is filled."""

    start_ms: int
    end_ms: int
    text: str
    fill: str = BAR
    hatched: bool = False


@dataclass(frozen=True, slots=True)
class Track:
    """One row: its label and its bars."""

    label: str
    bars: tuple[Bar, ...]


def drive_plate(rig: Rig, drive: Drive) -> Plate:
    """The drive as one plate."""
    canvas = Canvas()
    groups = (
        ("Requirements broken", _requirements(drive)),
        ("Switches and signals", _variables(rig, drive)),
        ("Devices", _devices(rig, drive)),
    )
    y = 4.0
    for number, (title, tracks) in enumerate(groups):
        canvas.text(title, 0.0, y, size=HEAD_MM, key=f"head:{number}", bold=True)
        y += 1.6
        if not tracks:
            canvas.text("none", LEFT_MM + 1.0, y + 1.4, size=LABEL_MM, key=f"none:{number}", fill=QUIET)
        top = y
        for place, track in enumerate(tracks):
            _track(canvas, track, y, drive.end_ms, f"{number}:{place}")
            y += ROW_MM * _lines(track)
        _grid(canvas, drive.end_ms, top, y)
        y += 6.0
    y = _chart(canvas, drive, y)
    y = _axis(canvas, drive.end_ms, y)
    letters = ", ".join(f"{letter} {colour}" for colour, letter in colour_letters(rig).items())
    signs = f"Hatched: flashing. Plain: steady-burning or driven. {letters}. Currents of the whole build as entered, without inrush."
    y = canvas.lines(signs, 0.0, y + 3.0, width=SHEET_MM, size=SMALL_MM, key="signs", fill=QUIET)
    return canvas.plate("drive", f"Recorded drive: {rig.build.build.title}", height=y)


def drive_svg(rig: Rig, drive: Drive) -> bytes:
    """The drive as SVG: equal drives give equal bytes."""
    return stacked([drive_plate(rig, drive)], title=f"Recorded drive: {rig.build.build.title}").encode()


def _requirements(drive: Drive) -> list[Track]:
    found: dict[str, list[Bar]] = {}
    for b in drive.broken:
        found.setdefault(b.requirement, []).append(Bar(b.start_ms, b.end_ms, "broken", BROKEN))
    return [Track(name, tuple(bars)) for name, bars in found.items()]


def _variables(rig: Rig, drive: Drive) -> list[Track]:
    """Variables that move at all in the drive, or stand off rest."""
    found: dict[int, list[Bar]] = {}
    for index, start_ms, end_ms, value in values_over_time(rig.program, drive):
        v = rig.program.variables[index]
        off = value == v.values[v.rest]
        found.setdefault(index, []).append(Bar(start_ms, end_ms, value, "none" if off else BAR))
    return [
        Track(name_of(rig.program.variables[i]), tuple(bars))
        for i, bars in found.items()
        if len(bars) > 1 or bars[0].fill != "none"
    ]


def _devices(rig: Rig, drive: Drive) -> list[Track]:
    """Rows of devices that do the same at the same times."""
    letters = colour_letters(rig)
    own: dict[tuple[str, str], list[tuple[int, int, str]]] = {}
    for d in drive.doings:
        own.setdefault((d.device, d.what), []).append((d.start_ms, d.end_ms, d.manner))
    alike: dict[tuple[str, tuple[tuple[int, int, str], ...]], list[str]] = {}
    for (device, what), times in own.items():
        alike.setdefault((what, tuple(times)), []).append(device)
    tracks = []
    for (what, spans), devices in alike.items():
        rows = list(dict.fromkeys(d.split(".")[0] for d in devices))
        named = ", ".join(rows[:MOST_NAMED]) + (f" and {len(rows) - MOST_NAMED} more" if len(rows) > MOST_NAMED else "")
        bars = tuple(
            Bar(start, end, letters.get(what, what), DARK if manner == "driven" else BAR, manner == "flashing")
            for start, end, manner in spans
        )
        tracks.append(Track(f"{named} {what}", bars))
    return tracks


# --- putting it down ---------------------------------------------------------------------------------------------------------------


def _x(at_ms: int, end_ms: int) -> float:
    return LEFT_MM + AXIS_MM * at_ms / max(1, end_ms)


def _lines(track: Track) -> int:
    return len(wrapped(track.label, width=LEFT_MM - 2.0, size=LABEL_MM)[:2])


def _track(canvas: Canvas, track: Track, y: float, end_ms: int, key: str) -> None:
    for number, line in enumerate(wrapped(track.label, width=LEFT_MM - 2.0, size=LABEL_MM)[:2]):
        canvas.text(line, 0.0, y + 2.6 + number * ROW_MM * 0.62, size=LABEL_MM, key=f"{key}:label:{number}")
    for number, bar in enumerate(track.bars):
        left, right = _x(bar.start_ms, end_ms), _x(bar.end_ms, end_ms)
        width = max(right - left, 0.25)
        canvas.rect(left, y, width, BAR_MM, fill=bar.fill, stroke=HAIR, stroke_width=0.18)
        if bar.hatched:
            _hatch(canvas, left, y, width)
        if bar.text and width_of(bar.text, size=SMALL_MM) <= width - 1.0:
            room = width_of(bar.text, size=SMALL_MM)
            fill = "#ffffff" if bar.fill == BROKEN else INK
            if bar.hatched:
                canvas.rect(left + 0.5, y + 0.6, room + 0.6, BAR_MM - 1.2, fill="#ffffff", stroke=None)
            canvas.text(bar.text, left + 0.8, y + 2.4, size=SMALL_MM, key=f"{key}:bar:{number}", fill=fill)


def _hatch(canvas: Canvas, left: float, y: float, width: float) -> None:
    """Upright strokes, as many as there is room for: a flash has no place on an axis of minutes."""
    strokes = []
    at = left + 0.9
    while at < left + width - 0.3:
        strokes.append(f"M{at:.2f} {y:.2f}v{BAR_MM:.2f}")
        at += 0.9
    if strokes:
        canvas.path("".join(strokes), stroke=DARK, stroke_width=0.22)


def _ticks(end_ms: int) -> Iterator[int]:
    step = next((s for s in STEPS_S if end_ms / 1000 / s <= 10), STEPS_S[-1]) * 1000
    yield from range(0, end_ms + 1, step)


def _grid(canvas: Canvas, end_ms: int, top: float, bottom: float) -> None:
    for at in _ticks(end_ms):
        canvas.line(_x(at, end_ms), top - 0.6, _x(at, end_ms), bottom, width=0.08, stroke=QUIET, dash="0.6 0.9")


def _axis(canvas: Canvas, end_ms: int, y: float) -> float:
    canvas.line(LEFT_MM, y, LEFT_MM + AXIS_MM, y, width=0.18)
    for at in _ticks(end_ms):
        canvas.line(_x(at, end_ms), y, _x(at, end_ms), y + 1.2, width=0.18)
        canvas.text(clock(at), _x(at, end_ms), y + 3.6, size=SMALL_MM, key=f"tick:{at}", anchor="middle")
    return y + 6.0


def clock(at_ms: int) -> str:
    """A time as it is read on a watch: `45 s`, `2:30`, `1:02:30`; with what is left of a second."""
    seconds, left = divmod(at_ms, 1000)
    rest = f".{left:03d}".rstrip("0") if left else ""
    if seconds < 60:
        return f"{seconds}{rest} s"
    minutes, seconds = divmod(seconds, 60)
    hours, minutes = divmod(minutes, 60)
    return f"{hours}:{minutes:02d}:{seconds:02d}{rest}" if hours else f"{minutes}:{seconds:02d}{rest}"


def _chart(canvas: Canvas, drive: Drive, y: float) -> float:
    """Average and peak current over time."""
    canvas.text("Current, A", 0.0, y, size=HEAD_MM, key="head:current", bold=True)
    top, bottom = y + 2.0, y + 2.0 + CHART_MM
    most = max(1.0, drive.greatest("peak")[0])
    step = _nice(most / 4)
    lines = int(most // step) + 1
    scale = CHART_MM / (lines * step)
    for number in range(lines + 1):
        at = bottom - number * step * scale
        canvas.line(LEFT_MM, at, LEFT_MM + AXIS_MM, at, width=0.08, stroke=QUIET)
        canvas.text(f"{number * step:g}", LEFT_MM - 1.2, at + 0.7, size=SMALL_MM, key=f"amperes:{number}", anchor="end")
    _grid(canvas, drive.end_ms, top, bottom)
    for label, width, dash in (("peak", 0.25, "1.2 0.8"), ("average", 0.5, None)):
        before: float | None = None
        for s in drive.stretches:
            at = bottom - s.drawn[label] * scale
            left, right = _x(s.start_ms, drive.end_ms), _x(s.end_ms, drive.end_ms)
            if before is not None:
                canvas.line(left, before, left, at, width=width, dash=dash)
            canvas.line(left, at, right, at, width=width, dash=dash)
            before = at
    canvas.text("full: average", 0.0, top + 4.0, size=LABEL_MM, key="current:average")
    canvas.text("broken: peak", 0.0, top + 8.0, size=LABEL_MM, key="current:peak")
    return bottom + 3.0


def _nice(value: float) -> float:
    steps: Sequence[float] = [m * 10.0**e for e in range(-2, 5) for m in (1, 2, 5)]
    return next(s for s in steps if s >= value)
