"""The lamp map as one sheet: five views, scale bar, letters, and the key where the drawing speaks in numbers."""

from __future__ import annotations

import math

from rigbook.papers import colours as colour_words
from rigbook.papers import svg
from rigbook.papers.canvas import SHEET_MM, Plate, wrapped
from rigbook.papers.labels import ASCENT, DESCENT, label_width
from rigbook.papers.lampmap import LABEL_MM, LAMP_MM, LampMap, View, colour_letters, lamp_map
from rigbook.papers.svg import Box, element, number
from rigbook.rig.model import Rig

GAP_MM = 2.0
LINE_MM = 3.4


def lamp_map_svg(rig: Rig) -> str:
    """The whole lamp map as SVG text: a pure function of the rig, readable in black and white."""
    return sheet_of(rig, lamp_map(rig))[0]


def sheet_of(rig: Rig, drawn: LampMap) -> tuple[str, dict[str, Box]]:
    """The sheet and the boxes of all its texts (for those who check that none overlaps another)."""
    body, width, height, boxes = _sheet(rig, drawn)
    paper = element("rect", x=0, y=0, width=width, height=height, fill="#ffffff", class_="paper")
    title = f"Lamp map of {rig.build.build.title}"
    return svg.document([paper, *body], width=width, height=height, title=title), boxes


def _sheet(rig: Rig, drawn: LampMap) -> tuple[list[str], float, float, dict[str, Box]]:
    """Markup, width, height and text boxes of the whole map."""
    plan, left, right = drawn.view("plan"), drawn.view("left"), drawn.view("right")
    front, rear = drawn.view("front"), drawn.view("rear")
    column = max(plan.width, left.width, right.width)
    second = column + GAP_MM
    width = second + max(front.width, rear.width)
    row1 = max(plan.height, front.height)
    row2 = row1 + GAP_MM + max(left.height, rear.height)
    places: list[tuple[View, float, float]] = [
        (plan, 0.0, (row1 - plan.height)),
        (front, second, (row1 - front.height)),
        (left, 0.0, row1 + GAP_MM),
        (rear, second, row1 + GAP_MM),
        (right, 0.0, row2 + GAP_MM),
    ]
    boxes: dict[str, Box] = {}
    body = []
    for view, x, y in places:
        body.append(element("g", view.markup, transform=f"translate({number(x)} {number(y)})"))
        boxes[f"{view.name}:title"] = view.title_box.moved(x, y)
        boxes |= {f"{view.name}:{b.key}": b.box.moved(x, y) for b in view.labels}
    legend, legend_height = _legend(rig, drawn, second + 2.0, row2 + GAP_MM + 2.0, width - second - 3.0, boxes)
    body.append(legend)
    bottom = row2 + GAP_MM + max(right.height, legend_height + 4.0)
    if drawn.numbered or drawn.unplaced:
        table, bottom = _key_table(drawn, bottom + 2.0, width, boxes)
        body.append(table)
    return body, width, bottom, boxes


def plate_of(rig: Rig, drawn: LampMap) -> Plate:
    """The whole lamp map as a plate."""
    body, width, height, boxes = _sheet(rig, drawn)
    title = "Lamp map, to scale from the vehicle file"
    return Plate("lamp-map", title, width, height, "".join(body), tuple(boxes.items()))


def view_plate(rig: Rig, drawn: LampMap, name: str) -> Plate:
    """One view alone, with its letters, a scale bar, and the key where the drawing speaks in numbers."""
    view = next(v for v in drawn.views if v.name == name)
    width = max(view.width, SHEET_MM)
    shift = (width - view.width) / 2
    boxes = {f"{view.name}:title": view.title_box.moved(shift, 0.0)}
    boxes |= {f"{view.name}:{b.key}": b.box.moved(shift, 0.0) for b in view.labels}
    body = [element("g", view.markup, transform=f"translate({number(shift)} 0)")]
    body.append(_scale_bar(rig, drawn, 1.0, view.height, 40.0, boxes))
    present = {colour for mark in view.marks for colour in mark.colours}
    words = [
        f"{letter} {colour.replace('_', ' ')}" for colour, letter in colour_letters(rig).items() if colour in present
    ]
    signs = "square: factory lamp; broken outline: its place with the door open; ring: shines all round; arrow: aim."
    at = view.height + 3.4
    for index, line in enumerate(wrapped("; ".join([*words, signs]), width=width - 48.0, size=LABEL_MM)):
        body.append(_line(line, 46.0, at + index * LINE_MM, boxes, f"signs:{index}"))
        bottom = at + index * LINE_MM
    bottom = max(bottom, view.height + 5.0) + 2.0
    if drawn.numbered or drawn.unplaced:
        table, bottom = _key_table(drawn, bottom + 1.0, width, boxes)
        body.append(table)
    title = f"{view.title}, to scale from the vehicle file"
    return Plate(f"view-{view.name}", title, width, bottom, "".join(body), tuple(boxes.items()))


def _line(text: str, x: float, y: float, boxes: dict[str, Box], key: str, **more: str | float | None) -> str:
    boxes[key] = Box(x, y - ASCENT * LABEL_MM, x + svg.text_width(text, size=LABEL_MM), y + DESCENT * LABEL_MM)
    return svg.text(text, x=x, y=y, size=LABEL_MM, fill="#1a1a1a", **more)


def _legend(rig: Rig, drawn: LampMap, x: float, y: float, width: float, boxes: dict[str, Box]) -> tuple[str, float]:
    parts = [_scale_bar(rig, drawn, x, y, width, boxes)]
    at = y + 11.0
    letters = colour_letters(rig)
    for colour, letter in letters.items():
        parts.append(
            element(
                "circle",
                cx=x + 1.5,
                cy=at - 0.75,
                r=LAMP_MM,
                fill=colour_words.ink(colour),
                stroke="#1a1a1a",
                stroke_width=0.3,
            )
        )
        parts.append(_line(f"{letter}  {colour.replace('_', ' ')}", x + 4.2, at, boxes, f"legend:{colour}"))
        at += LINE_MM
    rows = [
        ("circle", "lamp fitted"),
        ("factory", "factory lamp"),
        ("open", "place with its door open"),
        ("aim", "aim"),
    ]
    for kind, words in rows:
        parts.append(_sample(kind, x + 1.5, at - 0.75))
        parts.append(_line(words, x + 4.2, at, boxes, f"legend:{kind}"))
        at += LINE_MM
    return element("g", *parts, class_="legend"), at - y


def _sample(kind: str, x: float, y: float) -> str:
    edge: dict[str, str | float | None] = {"fill": "none", "stroke": "#1a1a1a", "stroke_width": 0.3}
    if kind == "factory":
        return element("rect", x=x - LAMP_MM, y=y - LAMP_MM, width=2 * LAMP_MM, height=2 * LAMP_MM, **edge)
    if kind == "aim":
        return element("path", d=f"M{number(x - 1.4)} {number(y)}h2.8m-0.85 -0.45l0.85 0.45l-0.85 0.45", **edge)
    if kind == "open":
        return element("circle", cx=x, cy=y, r=LAMP_MM, stroke_dasharray="0.7 0.5", **edge)
    return element("circle", cx=x, cy=y, r=LAMP_MM, **edge)


def _scale_bar(rig: Rig, drawn: LampMap, x: float, y: float, width: float, boxes: dict[str, Box]) -> str:
    """A bar of whole metres (or feet) no longer than the space beside the drawing."""
    us = rig.shop.units == "us"
    unit_m, name, steps = (0.3048, "ft", (1, 2, 3, 5, 10)) if us else (1.0, "m", (0.5, 1, 2, 5))
    fits = [n for n in steps if n * unit_m * drawn.mm_per_m <= width - 6.0]
    count = fits[-1] if fits else steps[0]
    length = count * unit_m * drawn.mm_per_m
    half = length / 2
    bar = [
        element("rect", x=x, y=y + 3.2, width=half, height=1.0, fill="#1a1a1a"),
        element(
            "rect", x=x + half, y=y + 3.2, width=half, height=1.0, fill="#ffffff", stroke="#1a1a1a", stroke_width=0.2
        ),
    ]
    label = f"{count:g} {name}"
    return element(
        "g",
        *bar,
        _line("0", x, y + 2.2, boxes, "scale:0"),
        _line(label, x + length - svg.text_width(label, size=LABEL_MM), y + 2.2, boxes, "scale:1"),
        class_="scale",
    )


def _key_table(drawn: LampMap, top: float, width: float, boxes: dict[str, Box]) -> tuple[str, float]:
    """The key in as many columns as fit; an id longer than a column goes on below."""
    longest = max((label_width(f"{r.number}  {r.group}", r.letters, size=LABEL_MM) for r in drawn.key), default=10.0)
    columns = max(1, math.floor(width / (longest + 6.0)))
    each = width / columns
    texts = [wrapped(f"{r.number} {r.group} {r.letters}", width=each - 3.0, size=LABEL_MM * 1.06) for r in drawn.key]
    tall = max((len(lines) for lines in texts), default=1)
    rows = math.ceil(len(drawn.key) / columns)
    parts = []
    for i, (row, lines) in enumerate(zip(drawn.key, texts, strict=True)):
        x, y = (i // rows) * each + 1.0, top + LINE_MM * tall * (i % rows) + LINE_MM
        for number_of, words in enumerate(lines):
            last = number_of == len(lines) - 1
            plain = words.removesuffix(row.letters).rstrip() if last else words
            strong = (
                element("tspan", svg.escape(row.letters), font_weight="bold")
                if last and words.endswith(row.letters)
                else ""
            )
            boxes[f"key:{row.number}:{number_of}"] = Box(x, y - ASCENT * LABEL_MM, x + label_width(plain, row.letters if strong else "", size=LABEL_MM),
                                                         y + DESCENT * LABEL_MM)  # fmt: skip
            parts.append(
                element(
                    "text",
                    svg.escape(plain) + (" " if strong and plain else ""),
                    strong,
                    x=x,
                    y=y,
                    font_size=LABEL_MM,
                    fill="#1a1a1a",
                )
            )
            y += LINE_MM
    bottom = top + LINE_MM * (rows * tall + 1)
    if drawn.unplaced:
        note = f"{len(drawn.unplaced)} labels found no room beside their lamps; the equipment list has them all."
        parts.append(_line(note, 1.0, bottom + 1.0, boxes, "key:note"))
        bottom += LINE_MM
    return element("g", *parts, class_="key"), bottom
