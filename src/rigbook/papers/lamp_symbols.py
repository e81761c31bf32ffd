"""The symbols of the lamp map: shapes of the vehicle, lamps with their aim, labels. Classes are for the screen's style sheet."""

from __future__ import annotations

import math

from rigbook.papers import colours as colour_words
from rigbook.papers import svg
from rigbook.papers.labels import Label
from rigbook.papers.lamps import Mark
from rigbook.papers.silhouettes import Shape
from rigbook.papers.svg import element, number

_INKS: dict[str, dict[str, str | float]] = {
    "body": {"fill": "#ffffff", "stroke": "#1a1a1a", "stroke_width": 0.38},
    "glass": {"fill": "#e3e9ec", "stroke": "#4a4a4a", "stroke_width": 0.2},
    "tyre": {"fill": "#4a4a4a", "stroke": "#1a1a1a", "stroke_width": 0.2},
    "rim": {"fill": "#ededed", "stroke": "#4a4a4a", "stroke_width": 0.2},
    "line": {"fill": "none", "stroke": "#5a5a5a", "stroke_width": 0.2},
    "faint": {"fill": "none", "stroke": "#b4b4b4", "stroke_width": 0.16},
    "light": {"fill": "#f6f3e6", "stroke": "#5a5a5a", "stroke_width": 0.2},
    "bumper": {"fill": "#d6dadc", "stroke": "#5a5a5a", "stroke_width": 0.2},
}


def shape_markup(shape: Shape, *, u0: float, v1: float, scale: float, dx: float, dy: float) -> str:
    """One shape of a silhouette as a path: (u0, v1) of its plane lies at (dx, dy) of the page, `scale` in mm a metre."""
    data = "".join(
        letter
        + " ".join(
            number(dx + (n - u0) * scale) if i % 2 == 0 else number(dy + (v1 - n) * scale)
            for i, n in enumerate(arguments)
        )
        for letter, arguments in shape.commands
    )
    return element("path", d=data, class_=shape.style, **_INKS[shape.style])


def _sector(mark: Mark, index: int, radius: float) -> str:
    """One colour's share of the lamp symbol."""
    colour, count = mark.colours[index], len(mark.colours)
    attributes: dict[str, str | float | None] = {
        "class_": "ink",
        "data_colour": colour,
        "fill": colour_words.ink(colour),
    }
    if count == 1:
        if mark.factory:
            return element(
                "rect", x=mark.x - radius, y=mark.y - radius, width=2 * radius, height=2 * radius, **attributes
            )
        return element("circle", cx=mark.x, cy=mark.y, r=radius, **attributes)
    start, end = (math.pi / 2 + 2 * math.pi * i / count for i in (index, index + 1))
    x0, y0 = mark.x + radius * math.cos(start), mark.y + radius * math.sin(start)
    x1, y1 = mark.x + radius * math.cos(end), mark.y + radius * math.sin(end)
    data = f"M{number(mark.x)} {number(mark.y)}L{number(x0)} {number(y0)}A{number(radius)} {number(radius)} 0 0 1 {number(x1)} {number(y1)}Z"
    return element("path", d=data, **attributes)


def _arrow(mark: Mark, radius: float) -> str:
    if mark.aim is None:
        return ""
    reach = math.hypot(*mark.aim)
    ux, uy = mark.aim[0] / reach, mark.aim[1] / reach
    start, tip = radius + 0.25, radius + 0.8 + 2.2 * reach
    x0, y0, x1, y1 = mark.x + ux * start, mark.y + uy * start, mark.x + ux * tip, mark.y + uy * tip
    head = 0.85
    wings = [
        (x1 - ux * head - uy * head * 0.5, y1 - uy * head + ux * head * 0.5),
        (x1 - ux * head + uy * head * 0.5, y1 - uy * head - ux * head * 0.5),
    ]
    data = (
        f"M{number(x0)} {number(y0)}L{number(x1)} {number(y1)}"
        f"M{number(wings[0][0])} {number(wings[0][1])}L{number(x1)} {number(y1)}L{number(wings[1][0])} {number(wings[1][1])}"
    )
    return element(
        "path", d=data, class_="aim", fill="none", stroke="#1a1a1a", stroke_width=0.26, stroke_linejoin="round"
    )


def lamp_symbol(mark: Mark, letters: dict[str, str], radius: float) -> str:
    """A lamp: a field for each colour, its outline (round, or square for a factory lamp), ring and arrow of its aim."""
    dash = "0.7 0.5" if mark.pose else None
    edge: dict[str, str | float | None] = {
        "class_": "edge",
        "fill": "none",
        "stroke": "#1a1a1a",
        "stroke_width": 0.3,
        "stroke_dasharray": dash,
    }
    if mark.factory:
        outline = element("rect", x=mark.x - radius, y=mark.y - radius, width=2 * radius, height=2 * radius, **edge)
    else:
        outline = element("circle", cx=mark.x, cy=mark.y, r=radius, **edge)
    ring = (
        element(
            "circle",
            cx=mark.x,
            cy=mark.y,
            r=radius + 0.55,
            class_="aim",
            fill="none",
            stroke="#1a1a1a",
            stroke_width=0.2,
        )
        if mark.all_round
        else ""
    )
    names = ", ".join(f"{c} ({letters[c]})" for c in mark.colours)
    opened = ", door open" if mark.pose else ""
    return element(
        "g",
        element("title", svg.escape(f"{mark.device_id}: {names}{opened}")),
        *(_sector(mark, i, radius) for i in range(len(mark.colours))),
        outline,
        ring,
        _arrow(mark, radius),
        svg.element(
            "text",
            x=mark.x,
            y=mark.y + 0.63 * radius,
            class_="shown",
            font_size=1.75 * radius,
            text_anchor="middle",
            font_weight="bold",
            fill="none",
        ),
        class_="lamp" + (" factory" if mark.factory else "") + (" opened" if mark.pose else ""),
        data_device=mark.device_id,
        data_pose=str(mark.pose),
    )


def halo(mark: Mark, radius: float) -> str:
    """Light around a lit lamp, on screens: under all lamps, so that it hides none."""
    return element(
        "circle",
        cx=mark.x,
        cy=mark.y,
        r=radius * 2.4,
        class_="halo",
        fill="none",
        data_device=mark.device_id,
        data_pose=str(mark.pose),
    )


def label_markup(label: Label) -> str:
    """A placed label on its white ground, with its leader."""
    leader = ""
    if label.leader:
        x1, y1, x2, y2 = label.leader
        leader = element("line", x1=x1, y1=y1, x2=x2, y2=y2, class_="leader", stroke="#1a1a1a", stroke_width=0.16)
    back = element(
        "rect",
        x=label.box.left - 0.2,
        y=label.box.top,
        width=label.box.right - label.box.left + 0.4,
        height=label.box.bottom - label.box.top,
        class_="label-back",
        fill="#ffffff",
        fill_opacity="0.85",
    )
    return leader + back + _label_text(label)


def _label_text(label: Label) -> str:
    x, y = label.baseline
    strong = element("tspan", svg.escape(label.strong), font_weight="bold", class_="letters") if label.strong else ""
    blank = " " if label.text and label.strong else ""
    return element(
        "text",
        svg.escape(label.text) + blank,
        strong,
        x=x,
        y=y,
        font_size=label.size,
        class_="label",
        fill="#1a1a1a",
        data_group=label.key,
    )
