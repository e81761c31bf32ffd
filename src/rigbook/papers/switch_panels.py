"""The crew's switch panels as shop drawings: outline with dimensions, every control with its legend, and a table of what
each does under a finger.

Plain symbols, in the order of the build: it shows which legend goes on which control and how the control acts, not what
the panel looks like. Centres are the panel maker's; none is invented here.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from rigbook.documents.schema.switching import Switch
from rigbook.papers.canvas import HAIR, INK, LEADING, QUIET, SHEET_MM, Canvas, Plate, height_of, width_of
from rigbook.papers.spelling import spelled
from rigbook.quantities.show import convert
from rigbook.rig.model import Rig, SwitchPlace

TITLE_MM, LABEL_MM, SMALL_MM, LEGEND_MM = 3.6, 2.3, 2.0, 2.4
FACE_LEFT, FACE_MM, LEAST_MM = 14.0, 158.0, 92.0
CELL_MM, GAP_MM, PAD_MM = 19.0, 1.4, 3.0
ROOM_MM = 225.0


@dataclass(frozen=True, slots=True)
class Control:
    """A switch on a panel with its number there; a spare key has none."""

    number: int
    switch: Switch | None
    place: SwitchPlace | None
    exclusive: tuple[str, ...] = ()

    @property
    def legend(self) -> str:
        """What stands beside it: its label, else its id."""
        return (self.switch.label or self.switch.id) if self.switch else "spare"

    @property
    def positions(self) -> tuple[str, ...]:
        """Named positions in order, the rest first."""
        return tuple(self.switch.positions or ()) if self.switch else ()


@dataclass(frozen=True, slots=True)
class Face:
    """A panel with its controls. `size_m` is width, height and depth; None for a face no part stands for."""

    id: str
    heading: str
    size_m: tuple[float, float, float] | None
    cut_out_m: tuple[float, float] | None
    about: str
    controls: tuple[Control, ...]


def faces(rig: Rig) -> list[Face]:
    """The installed switch panels in file order, then faces that are only named, then switches that sit on none."""
    switching = rig.build.switching
    places = {p.id: p for p in rig.switches}
    groups_of = [[str(name) for name in group] for group in switching.exclusive]
    exclusive = {name: tuple(dict.fromkeys(o for group in groups_of if name in group for o in group if o != name))
                 for group in groups_of for name in group}  # fmt: skip
    groups: dict[str, list[Switch]] = {}
    for switch in switching.switches:
        place = places.get(switch.id)
        groups.setdefault((place.panel or place.link or "" if place else switch.panel or switch.link or ""), []).append(
            switch
        )
    found = []
    for device in rig.devices.values():
        part = rig.parts.get(device.part_id or "")
        if part is None or part.kind != "switch-panel":
            continue
        controls = _controls(groups.pop(device.id, []), places, exclusive)
        keys = sum(c.switch is not None and c.switch.kind in ("latching", "momentary") for c in controls)
        spares = tuple(Control(len(controls) + i + 1, None, None) for i in range(max(0, part.keys - keys)))
        depth, width, height = part.size
        about = f"{part.title}. {keys} of {part.keys} keys used; at {device.placement.place or device.placement.node or device.id}."
        found.append(
            Face(
                device.id,
                f"Switch panel {device.id}",
                (width, height, depth),
                part.cut_out,
                about,
                (*controls, *spares),
            )
        )
    for name, switches in groups.items():
        heading = f"Face {name}" if name else "Switches away from the panels"
        about = "" if name else "Each sits where its note or its wire says."
        found.append(Face(name or "elsewhere", heading, None, None, about, _controls(switches, places, exclusive)))
    return found


def _controls(
    switches: Sequence[Switch], places: dict[str, SwitchPlace], exclusive: dict[str, tuple[str, ...]]
) -> tuple[Control, ...]:
    return tuple(Control(i, s, places.get(s.id), exclusive.get(s.id, ())) for i, s in enumerate(switches, 1))


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
    strips = _flow(face.controls, face_mm - 2 * PAD_MM)
    inner = sum(_strip_height(s) for s in strips) + GAP_MM * max(0, len(strips) - 1)
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
            _DRAWN[_kind(control)](canvas, control, x, at, _strip_height(strip))
            x += _width(control) + GAP_MM
        at += _strip_height(strip) + GAP_MM
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


# --- controls ------------------------------------------------------------------------------------------------------------


def _kind(control: Control) -> str:
    return control.switch.kind if control.switch else "spare"


def _width(control: Control) -> float:
    """A slide needs a mark for every position, a rotary a list beside its knob."""
    return min(
        LEAST_MM - 2 * PAD_MM,
        {"slide": 13.0 * len(control.positions), "rotary": 2 * CELL_MM, "rocker": 1.5 * CELL_MM}.get(
            _kind(control), CELL_MM
        ),
    )


def _flow(controls: Sequence[Control], room: float) -> list[list[Control]]:
    """The controls in strips as wide as there is room."""
    strips: list[list[Control]] = []
    used = math.inf
    for control in controls:
        if used + _width(control) > room + 1e-6:
            strips.append([])
            used = 0.0
        strips[-1].append(control)
        used += _width(control) + GAP_MM
    return strips


def _head_height(control: Control) -> float:
    return max(3.6, height_of(control.legend, width=_width(control) - 5.4, size=LEGEND_MM, bold=True))


def _strip_height(strip: Sequence[Control]) -> float:
    return max((_height(c) for c in strip), default=0.0)


def _height(control: Control) -> float:
    head = _head_height(control) + 1.6
    names = control.positions
    if _kind(control) == "slide":
        each = _width(control) / max(1, len(names)) - 1.0
        return head + 6.0 + max((height_of(p, width=each, size=SMALL_MM) for p in names), default=0.0) + 1.0
    if _kind(control) == "rotary":
        return head + max(
            13.5, sum(height_of(_numbered(i, p), width=CELL_MM, size=SMALL_MM) for i, p in enumerate(names, 1)) + 1.0
        )
    if _kind(control) == "rocker":
        return head + sum(height_of(p, width=1.5 * CELL_MM - 5.0, size=SMALL_MM) + 1.2 for p in names) + 1.2
    return head + 8.2


def _numbered(number: int, position: str) -> str:
    return f"{number} {position}"


def _frame(canvas: Canvas, control: Control, x: float, y: float, height: float) -> float:
    """The field of a control, its number and its legend; gives where its symbol begins."""
    wide = _width(control)
    canvas.rect(x, y, wide, height, stroke=HAIR, stroke_width=0.2, radius=0.8)
    canvas.circle(x + 2.5, y + 2.5, 1.9, stroke_width=0.2)
    size = 1.9 if control.number < 100 else 1.5
    canvas.text(
        str(control.number),
        x + 2.5,
        y + 2.5 + 0.36 * size,
        size=size,
        key=f"face:{control.number}:number",
        anchor="middle",
    )
    fill = INK if control.switch else QUIET
    canvas.lines(control.legend, x + 4.9, y + LEGEND_MM + 0.6, width=wide - 5.4, size=LEGEND_MM, key=f"face:{control.number}:legend",
                 bold=control.switch is not None, fill=fill)  # fmt: skip
    return y + _head_height(control) + 1.6


def _key(canvas: Canvas, control: Control, x: float, y: float, height: float) -> None:
    """A key: a latching one stays (double outline), a momentary one springs back (arrow up)."""
    at = _frame(canvas, control, x, y, height)
    wide = CELL_MM - 9.0
    left = x + (CELL_MM - wide) / 2
    spare = control.switch is None
    canvas.rect(
        left,
        at,
        wide,
        5.0,
        dash="1 0.8" if spare else None,
        stroke=QUIET if spare else INK,
        radius=0.6,
        stroke_width=0.35,
    )
    if spare:
        return
    if _kind(control) == "latching":
        canvas.rect(left + 0.9, at + 0.9, wide - 1.8, 3.2, radius=0.4, stroke_width=0.25)
    else:
        middle = left + wide / 2
        canvas.path(
            f"M{middle:.2f} {at + 4.0:.2f}V{at + 1.2:.2f}M{middle - 0.9:.2f} {at + 2.2:.2f}L{middle:.2f} {at + 1.2:.2f}L{middle + 0.9:.2f} {at + 2.2:.2f}",
            stroke_width=0.3,
        )
    canvas.text(
        _kind(control),
        x + CELL_MM / 2,
        at + 7.4,
        size=SMALL_MM,
        key=f"face:{control.number}:mark",
        anchor="middle",
        fill=QUIET,
    )


def _springs(control: Control, position: str) -> str:
    """A position that springs back carries an arrow."""
    return f"{position} ↩" if control.switch and position in control.switch.springs_back else position


def _slide(canvas: Canvas, control: Control, x: float, y: float, height: float) -> None:
    at = _frame(canvas, control, x, y, height)
    names = control.positions
    each = _width(control) / max(1, len(names))
    canvas.rect(x + each / 2 - 2.0, at + 0.4, each * (len(names) - 1) + 4.0, 2.6, radius=1.3, stroke_width=0.35)
    for index, name in enumerate(names):
        middle = x + (index + 0.5) * each
        canvas.line(middle, at + 3.0, middle, at + 4.2, width=0.25)
        if index == 0:
            canvas.circle(middle, at + 1.7, 1.7, fill=INK)
        canvas.lines(
            _springs(control, name),
            middle,
            at + 4.6 + SMALL_MM,
            width=each - 1.0,
            size=SMALL_MM,
            key=f"face:{control.number}:{index}",
            anchor="middle",
        )


def _rotary(canvas: Canvas, control: Control, x: float, y: float, height: float) -> None:
    at = _frame(canvas, control, x, y, height)
    names, cx, cy = control.positions, x + 8.5, at + 6.6
    canvas.circle(cx, cy, 3.4, stroke_width=0.35)
    count = len(names)
    for index in range(count):
        angle = math.radians(-225 + (270 * index / (count - 1) if count > 1 else 135))
        cos, sin = math.cos(angle), math.sin(angle)
        canvas.line(cx + 3.4 * cos, cy + 3.4 * sin, cx + 4.2 * cos, cy + 4.2 * sin, width=0.25)
        if count <= 9:
            canvas.text(
                str(index + 1),
                cx + 5.4 * cos,
                cy + 5.4 * sin + 0.6,
                size=1.7,
                key=f"face:{control.number}:tick:{index}",
                anchor="middle",
            )
        if index == 0:
            canvas.line(cx, cy, cx + 3.4 * cos, cy + 3.4 * sin, width=0.7)
    line = at + SMALL_MM
    for index, name in enumerate(names):
        line = canvas.lines(_numbered(index + 1, _springs(control, name)), x + 18.0, line, width=2 * CELL_MM - 18.8, size=SMALL_MM,
                            key=f"face:{control.number}:{index}")  # fmt: skip


def _rocker(canvas: Canvas, control: Control, x: float, y: float, height: float) -> None:
    at = _frame(canvas, control, x, y, height)
    wide = 1.5 * CELL_MM - 3.0
    for index, name in enumerate(control.positions):
        tall = height_of(_springs(control, name), width=wide - 2.0, size=SMALL_MM) + 1.2
        canvas.rect(x + 1.5, at, wide, tall, stroke_width=0.6 if index == 0 else 0.3)
        canvas.lines(
            _springs(control, name),
            x + 1.5 + wide / 2,
            at + SMALL_MM + 0.5,
            width=wide - 2.0,
            size=SMALL_MM,
            key=f"face:{control.number}:{index}",
            anchor="middle",
        )
        at += tall


_DRAWN: dict[str, Callable[[Canvas, Control, float, float, float], None]] = {
    "slide": _slide, "rotary": _rotary, "rocker": _rocker, "latching": _key, "momentary": _key, "spare": _key,
}  # fmt: skip
