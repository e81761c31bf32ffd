"""The symbols of controls on a panel drawing: plain outlines with number, legend and positions."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from types import MappingProxyType

from rigbook.papers.canvas import HAIR, INK, QUIET, Canvas, height_of
from rigbook.papers.panel_faces import Control

SMALL_MM, LEGEND_MM = 2.0, 2.4
FACE_LEFT, FACE_MM, LEAST_MM = 14.0, 158.0, 92.0
CELL_MM, GAP_MM, PAD_MM = 19.0, 1.4, 3.0


def kind_of(control: Control) -> str:
    """What a hand does with it; `spare` for an empty key."""
    return control.switch.kind if control.switch else "spare"


def width_of_control(control: Control) -> float:
    """A slide needs a mark for every position, a rotary a list beside its knob."""
    return min(
        LEAST_MM - 2 * PAD_MM,
        {"slide": 13.0 * len(control.positions), "rotary": 2 * CELL_MM, "rocker": 1.5 * CELL_MM}.get(
            kind_of(control), CELL_MM
        ),
    )


def flow(controls: Sequence[Control], room: float) -> list[list[Control]]:
    """The controls in strips as wide as there is room."""
    strips: list[list[Control]] = []
    used = math.inf
    for control in controls:
        if used + width_of_control(control) > room + 1e-6:
            strips.append([])
            used = 0.0
        strips[-1].append(control)
        used += width_of_control(control) + GAP_MM
    return strips


def _head_height(control: Control) -> float:
    return max(3.6, height_of(control.legend, width=width_of_control(control) - 5.4, size=LEGEND_MM, bold=True))


def strip_height(strip: Sequence[Control]) -> float:
    """Height of a strip of controls, mm."""
    return max((_height(c) for c in strip), default=0.0)


def _height(control: Control) -> float:
    head = _head_height(control) + 1.6
    names = control.positions
    if kind_of(control) == "slide":
        each = width_of_control(control) / max(1, len(names)) - 1.0
        return head + 6.0 + max((height_of(p, width=each, size=SMALL_MM) for p in names), default=0.0) + 1.0
    if kind_of(control) == "rotary":
        return head + max(
            13.5, sum(height_of(_numbered(i, p), width=CELL_MM, size=SMALL_MM) for i, p in enumerate(names, 1)) + 1.0
        )
    if kind_of(control) == "rocker":
        return head + sum(height_of(p, width=1.5 * CELL_MM - 5.0, size=SMALL_MM) + 1.2 for p in names) + 1.2
    return head + 8.2


def _numbered(number: int, position: str) -> str:
    return f"{number} {position}"


def _frame(canvas: Canvas, control: Control, x: float, y: float, height: float) -> float:
    """The field of a control, its number and its legend; gives where its symbol begins."""
    wide = width_of_control(control)
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
    if kind_of(control) == "latching":
        canvas.rect(left + 0.9, at + 0.9, wide - 1.8, 3.2, radius=0.4, stroke_width=0.25)
    else:
        middle = left + wide / 2
        canvas.path(
            f"M{middle:.2f} {at + 4.0:.2f}V{at + 1.2:.2f}M{middle - 0.9:.2f} {at + 2.2:.2f}L{middle:.2f} {at + 1.2:.2f}L{middle + 0.9:.2f} {at + 2.2:.2f}",
            stroke_width=0.3,
        )
    canvas.text(
        kind_of(control),
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
    each = width_of_control(control) / max(1, len(names))
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


DRAWN: Mapping[str, Callable[[Canvas, Control, float, float, float], None]] = MappingProxyType(
    {"slide": _slide, "rotary": _rotary, "rocker": _rocker, "latching": _key, "momentary": _key, "spare": _key}
)
"""How each kind is drawn: canvas, control, left, top, height of its field."""
