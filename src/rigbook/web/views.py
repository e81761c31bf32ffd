"""The five views as the vehicle page holds them: one scale, sizes as shares of the drawing's width."""

from __future__ import annotations

from rigbook.papers import svg
from rigbook.papers.lampmap import LampMap, View
from rigbook.papers.svg import number

ORDER = ("plan", "front", "left", "rear", "right")


def page_views(drawn: LampMap) -> list[str]:
    """Each view as an SVG. The width attribute keeps one scale side by side; on a narrow screen the style sheet stacks them."""
    whole = max(v.width for v in drawn.views if v.name in ("plan", "left", "right")) + max(
        v.width for v in drawn.views if v.name in ("front", "rear")
    )
    return [_one(drawn.view(name), whole) for name in ORDER]  # type: ignore[arg-type]


def _one(view: View, whole: float) -> str:
    lamps = len({m.device_id for m in view.marks})
    return svg.element(
        "svg",
        view.markup,
        viewBox=f"0 0 {number(view.width)} {number(view.height)}",
        width=f"{view.width / whole * 100:.3f}%",
        class_=f"drawing drawing-{view.name}",
        role="img",
        aria_label=f"{view.title}, {lamps} lamps",
    )
