"""The five views as screens hold them: one scale, sizes as shares of the drawing's width."""

from __future__ import annotations

import math
from itertools import pairwise

from rigbook.papers import svg
from rigbook.papers.lampmap import LAMP_MM, LampMap, View, bare_map, lamp_map
from rigbook.papers.lamps import Mark
from rigbook.papers.silhouettes import ViewName
from rigbook.papers.svg import number
from rigbook.rig.model import Rig

ORDER: tuple[ViewName, ...] = ("plan", "front", "left", "rear", "right")
LARGEST_LAMP_MM = 2.0


def screen_map(rig: Rig) -> LampMap:
    """The lamp map with lamps as large as rows of lamps allow, so that a lit one holds its letter."""
    drawn = lamp_map(rig)
    closest = min(
        (_apart(a, b) for v in drawn.views for a, b in pairwise(v.marks) if a.row == b.row and a.pose == b.pose),
        default=9.0,
    )
    return lamp_map(rig, lamp_mm=max(LAMP_MM, min(LARGEST_LAMP_MM, closest * 0.47)))


def quick_map(rig: Rig) -> LampMap:
    """The five views without labels: drawn anew after every edit, beside a table that names everything."""
    return bare_map(rig, lamp_mm=LARGEST_LAMP_MM * 0.8)


def _apart(a: Mark, b: Mark) -> float:
    """Distance of two marks; marks one behind the other do not count as close."""
    distance = math.hypot(a.x - b.x, a.y - b.y)
    return distance if distance > 0.5 else 9.0


def page_views(drawn: LampMap) -> list[str]:
    """Each view as an SVG. The width attribute keeps one scale side by side; on a narrow screen the style sheet stacks them."""
    first = max(v.width for v in drawn.views if v.name in ("plan", "left", "right"))
    second = max(v.width for v in drawn.views if v.name in ("front", "rear"))
    return [_one(drawn.view(name), second if name in ("front", "rear") else first, first + second) for name in ORDER]


def _one(view: View, column: float, whole: float) -> str:
    lamps = len({m.device_id for m in view.marks})
    return svg.element(
        "svg",
        view.markup,
        viewBox=f"0 0 {number(column)} {number(view.height)}",
        width=f"{column / whole * 100:.3f}%",
        class_=f"drawing drawing-{view.name}",
        role="img",
        aria_label=f"{view.title}, {lamps} lamps",
    )
