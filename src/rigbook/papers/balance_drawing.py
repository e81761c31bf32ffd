"""The centre of gravity on the vehicle, from the left side and from above, in every loading, with the axle loads under it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from rigbook.papers import svg
from rigbook.papers.canvas import INK, QUIET, SHEET_MM, Canvas, Plate
from rigbook.papers.lamp_symbols import shape_markup
from rigbook.papers.lamps import project
from rigbook.papers.silhouette_ends import shapes_of
from rigbook.papers.silhouettes import Frame, ViewName, frame
from rigbook.quantities.show import convert
from rigbook.rig.model import Rig
from rigbook.rig.placement import Point

SMALL_MM = 2.3
MARKS = 2.2
"""Radius of a mark, mm."""


def balance_plates(rig: Rig, report: Mapping[str, Any]) -> list[Plate]:
    """One plate: left side and plan to one scale, a mark a loading, axle loads laden, and the table of the marks."""
    body, f, canvas = report["body"], frame(rig.vehicle), Canvas()
    cases = body.get("cases") or []
    if not cases:
        canvas.text("Masses are not worked out for this build.", 0.0, 4.0, size=SMALL_MM, key="none")
        return [canvas.plate("balance", "Balance", height=8.0)]
    scale = (SHEET_MM - 8.0) / f.length
    y = _view(canvas, f, cases, "left", top=5.0, scale=scale)
    y = _axles(canvas, rig, f, body, top=y, scale=scale)
    y = _view(canvas, f, cases, "plan", top=y + 6.0, scale=scale) + 4.0
    return [canvas.plate("balance", "Centre of gravity in every loading", height=_key(canvas, rig, cases, y) + 1.0)]


def _view(
    canvas: Canvas, f: Frame, cases: list[Mapping[str, Any]], name: ViewName, *, top: float, scale: float
) -> float:
    """One view with its marks; gives its lower edge."""
    high = f.height if name == "left" else f.width + 0.46
    low = 0.0 if name == "left" else -high / 2
    canvas.text(
        "Left side" if name == "left" else "Plan", 0.0, top - 1.5, size=SMALL_MM, key=f"title:{name}", bold=True
    )
    canvas.add(
        svg.element(
            "g",
            *(shape_markup(s, u0=0.0, v1=low + high, scale=scale, dx=4.0, dy=top) for s in shapes_of(f, name)),
            class_="vehicle",
        )
    )
    for index, case in enumerate(cases, 1):
        cg = case["cg"]
        u, v = project(Point(cg["x_m"], cg["y_m"], cg["z_m"]), f, name)
        mark(canvas, 4.0 + u * scale, top + (low + high - v) * scale, index)
    return top + high * scale


def mark(canvas: Canvas, x: float, y: float, index: int) -> None:
    """A centre of gravity: the quartered circle, or a ring for the loadings after the first."""
    if index > 1:
        canvas.circle(x, y, MARKS * (0.35 + 0.1 * index), stroke_width=0.3)
        return
    canvas.circle(x, y, MARKS, fill="#ffffff", stroke_width=0.35)
    for sign in (1, -1):
        canvas.path(
            f"M{x:.2f} {y:.2f}L{x + sign * MARKS:.2f} {y:.2f}A{MARKS} {MARKS} 0 0 1 {x:.2f} {y + sign * MARKS:.2f}Z",
            fill=INK,
            stroke=None,
        )
    canvas.line(x - 1.5 * MARKS, y, x + 1.5 * MARKS, y, width=0.2)
    canvas.line(x, y - 1.5 * MARKS, x, y + 1.5 * MARKS, width=0.2)


def _axles(canvas: Canvas, rig: Rig, f: Frame, body: Mapping[str, Any], *, top: float, scale: float) -> float:
    """An arrow up under each axle, with what stands on it laden and what it may carry."""
    unit = "lb" if rig.shop.units == "us" else "kg"
    for axle in body["axles"]:
        at = 0.0 if axle["id"] == "front" else rig.vehicle.size.wheelbase
        u, _ = project(Point(at, 0.0, 0.0), f, "left")
        x = 4.0 + u * scale
        canvas.line(x, top + 1.0, x, top + 8.0, width=0.5)
        canvas.path(
            f"M{x - 1.2:.2f} {top + 3.0:.2f}L{x:.2f} {top + 0.6:.2f}L{x + 1.2:.2f} {top + 3.0:.2f}", stroke_width=0.5
        )
        words = f"{axle['id']}: {convert(axle['load_kg'], 'mass', unit):.0f} of {convert(axle['rating_kg'], 'mass', unit):.0f} {unit}"
        canvas.text(words, x + 2.5, top + 6.5, size=SMALL_MM, key=f"axle:{axle['id']}")
    return top + 10.0


def _key(canvas: Canvas, rig: Rig, cases: list[Mapping[str, Any]], top: float) -> float:
    unit = "in" if rig.shop.units == "us" else "mm"
    heads = ((0.0, "Mark"), (12.0, "Loading"), (100.0, f"x {unit}"), (120.0, f"y {unit}"), (140.0, f"z {unit}"))
    y = top + SMALL_MM
    for x, words in heads:
        canvas.text(words, x, y, size=SMALL_MM, key=f"head:{words}", bold=True)
    canvas.line(0.0, y + 1.2, SHEET_MM, y + 1.2, width=0.3)
    y += 1.2
    for index, case in enumerate(cases, 1):
        y += 4.6
        mark(canvas, 3.5, y - 0.8, index)
        canvas.text(case["title"], 12.0, y, size=SMALL_MM, key=f"case:{index}")
        for axis, x in (("x_m", 100.0), ("y_m", 120.0), ("z_m", 140.0)):
            canvas.text(f"{convert(case['cg'][axis], 'length', unit):.1f}", x, y, size=SMALL_MM, key=f"{axis}:{index}")
        y += 0.6
    words = "The quartered circle is the laden vehicle; x back from the front axle, y to the right of the middle, z up from the ground."
    return canvas.lines(words, 0.0, y + 5.0, width=SHEET_MM, size=SMALL_MM, key="words", fill=QUIET)
