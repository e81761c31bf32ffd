"""Around the vehicle on paper: optical power by bearing and colour, with the gaps, in ink that reads without colour.

A ring is a power of ten; every colour has its own dashes and its letter on the line. Gaps are dotted on the rim with
their bearing and width.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

from rigbook.papers.canvas import HAIR, INK, QUIET, SHEET_MM, Canvas, Plate
from rigbook.papers.colours import letters
from rigbook.papers.spelling import spelled
from rigbook.papers.svg import element, number
from rigbook.quantities.show import UnitSystem
from rigbook.rig.model import Rig

RADIUS_MM, RIM_MM = 54.0, 58.0
DECADES = (2, 6)
"""Rings from 10^2 to 10^6 cd s/min; less is drawn at the middle."""
DASHES: tuple[str | None, ...] = (None, "3 1.2", "0.8 1", "5 1.2 0.8 1.2", "1.6 1.6", "7 1.4")
TEXT_MM, SMALL_MM = 2.5, 2.1
Report = Mapping[str, Any]


def radius_mm(power: float) -> float:
    """Distance from the middle for an optical power, cd s/min."""
    low, high = DECADES
    if power <= 0:
        return 0.0
    return RADIUS_MM * min(1.0, max(0.0, (math.log10(power) - low + 1) / (high - low + 1)))


def around_plates(rig: Rig, report: Report) -> list[Plate]:
    """The polar drawing; a word where no warning light was worked out."""
    around = report["light"]["around"]
    canvas = Canvas()
    if not around:
        canvas.text(
            "No warning light was worked out: no mode, or no warning lamp whose light is known.",
            0,
            4,
            size=2.8,
            key="none",
        )
        return [canvas.plate("around", "Optical power around the vehicle", height=8)]
    middle = (RIM_MM + 8.0, RIM_MM + 10.0)
    _grid(canvas, middle)
    _vehicle(canvas, middle, rig)
    key = letters(around["cd_s_per_min"])
    for place, (colour, values) in enumerate(around["cd_s_per_min"].items()):
        _curve(canvas, middle, colour, key[colour], values, DASHES[place % len(DASHES)], place)
    gaps: Sequence[Mapping[str, Any]] = next((m["gaps"] for m in around["modes"] if m["id"] == around["mode"]), ())
    _gaps(canvas, middle, gaps)
    _legend(canvas, around, key, rig.shop.units)
    title = f"Optical power around the vehicle, mode {around['mode']}, in its darkest state"
    return [canvas.plate("around", title, height=2 * RIM_MM + 22.0)]


def _at(middle: tuple[float, float], bearing_deg: float, radius: float) -> tuple[float, float]:
    turn = math.radians(bearing_deg)
    return middle[0] + radius * math.sin(turn), middle[1] - radius * math.cos(turn)


def _grid(canvas: Canvas, middle: tuple[float, float]) -> None:
    for decade in range(DECADES[0], DECADES[1] + 1):
        canvas.circle(*middle, radius_mm(10.0**decade), stroke=HAIR, stroke_width=0.15)
    for bearing in range(0, 360, 15):
        strong = bearing % 90 == 45
        inner = _at(middle, bearing, radius_mm(10.0 ** DECADES[0]))
        outer = _at(middle, bearing, RADIUS_MM)
        canvas.line(*inner, *outer, width=0.3 if strong else 0.12, stroke=QUIET if strong else HAIR)
    for bearing in range(0, 360, 30):
        x, y = _at(middle, bearing, RIM_MM + 2.5)
        canvas.text(f"{bearing}", x, y + 0.8, size=SMALL_MM, key=f"bearing-{bearing}", anchor="middle", fill=QUIET)
    for decade in range(DECADES[0] + 1, DECADES[1] + 1):
        x, y = _at(middle, 82, radius_mm(10.0**decade))
        canvas.text(f"10^{decade}", x - 0.6, y, size=SMALL_MM, key=f"ring-{decade}", anchor="end", fill=QUIET)


def _vehicle(canvas: Canvas, middle: tuple[float, float], rig: Rig) -> None:
    long, wide = 9.0, 9.0 * rig.vehicle.size.width / rig.vehicle.size.length
    x, y = middle
    nose = f"M {number(x - wide / 2)} {number(y - long / 2 + 1.5)} L {number(x)} {number(y - long / 2)} L {number(x + wide / 2)} {number(y - long / 2 + 1.5)}"
    canvas.path(
        f"{nose} L {number(x + wide / 2)} {number(y + long / 2)} L {number(x - wide / 2)} {number(y + long / 2)} Z",
        fill="#ffffff",
        stroke=INK,
    )


def _curve(
    canvas: Canvas, middle: tuple[float, float], colour: str, letter: str, values: Sequence[float], dash: str | None, place: int
) -> None:  # fmt: skip
    if max(values, default=0.0) <= 0:
        return
    step = 360 / len(values)
    points = [_at(middle, n * step, radius_mm(value)) for n, value in enumerate(values)]
    data = "M " + " L ".join(f"{number(x)} {number(y)}" for x, y in points) + " Z"
    canvas.add(element("path", d=data, fill="none", stroke=INK, stroke_width=0.45, stroke_dasharray=dash))
    start = (15 + 40 * place) % 360
    for turn in range(0, 360, 120):
        bearing = (start + turn) % 360
        value = values[round(bearing / step) % len(values)]
        if value > 0:
            x, y = _at(middle, bearing, radius_mm(value))
            canvas.circle(x, y, 1.7, fill="#ffffff", stroke=INK, stroke_width=0.15)
            canvas.text(letter, x, y + 0.8, size=SMALL_MM, key=f"{colour}-{bearing}", anchor="middle", bold=True)


def _gaps(canvas: Canvas, middle: tuple[float, float], gaps: Sequence[Mapping[str, Any]]) -> None:
    for gap in gaps:
        start, width = gap["from_deg"], gap["width_deg"]
        count = max(2, round(width / 2.5))
        for step in range(count + 1):
            x, y = _at(middle, start + width * step / count, RADIUS_MM + 1.8)
            canvas.circle(x, y, 0.55, fill=INK, stroke=None)


def _legend(canvas: Canvas, around: Mapping[str, Any], key: Mapping[str, str], units: UnitSystem) -> None:
    x, y = SHEET_MM - 42.0, 10.0
    canvas.text(spelled("Colours", units), x, y, size=TEXT_MM, key="colours", bold=True)
    for place, colour in enumerate(around["cd_s_per_min"]):
        y += 4.4
        dash = DASHES[place % len(DASHES)]
        canvas.add(
            element(
                "line", x1=x, y1=y - 0.8, x2=x + 9, y2=y - 0.8, stroke=INK, stroke_width=0.45, stroke_dasharray=dash
            )
        )
        canvas.text(f"{key[colour]}  {colour}", x + 11, y, size=TEXT_MM, key=f"colour-{colour}")
    y += 8.0
    canvas.text("Gaps, all states", x, y, size=TEXT_MM, key="gaps", bold=True)
    lines = [f"{m['id']}: " + ("none" if not m["gaps"] else "") for m in around["modes"]]
    for line, mode in zip(lines, around["modes"], strict=True):
        y = canvas.lines(line, x, y + 4.4, width=42.0, size=TEXT_MM, key=f"mode-{mode['id']}") - TEXT_MM * 1.25
        for gap in mode["gaps"]:
            end = (gap["from_deg"] + gap["width_deg"]) % 360
            y += 4.0
            text = f"{gap['from_deg']:g} to {end:g} deg ({gap['width_deg']:g} wide)"
            canvas.text(text, x + 2, y, size=SMALL_MM, key=f"gap-{mode['id']}-{gap['id']}")
    y += 8.0
    canvas.lines(
        "Rings are cd s/min, bearings clockwise from ahead; strong rays part the zones. Dots on the rim: gaps of this mode.",
        x, y, width=40.0, size=SMALL_MM, key="note", fill=QUIET,
    )  # fmt: skip
