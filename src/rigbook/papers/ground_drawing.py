"""Light on the ground on paper: the plan of the vehicle with contour lines, to scale, in ink alone.

Every line carries its level, so that the drawing reads in black and white; round levels are drawn stronger. The window
is what 5 lx reach; weaker lines run out of it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from rigbook.light.areas import state_of
from rigbook.light.contours import Line, contours
from rigbook.light.ground import GroundMap, ground_map, levels_of, lit_states
from rigbook.light.scene import Burning, Lighting, lighting_of, plan_of
from rigbook.papers.canvas import INK, QUIET, SHEET_MM, Canvas, Plate, width_of
from rigbook.papers.lamp_symbols import shape_markup
from rigbook.papers.silhouette_ends import shapes_of
from rigbook.papers.silhouettes import frame
from rigbook.papers.svg import Box, element, number
from rigbook.rig.model import Rig, SavedPoint

MOST_HIGH_MM = 200.0
LABEL_MM, SMALL_MM = 2.3, 2.0
LEAST_AROUND_M = 4.0
GRID_M = 5.0
FAINT = "#d4d4d4"
WORTH_LX = 5.0
"""The drawing reaches as far as this level does; weaker lines run out of it."""
LABELS_A_LEVEL = 2
STRONG = ("1", "10", "100", "3")
"""Levels drawn stronger, as printed without their unit."""


@dataclass(frozen=True, slots=True)
class Window:
    """What of the ground is drawn, m, and how large."""

    x0: float
    y0: float
    x1: float
    y1: float
    scale: float

    def at(self, x: float, y: float) -> tuple[float, float]:
        """A point on the page, mm: nose to the left, the driver's right toward the top."""
        return (x - self.x0) * self.scale, (self.y1 - y) * self.scale

    @property
    def box(self) -> Box:
        """The drawn field, mm."""
        return Box(0.0, 0.0, (self.x1 - self.x0) * self.scale, (self.y1 - self.y0) * self.scale)


def ground_plates(rig: Rig) -> list[Plate]:
    """A plate for each saved state that is worth one; one that says so where no lamp's light is known."""
    lighting, _ = lighting_of(rig, rig.light)
    states = lit_states(rig, lighting)
    if not states:
        canvas = Canvas()
        canvas.text("No saved state lights the ground steadily, as far as the light of its lamps is known.", 0, 4,
                    size=2.8, key="none")  # fmt: skip
        return [canvas.plate("ground", "Light on the ground", height=8)]
    return [ground_plate(lighting, state) for state in states]


def ground_plate(lighting: Lighting, state: SavedPoint) -> Plate:
    """The map of one saved state."""
    rig = lighting.rig
    burning = lighting.burning(state_of(rig, state))
    found = ground_map(lighting, burning)
    levels = levels_of(rig.shop.units, float(found.level_lx.max()))
    lines = contours(found.x_m, found.y_m, found.level_lx, [lux for _, lux, _ in levels])
    reach = [line for contour in lines if contour.level >= WORTH_LX for line in contour.lines]
    window = _window(lighting, reach)
    canvas = Canvas()
    taken: list[Box] = list(_ruler(canvas, window))
    _vehicle(canvas, rig, window)
    paths = [
        _path(line, window, width=0.45 if f"{value:g}" in STRONG else 0.22)
        for (value, _, _), contour in zip(levels, lines, strict=True)
        for line in contour.lines
    ]
    canvas.add(_clipped(paths, window, f"field-{state.id}"))
    taken += _areas(canvas, rig, state, window, taken)
    _lamps(canvas, burning, window)
    for (_, _, text), contour in reversed(list(zip(levels, lines, strict=True))):
        taken += _labels(canvas, text, contour.lines, window, taken)
    y = window.box.bottom + 4.5
    for words in _foot(rig, found):
        y = canvas.lines(words, 0, y, width=SHEET_MM, size=2.5, key=words[:12], fill=QUIET)
    return canvas.plate(f"ground-{state.id}", f"Light on the ground: {state.title}", height=y)


def _clipped(paths: Sequence[str], window: Window, name: str) -> str:
    """Lines, cut off at the rim of the drawn field."""
    field = element("rect", x=0, y=0, width=window.box.right, height=window.box.bottom)
    return element("g", element("clipPath", field, id=name), element("g", *paths, clip_path=f"url(#{name})"))


def _window(lighting: Lighting, lines: Sequence[Line]) -> Window:
    front, rear, left, right = plan_of(lighting.rig.vehicle)
    xs = [x for line in lines for x, _ in line] + [front - LEAST_AROUND_M, rear + LEAST_AROUND_M]
    ys = [y for line in lines for _, y in line] + [left - LEAST_AROUND_M, right + LEAST_AROUND_M]
    x0, x1, y0, y1 = min(xs) - 0.5, max(xs) + 0.5, min(ys) - 0.5, max(ys) + 0.5
    scale = min(SHEET_MM / (x1 - x0), MOST_HIGH_MM / (y1 - y0))
    spare = (SHEET_MM / scale - (x1 - x0)) / 2
    return Window(x0 - spare, y0, x1 + spare, y1, scale)


def _ruler(canvas: Canvas, window: Window) -> Iterator[Box]:
    """Lines every 5 m from the front axle and from the middle, with their distance at the rim."""
    box = window.box
    canvas.rect(0, 0, box.right, box.bottom, stroke=QUIET, stroke_width=0.2)
    for step in range(math.ceil(window.x0 / GRID_M), math.floor(window.x1 / GRID_M) + 1):
        at, _ = window.at(step * GRID_M, 0)
        canvas.line(at, 0, at, box.bottom, width=0.1, stroke=FAINT)
        if 6 < at < box.right - 8:
            yield canvas.text(
                f"{step * GRID_M:g} m", at + 0.4, box.bottom - 0.8, size=SMALL_MM, key=f"x{step}", fill=QUIET
            )
    for step in range(math.ceil(window.y0 / GRID_M), math.floor(window.y1 / GRID_M) + 1):
        _, at = window.at(0, step * GRID_M)
        canvas.line(0, at, box.right, at, width=0.1, stroke=FAINT)
        if 3 < at < box.bottom - 6:
            yield canvas.text(f"{step * GRID_M:g} m", 0.6, at - 0.5, size=SMALL_MM, key=f"y{step}", fill=QUIET)


def _vehicle(canvas: Canvas, rig: Rig, window: Window) -> None:
    f = frame(rig.vehicle)
    shapes = (shape_markup(s, u0=0.0, v1=0.0, scale=window.scale, dx=0.0, dy=0.0) for s in shapes_of(f, "plan"))
    x, y = window.at(-f.front, 0.0)
    canvas.add(element("g", *shapes, transform=f"translate({number(x)} {number(y)})", class_="vehicle"))


def _areas(canvas: Canvas, rig: Rig, state: SavedPoint, window: Window, taken: Sequence[Box]) -> list[Box]:
    """The areas judged in this state, named where there is room; a table beside the drawing names them all."""
    written: list[Box] = []
    for area in rig.build.scene:
        if area.ground is None or area.state != state.id:
            continue
        (ax, ay), (bx, by) = area.ground
        left, top = window.at(min(ax, bx), max(ay, by))
        right, bottom = window.at(max(ax, bx), min(ay, by))
        canvas.rect(left, top, right - left, bottom - top, stroke=INK, stroke_width=0.3, dash="1.2 0.8")
        wide, high = width_of(area.id, size=SMALL_MM, bold=True), SMALL_MM
        spots = ((left + 0.6, top + high), (left + 0.6, bottom - 0.8), (right + 0.8, bottom - 0.8), (right + 0.8, top + high),
                 (left, top - 0.8), (left, bottom + high + 0.4), (left - wide - 0.8, top + high))  # fmt: skip
        for n, (x, y) in enumerate(spots):
            box = Box(x - 0.2, y - high, x + wide + 0.2, y + 0.6)
            fits = n > 1 or box.right < right
            if fits and box.inside(window.box) and not any(box.overlaps(other) for other in (*taken, *written)):
                written.append(canvas.text(area.id, x, y, size=SMALL_MM, key=f"area-{area.id}", bold=True))
                break
    return written


def _lamps(canvas: Canvas, burning: Sequence[Burning], window: Window) -> None:
    for lamp in burning:
        if lamp.start is None:
            continue
        x, y = window.at(lamp.source.at_m[0], lamp.source.at_m[1])
        ahead = lamp.source.axes[0]
        canvas.line(x, y, x + 2.2 * float(ahead[0]), y - 2.2 * float(ahead[1]), width=0.3)
        canvas.circle(x, y, 0.55, fill=INK, stroke=None)


def _path(line: Line, window: Window, *, width: float) -> str:
    points = [window.at(x, y) for x, y in line]
    closed = line[0] == line[-1]
    data = "M" + "L".join(f"{number(x)} {number(y)}" for x, y in (points[:-1] if closed else points))
    return element("path", d=data + ("Z" if closed else ""), fill="none", stroke=INK, stroke_width=width)


def _labels(canvas: Canvas, text: str, lines: Sequence[Line], window: Window, taken: list[Box]) -> list[Box]:
    """The level on its longest lines, where it covers nothing that is written."""
    wide = width_of(text, size=LABEL_MM)
    placed: list[Box] = []
    for line in sorted(lines, key=len, reverse=True):
        if len(placed) == LABELS_A_LEVEL or len(line) < 4:
            break
        for x, y in _candidates(line):
            u, v = window.at(x, y)
            box = Box(u - wide / 2 - 0.3, v - 1.3, u + wide / 2 + 0.3, v + 1.3)
            if box.inside(window.box) and not any(box.overlaps(other) for other in (*taken, *placed)):
                canvas.rect(box.left, box.top, box.right - box.left, box.bottom - box.top, fill="#ffffff", stroke=None)
                canvas.text(text, u, v + 0.85, size=LABEL_MM, key=f"level-{text}-{len(placed)}", anchor="middle")
                placed.append(box)
                break
    return placed


def _candidates(line: Line) -> Iterator[tuple[float, float]]:
    """Points of a line to try: far out first (left, right, top, bottom of it), then along it."""
    yield min(line, key=lambda p: p[1])
    yield max(line, key=lambda p: p[1])
    yield max(line, key=lambda p: p[0])
    yield min(line, key=lambda p: p[0])
    yield from line[:: max(1, len(line) // 16)]


def _foot(rig: Rig, found: GroundMap) -> Iterator[str]:
    yield (
        f"Level illuminance of what burns steadily, points {found.spacing_m:g} m apart, past the outline of the vehicle. Worked "
        "out of the beams as entered: no light of the surroundings, clean lenses, level ground. Dots: lamps, with their aim. "
        "Dashed: areas of the build."
    )
    if any(area.ground is not None for area in rig.build.scene):
        yield "Measure on the finished vehicle, in the dark, where a figure decides."
