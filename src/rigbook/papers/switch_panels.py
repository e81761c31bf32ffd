"""The crew's switch panels as shop drawings: outline with dimensions, every control with its legend, and a table of what
each does under a finger.

Plain symbols, in the order of the build: it shows which legend goes on which control and how the control acts, not what
the panel looks like. Centres are the panel maker's; none is invented here.
"""

from __future__ import annotations

from rigbook.papers.canvas import HAIR, LEADING, QUIET, SHEET_MM, Canvas, Plate, height_of, width_of
from rigbook.papers.panel_faces import Control, Face, faces
from rigbook.papers.panel_symbols import (
    DRAWN,
    FACE_LEFT,
    FACE_MM,
    GAP_MM,
    LEAST_MM,
    PAD_MM,
    SMALL_MM,
    flow,
    kind_of,
    strip_height,
    width_of_control,
)
from rigbook.papers.spelling import spelled
from rigbook.quantities.show import convert
from rigbook.rig.model import Rig

TITLE_MM, LABEL_MM = 3.6, 2.3
ROOM_MM = 225.0


# --- words ---------------------------------------------------------------------------------------------------------------


def acts(control: Control, labels: dict[str, str]) -> str:
    """How a control acts under a finger, in one sentence or two. `labels` gives the legend of every switch."""
    switch = control.switch
    if switch is None:
        return ""
    parts = [{
        "latching": "press on, press off",
        "momentary": "on while pressed" + (f"; a tap is under {switch.tap_under * 1000:.0f} ms" if switch.tap_under is not None else ""),
    }.get(switch.kind, "stays where it is put")]  # fmt: skip
    parts += [f"{a} springs back to {b}" for a, b in switch.springs_back.items()]
    if switch.releases_when is not None:
        parts.append(f"lets go by itself, and cannot be pressed on, when {switch.releases_when}")
    if control.exclusive:
        parts.append(f"lets go of {', '.join(labels.get(o, o) for o in control.exclusive)}, and the other way round")
    return "; ".join(parts)


def _positions(control: Control) -> str:
    if not control.positions:
        return "off (rest), on" if control.switch and control.switch.kind == "latching" else "released (rest), pressed"
    return ", ".join(f"{p} (rest)" if i == 0 else p for i, p in enumerate(control.positions))


def _wired(control: Control) -> str:
    place, switch = control.place, control.switch
    if place is None or switch is None:
        return ""
    if place.inputs:
        return ", ".join(f"{u.module_id}.in{u.input}" + (f" {u.position}" if u.position else "") for u in place.inputs)
    return f"data link of {place.link}" if place.link else "–"


# --- drawing -------------------------------------------------------------------------------------------------------------


def switch_panels(rig: Rig) -> list[Plate]:
    """A plate for every face with its controls, and further ones where the table is long. Never empty."""
    labels = {s.id: s.label or s.id for s in rig.build.switching.switches}
    plates: list[Plate] = []
    for face in faces(rig):
        plates += _plates(rig, face, labels)
    if not plates:
        canvas = Canvas()
        canvas.text("This build has no switch.", 0.0, 4.0, size=LABEL_MM, key="none")
        plates = [canvas.plate("none", "Switch panels", height=8.0)]
    return plates


def _plates(rig: Rig, face: Face, labels: dict[str, str]) -> list[Plate]:
    canvas = Canvas()
    y = canvas.lines(face.heading, 0.0, TITLE_MM, width=SHEET_MM, size=TITLE_MM, key="title", bold=True) + 0.4
    if face.about:
        y = canvas.lines(face.about, 0.0, y, width=SHEET_MM, size=LABEL_MM, key="about")
    y -= LABEL_MM - 1.6
    if face.size_m is not None:
        y = _face(canvas, rig, face, y)
    rows = [c for c in face.controls if c.switch is not None]
    plates: list[Plate] = []
    while True:
        y, rows = _table(canvas, rows, labels, y + 2.0, page=len(plates))
        title = face.heading + (f", continued ({len(plates) + 1})" if plates else "")
        plates.append(canvas.plate(f"{face.id}:{len(plates) + 1}", title, height=y + 1.0))
        if not rows:
            return plates
        canvas, y = Canvas(), 0.0


_COLUMNS: tuple[tuple[float, float, str], ...] = (
    (0.0, 7.0, "No."), (8.0, 32.0, "Legend"), (42.0, 17.0, "Kind"), (61.0, 36.0, "Positions"), (99.0, 50.0, "Acts"), (151.0, 25.0, "Wired"),
)  # fmt: skip


def _cells(control: Control, labels: dict[str, str]) -> tuple[str, ...]:
    switch = control.switch
    assert switch is not None
    note = f" Note: {switch.note}" if switch.note else ""
    return (
        str(control.number),
        control.legend,
        switch.kind,
        _positions(control),
        acts(control, labels) + note,
        _wired(control),
    )


def _table(
    canvas: Canvas, rows: list[Control], labels: dict[str, str], top: float, *, page: int
) -> tuple[float, list[Control]]:
    """As many rows as the plate holds, at least one; gives the bottom and the rows that are left."""
    if not rows:
        return top, []
    y = top + SMALL_MM + 1.0
    for x, _, name in _COLUMNS:
        canvas.text(name, x, y, size=SMALL_MM, key=f"{page}:column:{name}", bold=True)
    y += 1.2
    canvas.line(0.0, y, SHEET_MM, y, width=0.35)
    done = 0
    for control in rows:
        cells = _cells(control, labels)
        height = (
            max(
                height_of(t, width=w, size=SMALL_MM, bold=n == "Legend")
                for t, (_, w, n) in zip(cells, _COLUMNS, strict=True)
            )
            + 1.4
        )
        if done and y + height > ROOM_MM:
            break
        for text, (x, wide, name) in zip(cells, _COLUMNS, strict=True):
            canvas.lines(
                text,
                x,
                y + 0.5 + SMALL_MM,
                width=wide,
                size=SMALL_MM,
                key=f"{control.number}:{name}",
                bold=name == "Legend",
            )
        y += height
        canvas.line(0.0, y, SHEET_MM, y, stroke=HAIR, width=0.15)
        done += 1
    return y, rows[done:]


def _size(value_m: float, rig: Rig) -> str:
    """A dimension in the shop's units, millimetres beside inches."""
    mm = f"{value_m * 1000:.4g} mm"
    return f"{convert(value_m, 'length', 'in'):.2f} in ({mm})" if rig.shop.units == "us" else mm


def _face(canvas: Canvas, rig: Rig, face: Face, top: float) -> float:
    """Outline, dimensions and controls; gives the bottom."""
    assert face.size_m is not None
    width_m, height_m, depth_m = face.size_m
    face_mm = min(FACE_MM, max(LEAST_MM, 1000 * width_m))
    strips = flow(face.controls, face_mm - 2 * PAD_MM)
    inner = sum(strip_height(s) for s in strips) + GAP_MM * max(0, len(strips) - 1)
    scaled = face_mm * height_m / width_m if width_m > 0 else 0.0
    tall = max(scaled, inner + 2 * PAD_MM, 20.0)
    words = f"Depth {_size(depth_m, rig)}"
    if face.cut_out_m is not None:
        words += f"; cut-out {_size(face.cut_out_m[0], rig)} by {_size(face.cut_out_m[1], rig)}"
    true = abs(tall - scaled) < 0.01 * tall
    words += "; outline in proportion." if true else "; outline not in proportion."
    words += " Take centres of holes from the panel in hand; work to figures, never to the size on paper."
    y = canvas.lines(
        spelled(words, rig.shop.units), 0.0, top + LABEL_MM, width=SHEET_MM, size=LABEL_MM, key="words", fill=QUIET
    )
    _across(canvas, _size(width_m, rig), y + 1.0, FACE_LEFT + face_mm)
    outline = y + 5.0
    _upright(canvas, _size(height_m, rig), outline, outline + tall)
    canvas.rect(FACE_LEFT, outline, face_mm, tall, stroke_width=0.6, radius=1.5)
    at = outline + max(PAD_MM, (tall - inner) / 2)
    for strip in strips:
        x = FACE_LEFT + PAD_MM
        for control in strip:
            DRAWN[kind_of(control)](canvas, control, x, at, strip_height(strip))
            x += width_of_control(control) + GAP_MM
        at += strip_height(strip) + GAP_MM
    return outline + tall + 2.0


def _across(canvas: Canvas, words: str, y: float, right: float) -> None:
    """The dimension line of the width."""
    left = FACE_LEFT
    room = width_of(words, size=LABEL_MM) / 2 + 1.5
    middle = (left + right) / 2
    canvas.line(left, y, middle - room, y, width=0.18)
    canvas.line(middle + room, y, right, y, width=0.18)
    for x, inward in ((left, 1), (right, -1)):
        canvas.path(
            f"M{x + inward * 1.8:.2f} {y - 0.5:.2f}L{x:.2f} {y:.2f}L{x + inward * 1.8:.2f} {y + 0.5:.2f}",
            stroke_width=0.18,
        )
        canvas.line(x, y - 1.0, x, y + 3.4, width=0.15)
    canvas.text(words, middle, y + 0.8, size=LABEL_MM, key="dimension:width", anchor="middle")


def _upright(canvas: Canvas, words: str, top: float, bottom: float) -> None:
    """The dimension line of the height; the figures stand level, in as many lines as they need."""
    x = 6.5
    middle = (top + bottom) / 2
    lines = [words] if width_of(words, size=LABEL_MM) <= 12.5 else words.split(" (")
    lines = [w if i == 0 else f"({w}" for i, w in enumerate(lines)]
    tall = LEADING * LABEL_MM * len(lines)
    canvas.line(x, top, x, middle - tall / 2 - 1.0, width=0.18)
    canvas.line(x, middle + tall / 2 + 1.0, x, bottom, width=0.18)
    for y, inward in ((top, 1), (bottom, -1)):
        canvas.path(
            f"M{x - 0.5:.2f} {y + inward * 1.8:.2f}L{x:.2f} {y:.2f}L{x + 0.5:.2f} {y + inward * 1.8:.2f}",
            stroke_width=0.18,
        )
        canvas.line(x - 1.0, y, FACE_LEFT - 0.8, y, width=0.15)
    for index, line in enumerate(lines):
        canvas.text(
            line,
            x,
            middle - tall / 2 + LABEL_MM + index * LEADING * LABEL_MM,
            size=LABEL_MM,
            key=f"dimension:height:{index}",
            anchor="middle",
        )
