"""The chromaticity chart: spectral locus, boundaries of two editions, and the parts that are fitted, in ink alone."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from typing import Any

from rigbook.light.colour import editions, locus, within
from rigbook.papers.canvas import HAIR, INK, QUIET, SHEET_MM, Canvas, Plate
from rigbook.papers.svg import element, number

SCALE_MM = 138.0
"""Millimetres for 1 of x or y."""
LEFT_MM, BASE_MM = 10.0, 124.0
TEXT_MM, SMALL_MM = 2.4, 2.1
MIDDLES: Mapping[str, tuple[float, float]] = {
    "red": (0.69, 0.30), "amber": (0.575, 0.415), "white": (0.39, 0.385), "green": (0.12, 0.55), "blue": (0.145, 0.12),
}  # fmt: skip
"""A point of each region from which its whole edge is seen."""
LABELS: Mapping[str, tuple[float, float]] = {
    "red": (0.70, 0.36), "amber": (0.61, 0.47), "white": (0.40, 0.46), "green": (0.12, 0.58), "blue": (0.21, 0.08),
}  # fmt: skip
Report = Mapping[str, Any]


def chart_plates(report: Report) -> list[Plate]:
    """The chart; a word where no fitted part states its chromaticity."""
    parts = report["light"].get("colour")
    canvas = Canvas()
    if not parts:
        canvas.text("No fitted lamp states its `chromaticity`.", 0, 4, size=2.8, key="none")
        return [canvas.plate("colours", "Chromaticity of the lamps", height=8)]
    _axes(canvas)
    curve = [(x, y) for _, x, y in locus()]
    canvas.add(_path(curve, closed=True, width=0.3))
    federal, vertices, _ = editions()
    for colour, test in federal.tests.items():
        if colour in MIDDLES:
            edge = outline(lambda x, y, test=test: test(x, y) and within(curve, x, y), MIDDLES[colour])  # type: ignore[misc]
            canvas.add(_path(edge, closed=True, width=0.4))
            x, y = LABELS[colour]
            canvas.text(colour, *_at(x, y), size=TEXT_MM, key=f"region-{colour}", anchor="middle", fill=QUIET)
    for points in vertices.vertices.values():
        canvas.add(_path(points, closed=True, width=0.25, dash="1.2 1"))
    _points(canvas, parts)
    return [canvas.plate("colours", "Chromaticity of the fitted parts, CIE 1931", height=BASE_MM + 12.0)]


def outline(
    test: Callable[[float, float], bool], start: tuple[float, float], *, rays: int = 180
) -> list[tuple[float, float]]:
    """The edge of a region as seen from a point inside it: along each ray the last point that is still inside."""
    found = []
    for number_ in range(rays):
        turn = 2 * math.pi * number_ / rays
        low, high = 0.0, 1.0
        steps = 0.0
        while steps < 1.0 and test(start[0] + steps * math.cos(turn), start[1] + steps * math.sin(turn)):
            low, steps = steps, steps + 0.004
        high = steps
        for _ in range(20):
            middle = (low + high) / 2
            if test(start[0] + middle * math.cos(turn), start[1] + middle * math.sin(turn)):
                low = middle
            else:
                high = middle
        found.append((start[0] + low * math.cos(turn), start[1] + low * math.sin(turn)))
    return found


def _at(x: float, y: float) -> tuple[float, float]:
    return LEFT_MM + SCALE_MM * x, BASE_MM - SCALE_MM * y


def _path(points: Sequence[tuple[float, float]], *, closed: bool, width: float, dash: str | None = None) -> str:
    data = (
        "M "
        + " L ".join(f"{number(u)} {number(v)}" for u, v in (_at(x, y) for x, y in points))
        + (" Z" if closed else "")
    )
    return element("path", d=data, fill="none", stroke=INK, stroke_width=width, stroke_dasharray=dash)


def _axes(canvas: Canvas) -> None:
    for tenth in range(9):
        value = tenth / 10
        canvas.line(*_at(value, 0), *_at(value, 0.85), width=0.12, stroke=HAIR)
        canvas.line(*_at(0, value), *_at(0.8, value), width=0.12, stroke=HAIR)
        x, y = _at(value, 0)
        canvas.text(f"{value:g}", x, y + 3.4, size=SMALL_MM, key=f"x-{tenth}", anchor="middle", fill=QUIET)
        if tenth:
            x, y = _at(0, value)
            canvas.text(f"{value:g}", x - 1.5, y + 0.8, size=SMALL_MM, key=f"y-{tenth}", anchor="end", fill=QUIET)
    canvas.text("x", *_at(0.84, -0.02), size=TEXT_MM, key="x", fill=QUIET)
    canvas.text("y", *_at(-0.035, 0.86), size=TEXT_MM, key="y", fill=QUIET)


def _points(canvas: Canvas, parts: Sequence[Mapping[str, Any]]) -> None:
    places: dict[tuple[float, float], list[str]] = {}
    for part in parts:
        places.setdefault((part["x"], part["y"]), []).append(part["id"])
    left, y = LEFT_MM + 0.83 * SCALE_MM, 8.0
    for count, ((x, v), names) in enumerate(places.items(), 1):
        u, w = _at(x, v)
        canvas.line(u - 1.2, w, u + 1.2, w, width=0.4)
        canvas.line(u, w - 1.2, u, w + 1.2, width=0.4)
        canvas.text(f"{count}", u + 1.4, w - 0.9, size=SMALL_MM, key=f"point-{count}", bold=True)
        text = f"{count}: " + ", ".join(names)
        y = canvas.lines(text, left, y, width=SHEET_MM - left, size=SMALL_MM, key=f"part-{count}") + 0.6
    canvas.lines(
        "Whole lines: 49 CFR 571.108. Dashed: vertices of SAE J578 2020, whose open sides lie on the locus.",
        left, y + 2.0, width=SHEET_MM - left, size=SMALL_MM, key="note", fill=QUIET,
    )  # fmt: skip
