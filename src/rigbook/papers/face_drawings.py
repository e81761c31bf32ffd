"""Faces drawn for the bay: front and section to one scale, overall dimensions, and every hole with its place in a table."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from rigbook.body import solids
from rigbook.body.face_fit import Laid, laid_on, needs_m
from rigbook.documents.schema.panels import Panel
from rigbook.papers.canvas import ASCENT, HAIR, INK, QUIET, SHEET_MM, Canvas, Plate, width_of, wrapped
from rigbook.papers.cut_outlines import Outline, cuts_of, words_of
from rigbook.papers.svg import Box, number
from rigbook.quantities.show import convert
from rigbook.rig.faces import frame_of
from rigbook.rig.model import Rig

TITLE_MM, LABEL_MM, SMALL_MM = 3.4, 2.3, 2.1
LEFT_MM, FRONT_MM, TALL_MM, SECTION_MM, BETWEEN_MM = 24.0, 88.0, 112.0, 44.0, 12.0
MOST_MM = 215.0
_COLUMNS: tuple[tuple[float, float, str], ...] = (
    (0.0, 8.0, "No."), (9.0, 50.0, "Hole"), (61.0, 20.0, "x mm"), (82.0, 20.0, "y mm"), (103.0, 42.0, "Size mm"), (147.0, 28.0, "For"),
)  # fmt: skip


def face_plates(rig: Rig, report: Mapping[str, Any]) -> list[Plate]:
    """A plate for every face of the build, and further ones where its table is long. Never empty."""
    plates = [plate for panel in rig.build.panels for plate in _plates(rig, panel)]
    if not plates:
        canvas = Canvas()
        canvas.text("This build has no face under `panels`.", 0.0, 4.0, size=LABEL_MM, key="none")
        plates = [canvas.plate("none", "Faces", height=8.0)]
    return plates


def face_plate(rig: Rig, panel_id: str) -> list[Plate]:
    """The plates of one face. KeyError where there is none."""
    return _plates(rig, {panel.id: panel for panel in rig.build.panels}[panel_id])


def size_words(value_m: float, rig: Rig) -> str:
    """A dimension in millimetres, inches before it where the shop reads them."""
    mm = f"{1e3 * value_m:.4g} mm"
    return f"{convert(value_m, 'length', 'in'):.2f} in ({mm})" if rig.shop.units == "us" else mm


def scale_of(panel: Panel, laid: tuple[Laid, ...]) -> float:
    """Millimetres on paper for a metre of the face, so that front and section fit side by side."""
    wide, high = panel.size
    deep = panel.depth + max((one.footprint.in_front for one in laid), default=0.0)
    return min(FRONT_MM / wide, TALL_MM / high, SECTION_MM / max(deep, 1e-6))


def shape_words(cut: Outline) -> str:
    """Shape and size of a hole in words."""
    if cut.circle is not None:
        return f"diameter {2 * cut.circle[2]:.4g}"
    xs, ys = [c[0] for c in cut.corners], [c[1] for c in cut.corners]
    size = f"{max(xs) - min(xs):.4g} x {max(ys) - min(ys):.4g}"
    bends = [(a, b) for a, b in zip(cut.corners, cut.corners[1:] + cut.corners[:1], strict=True) if a[2]]
    return size + (f", corners R {abs(bends[0][1][0] - bends[0][0][0]):.4g}" if bends else "")


def middle_of(cut: Outline) -> tuple[float, float]:
    """Middle of a hole, mm."""
    if cut.circle is not None:
        return cut.circle[0], cut.circle[1]
    xs, ys = [c[0] for c in cut.corners], [c[1] for c in cut.corners]
    return (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2


def _plates(rig: Rig, panel: Panel) -> list[Plate]:
    canvas, laid, cuts = Canvas(), laid_on(rig, panel), cuts_of(rig, panel)
    sheet = {"face": "Face", "console": "Console face", "cabinet": "Cabinet front"}[panel.kind]
    heading = f"{sheet} {panel.id}"
    y = canvas.lines(heading, 0.0, TITLE_MM, width=SHEET_MM, size=TITLE_MM, key="title", bold=True) + 0.4
    about = (
        f"{size_words(panel.size[0], rig)} wide, {size_words(panel.size[1], rig)} high, sheet {1e3 * panel.thickness:.3g} mm "
        f"{panel.material}; seen from the front. x to the right and y up from the lower left corner. Cut to the figures or the cut file, "
        "never to the size on paper."
    )
    y = canvas.lines(about, 0.0, y, width=SHEET_MM, size=LABEL_MM, key="about", fill=QUIET)
    top = y + 5.0
    scale = scale_of(panel, laid)
    _front(canvas, rig, panel, laid, cuts, top, scale)
    _section(canvas, rig, panel, laid, top, scale)
    y = top + panel.size[1] * scale + 11.0
    y = canvas.lines(
        "Left: front with cut-outs (solid), bezels (dashed) and legends. Right: section seen from the right, bodies behind the face, "
        "room for plugs (dashed) and the depth there is (line).", 0.0, y, width=SHEET_MM, size=SMALL_MM, key="key", fill=QUIET,
    )  # fmt: skip
    plates: list[Plate] = []
    rows = list(enumerate(cuts[1:], 1))
    while True:
        rows = _table(canvas, panel, rows, y + 1.0)
        height = max((box.bottom for _, box in canvas.boxes), default=0.0)
        title = heading if not plates else f"{heading}, continued ({len(plates) + 1})"
        plates.append(canvas.plate(f"{panel.id}:{len(plates) + 1}", title, height=height + 1.5))
        if not rows:
            return plates
        canvas, y = Canvas(), 0.0


def _front(
    canvas: Canvas, rig: Rig, panel: Panel, laid: tuple[Laid, ...], cuts: list[Outline], top: float, scale: float
) -> None:
    high, mm = panel.size[1], scale / 1e3

    def at(x: float, y: float) -> tuple[float, float]:
        return LEFT_MM + x * mm, top + high * scale - y * mm

    for one in laid:
        x, y = at(1e3 * (one.at[0] - one.footprint.bezel[0] / 2), 1e3 * (one.at[1] + one.footprint.bezel[1] / 2))
        canvas.rect(
            x,
            y,
            one.footprint.bezel[0] * scale,
            one.footprint.bezel[1] * scale,
            stroke=QUIET,
            stroke_width=0.15,
            dash="1 0.8",
        )
    for index, cut in enumerate(cuts):
        points = [at(*point) for point in cut.points(step_deg=6)]
        data = "M" + "L".join(f"{number(x)} {number(y)}" for x, y in points) + "Z"
        canvas.path(data, stroke_width=0.5 if index == 0 else 0.3)
    for index, cut in enumerate(cuts[1:], 1):
        if cut.what == "cut-out":
            x, y = at(*middle_of(cut))
            canvas.line(x - 1.6, y, x + 1.6, y, width=0.12)
            canvas.line(x, y - 1.6, x, y + 1.6, width=0.12)
            canvas.text(str(index), x + 0.7, y - 0.7, size=SMALL_MM, key=f"number:{index}")
    for word in words_of(rig, panel):
        size = min(2.4, word.height * mm * 1.37)  # capitals are 0.73 of the size of this font
        x, y = at(word.x, word.y - word.height / 2)
        canvas.text(word.text, x, y, size=size, key=f"legend:{word.id}", anchor="middle", fill=INK)
    _dimensions(canvas, rig, panel, top, scale)


def _dimensions(canvas: Canvas, rig: Rig, panel: Panel, top: float, scale: float) -> None:
    wide, high = panel.size[0] * scale, panel.size[1] * scale
    y = top + high + 4.0
    canvas.line(LEFT_MM, y, LEFT_MM + wide, y, width=0.18)
    for x in (LEFT_MM, LEFT_MM + wide):
        canvas.line(x, top + high + 1.0, x, y + 1.0, width=0.15)
        canvas.line(x - 0.7, y + 0.7, x + 0.7, y - 0.7, width=0.25)
    canvas.text(
        size_words(panel.size[0], rig), LEFT_MM + wide / 2, y + 3.0, size=SMALL_MM, key="width", anchor="middle"
    )
    x = LEFT_MM - 4.0
    canvas.line(x, top, x, top + high, width=0.18)
    for edge in (top, top + high):
        canvas.line(x - 1.0, edge, LEFT_MM - 1.0, edge, width=0.15)
        canvas.line(x - 0.7, edge + 0.7, x + 0.7, edge - 0.7, width=0.25)
    words = wrapped(size_words(panel.size[1], rig), width=LEFT_MM - 6.0, size=SMALL_MM)
    first = top + high / 2 - 1.25 * SMALL_MM * (len(words) - 1) / 2
    for index, line in enumerate(words):
        canvas.text(line, x - 1.2, first + 1.25 * SMALL_MM * index, size=SMALL_MM, key=f"height:{index}", anchor="end")


def _section(canvas: Canvas, rig: Rig, panel: Panel, laid: tuple[Laid, ...], top: float, scale: float) -> None:
    """Seen from the right of the face: its front to the left, what is behind it to the right."""
    high = panel.size[1]
    front = max((one.footprint.in_front for one in laid), default=0.0) * scale
    x = LEFT_MM + FRONT_MM + BETWEEN_MM + front
    canvas.rect(x, top, max(0.3, panel.thickness * scale), high * scale, fill=INK, stroke=None)
    limit = x + panel.depth * scale
    canvas.line(limit, top, limit, top + high * scale, width=0.3)
    for one in laid:
        opening, print_ = one.opening, one.footprint
        upper = top + (high - opening.top) * scale
        if print_.behind > 0:
            canvas.rect(x, upper, print_.behind * scale, opening.height * scale, stroke_width=0.25, fill="#eef1f4")
        if print_.in_front > 0:
            bezel = one.footprint.bezel[1] * scale
            canvas.rect(
                x - print_.in_front * scale,
                top + (high - one.at[1]) * scale - bezel / 2,
                print_.in_front * scale,
                bezel,
                stroke_width=0.2,
            )
        plug = x + needs_m(rig, panel, one) * scale
        if plug > x + print_.behind * scale + 1e-6:
            canvas.line(plug, upper, plug, upper + opening.height * scale, width=0.2, stroke=QUIET, dash="1 0.8")
    _behind(canvas, rig, panel, x, top, scale)
    canvas.line(x, top + high * scale + 4.0, limit, top + high * scale + 4.0, width=0.18)
    canvas.line(x, top + high * scale + 1.0, x, top + high * scale + 5.0, width=0.15)
    canvas.line(limit, top + high * scale + 1.0, limit, top + high * scale + 5.0, width=0.15)
    words = f"depth {1e3 * panel.depth:.4g} mm"
    canvas.text(words, (x + limit) / 2, top + high * scale + 7.0, size=SMALL_MM, key="depth", anchor="middle")


def _behind(canvas: Canvas, rig: Rig, panel: Panel, x: float, top: float, scale: float) -> None:
    """What the face is opened for: outlines of what it holds, named where a name finds room."""
    frame, everything = frame_of(panel), solids.of_rig(rig)
    for name in panel.holds:
        for box in everything.get(name, ()):
            _, (low, high), (deep, front) = solids.local(frame, box)
            left, right = x - min(front, 0.0) * scale, x - deep * scale
            upper, lower = top + (panel.size[1] - high) * scale, top + (panel.size[1] - low) * scale
            right, upper = min(right, SHEET_MM), max(upper, top - 4.0)
            if right <= left or lower <= top or upper >= top + panel.size[1] * scale:
                continue
            canvas.rect(left, upper, right - left, lower - upper, stroke=HAIR, stroke_width=0.2)
            words = Box(
                left + 0.4, lower - 0.7 - ASCENT * SMALL_MM, left + 0.4 + width_of(name, size=SMALL_MM), lower - 0.2
            )
            if words.right < SHEET_MM and not any(words.overlaps(box) for _, box in canvas.boxes):
                canvas.text(name, left + 0.4, lower - 0.7, size=SMALL_MM, key=f"behind:{name}", fill=QUIET)


def _table(canvas: Canvas, panel: Panel, rows: list[tuple[int, Outline]], top: float) -> list[tuple[int, Outline]]:
    """As many holes as the plate holds; gives those that are left."""
    room = max(8, int((MOST_MM - top) / 4.0))
    y = top + SMALL_MM + 1.0
    for x, _, name in _COLUMNS:
        canvas.text(name, x, y, size=SMALL_MM, key=f"column:{name}", bold=True)
    y += 1.2
    canvas.line(0.0, y, SHEET_MM, y, width=0.35)
    for done, (index, cut) in enumerate(rows):
        if done >= room:
            return rows[done:]
        x, y_mm = middle_of(cut)
        cells = (str(index), cut.what, f"{x:.1f}", f"{y_mm:.1f}", shape_words(cut), cut.id.rsplit(".", 1)[0])
        lines = [wrapped(text, width=wide, size=SMALL_MM) for text, (_, wide, _) in zip(cells, _COLUMNS, strict=True)]
        for texts, (left, _, name) in zip(lines, _COLUMNS, strict=True):
            for line, text in enumerate(texts):
                canvas.text(
                    text, left, y + 0.5 + SMALL_MM + 1.25 * SMALL_MM * line, size=SMALL_MM, key=f"{index}:{name}:{line}"
                )
        y += 1.25 * SMALL_MM * max(len(texts) for texts in lines) + 1.2
        canvas.line(0.0, y, SHEET_MM, y, stroke=HAIR, width=0.15)
    return []
