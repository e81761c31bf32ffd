"""Markings on paper: each side that has any, to scale with its bands, and the roll with its strips.

A band's colour is told by its letter and by how it is filled (blank, grey, hatched), so that it reads in black and white.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from rigbook.documents.schema.marking import MarkingArea
from rigbook.light.markings import SIDES, Band, area_of, bands, box_of
from rigbook.light.nesting import DoesNotFit, Nest
from rigbook.papers.canvas import INK, QUIET, SHEET_MM, Canvas, Plate, width_of
from rigbook.papers.lamp_symbols import shape_markup
from rigbook.papers.silhouette_ends import shapes_of
from rigbook.papers.silhouettes import Frame, ViewName, frame
from rigbook.papers.svg import element, number
from rigbook.rig.model import Rig

MOST_HIGH_MM, MARGIN_MM = 110.0, 8.0
FILLS = ("#ffffff", "#b9b9b9", "#e4e4e4", "#8d8d8d")
LETTERS: Mapping[str, str] = {"white": "W", "yellow": "Y", "orange": "O", "green": "G", "red": "R", "blue": "B"}
LETTER_MM, TEXT_MM = 2.0, 2.4


def marking_plates(rig: Rig, nests: Sequence[Nest] | DoesNotFit) -> list[Plate]:
    """A plate for each side with markings, and one for each roll; one that says so where there are none."""
    if not rig.build.markings:
        canvas = Canvas()
        canvas.text("No marking is on record under `markings:`.", 0, 4, size=2.8, key="none")
        return [canvas.plate("markings", "Markings", height=8)]
    order = list(dict.fromkeys(part for marking in rig.build.markings for part in marking.parts))
    sides = [side_plate(rig, side, order) for side in SIDES if any(m.side == side for m in rig.build.markings)]
    if not isinstance(nests, DoesNotFit):
        return [*sides, *(roll_plate(rig, each, order) for each in nests)]
    canvas = Canvas()
    y = canvas.lines(f"The strips were not laid on rolls: {nests}.", 0, 4, width=SHEET_MM, size=2.8, key="rolls")
    return [*sides, canvas.plate("rolls", "Strips on their rolls", height=y)]


def letter_of(rig: Rig, part_id: str) -> str:
    """The letter of a sheeting's colour; a question mark where none is entered."""
    return LETTERS.get(getattr(rig.parts[part_id], "colour", None) or "", "?")


def side_plate(rig: Rig, side: ViewName, order: Sequence[str]) -> Plate:
    """One side to scale, with its markings and their measures."""
    f = frame(rig.vehicle)
    wide = f.length if side in ("left", "right") else f.width
    scale = min((SHEET_MM - 2 * MARGIN_MM) / wide, MOST_HIGH_MM / f.height)
    canvas = Canvas()
    left = (SHEET_MM - wide * scale) / 2
    ground = 4.0 + f.height * scale
    view_left = 0.0 if side in ("left", "right") else -wide / 2
    shapes = (shape_markup(s, u0=view_left, v1=f.height, scale=scale, dx=left, dy=4.0) for s in shapes_of(f, side))
    canvas.add(element("g", *shapes, class_="vehicle"))
    canvas.line(left - 4, ground, left + wide * scale + 4, ground, width=0.25, stroke=QUIET)

    def at(u: float, z: float) -> tuple[float, float]:
        return left + (_on_view(u, side, f) - view_left) * scale, ground - z * scale

    y = ground + 5.0
    for marking in rig.build.markings:
        if marking.side == side:
            for band in bands(marking):
                _band(canvas, rig, band, [at(u, z) for u, z in band.outline], order)
            for gap in marking.gaps:
                _gap(canvas, at(*gap.from_), at(*gap.to))
            y = canvas.lines(_words(rig, marking), 0, y, width=SHEET_MM, size=TEXT_MM, key=f"words-{marking.id}")
    titles = {"left": "Left side", "right": "Right side", "front": "Front", "rear": "Rear"}
    return canvas.plate(f"markings-{side}", f"Markings: {titles[side].lower()}", height=y)


def _on_view(u: float, side: ViewName, f: Frame) -> float:
    """Across the page, m: x from the nose on the left side, from the tail on the right; y as seen from there."""
    return {"left": u + f.front, "right": f.length - u - f.front, "front": -u, "rear": u}[side]


def _band(canvas: Canvas, rig: Rig, band: Band, corners: Sequence[tuple[float, float]], order: Sequence[str]) -> None:
    fill = FILLS[order.index(band.part) % len(FILLS)]
    data = "M" + "L".join(f"{number(x)} {number(y)}" for x, y in corners) + "Z"
    canvas.path(data, fill=fill, stroke=INK, stroke_width=0.25)
    x, y = _middle(corners)
    letter = letter_of(rig, band.part)
    if math.sqrt(abs(area_of(tuple(corners)))) > 2.2 * LETTER_MM:
        canvas.text(
            letter,
            x,
            y + 0.35 * LETTER_MM,
            size=LETTER_MM,
            key=f"{band.part}-{band.half}-{band.number}",
            anchor="middle",
        )


def _middle(corners: Sequence[tuple[float, float]]) -> tuple[float, float]:
    return sum(x for x, _ in corners) / len(corners), sum(y for _, y in corners) / len(corners)


def _gap(canvas: Canvas, a: tuple[float, float], b: tuple[float, float]) -> None:
    x, y = min(a[0], b[0]), min(a[1], b[1])
    canvas.rect(x, y, abs(a[0] - b[0]), abs(a[1] - b[1]), fill="#ffffff", stroke=INK, stroke_width=0.3, dash="0.8 0.6")


def _words(rig: Rig, marking: MarkingArea) -> str:
    """What is measured on the vehicle, in the shop's unit."""
    us = rig.shop.units == "us"

    def shown(value_m: float) -> str:
        return f"{value_m / 0.0254:.1f} in" if us else f"{1000 * value_m:.0f} mm"

    box = box_of(marking.from_, marking.to)
    axis = "x" if marking.side in ("left", "right") else "y"
    sheets = ", ".join(f"{letter_of(rig, part)} {part}" for part in marking.parts)
    words = f"{marking.id}: {axis} {shown(box.u0)} to {shown(box.u1)}, height {shown(box.z0)} to {shown(box.z1)}, of {sheets}"
    if marking.kind == "chevrons":
        words += f"; bands {shown(marking.stripe)} wide at {marking.angle:g} deg, down and away from the centreline"
    if marking.gaps:
        words += "; gaps (dashed) for " + ", ".join(dict.fromkeys(gap.why for gap in marking.gaps))
    return words + "."


def roll_plate(rig: Rig, found: Nest, order: Sequence[str]) -> Plate:
    """The strips of one sheeting on its roll, to scale."""
    canvas = Canvas()
    scale = min((SHEET_MM - 2) / max(found.used_mm, 1), 40.0 / found.roll_width_mm)
    high, wide = found.roll_width_mm * scale, found.used_mm * scale
    canvas.rect(1, 2, wide, high, stroke=INK, stroke_width=0.35)
    fill = FILLS[order.index(found.part) % len(FILLS)]
    y = high + 7.0
    for place, one in enumerate(found.laid, start=1):
        along, across = (v * scale for v in one.size_mm)
        x, top = 1 + one.along_mm * scale, 2 + one.across_mm * scale
        canvas.rect(x, top, along, across, fill=fill, stroke=INK, stroke_width=0.25)
        text = str(place)
        if across > 2.6 and along > width_of(text, size=LETTER_MM) + 0.6:
            canvas.text(
                text, x + along / 2, top + across / 2 + 0.7, size=LETTER_MM, key=f"strip-{place}", anchor="middle"
            )
    named = "; ".join(
        f"{n} {one.strip.id} {one.strip.length_mm} x {one.strip.width_mm}" for n, one in enumerate(found.laid, start=1)
    )
    proven = "the least there is" if found.used_mm == found.bound_mm else f"{found.bound_mm} mm at least"
    y = canvas.lines(
        f"{letter_of(rig, found.part)} {found.part}: {found.used_mm} mm off a roll {found.roll_width_mm} mm wide, {proven}; "
        f"{100 * found.waste_share:.0f} % of it is no strip. Strips, mm: {named}.",
        0, y, width=SHEET_MM, size=TEXT_MM, key="strips",
    )  # fmt: skip
    return canvas.plate(f"roll-{found.part}", f"Strips of {found.part} on their roll", height=y)
