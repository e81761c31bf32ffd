"""The body on paper: loadings with axle bars and label, joints with their torque, lids with their curve, heat."""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from typing import Any

from rigbook.papers.canvas import INK, QUIET, SHEET_MM, Canvas, Plate
from rigbook.papers.chapter import Desk
from rigbook.papers.lid_drawings import side_view
from rigbook.papers.pieces import DASH, Piece, column, drawing, heading, paragraph, sign, small, table
from rigbook.quantities.show import convert, format_number

BAR, FREE, OVER = "#8a9bb0", "#eef1f4", "#b3423a"
LINES: Mapping[str, tuple[str, str | None]] = {
    "cold_n_m": ("coldest", "2 1.2"),
    "net_n_m": ("20 C", None),
    "hot_n_m": ("hottest", "0.6 0.8"),
}


def loadings(desk: Desk) -> list[Piece]:
    """Every loading with its margins, bars of the axles, scales against arithmetic, and the label."""
    body = desk.report["body"]
    if not body.get("cases"):
        return []
    unit = "lb" if desk.us else "kg"

    def mass(kg: float | None) -> str:
        return DASH if kg is None else f"{convert(kg, 'mass', unit):.0f}"

    rows = [
        [c["title"], mass(c["mass_kg"]), mass(c["margin_kg"]), mass(c["front_kg"]), mass(c["front_margin_kg"]), mass(c["rear_kg"]),
         mass(c["rear_margin_kg"]), f"{100 * c['left_share']:.1f}", f"{c['stability_factor']:.3f}", f"{c['tilt_deg']:.0f}"]
        for c in body["cases"]
    ]  # fmt: skip
    columns = [column("Loading", share=1), *(column(t, number=True) for t in (
        f"Mass {unit}", "Margin", "Front", "Margin", "Rear", "Margin", "Left %", "Stability", "Tilt deg"))]  # fmt: skip
    plate = axle_bars(body["cases"], body["axles"], unit=unit)
    made = [
        table(caption="Loadings, with the margin to each rating", columns=columns, rows=rows),
        small("Tilt is rigid: a real vehicle tips 10 to 20 % earlier (common practice, no source). Wheels that were not weighed rest on "
              "an assumption of how the axles share the sideways moment."),
        drawing(plate.document, caption=plate.title, max_height_mm=plate.height),
    ]  # fmt: skip
    weighed = body.get("weighed")
    if weighed:
        made.append(paragraph(
            f"On the scales ({weighed['state'].replace('-', ' ')}): {mass(weighed['mass_kg'])} {unit}. That is "
            f"{mass(weighed['residual_kg'])} {unit} beside the arithmetic (front {mass(weighed['residual_front_kg'])}, rear "
            f"{mass(weighed['residual_rear_kg'])}), spread over what was aboard; all figures here go by the scales."))  # fmt: skip
    label = body.get("label")
    if label and label["due"]:
        made += [
            heading("Load-capacity label", level=2),
            *(paragraph(line) for line in label["lines"]),
            small(
                "The regulation in force gives the wording of the label; these are its figures. The alterer certifies, not this paper."
            ),
            *(paragraph(line) for line in label["certification"]),
        ]
    return made


def axle_bars(cases: Sequence[Mapping[str, Any]], axles: Sequence[Mapping[str, Any]], *, unit: str) -> Plate:
    """A bar an axle and loading, drawn against its rating; what goes over is told by colour and by figure."""
    canvas, left, size = Canvas(), 62.0, 2.6
    width, y = SHEET_MM - left - 34.0, 6.0
    for axle in axles:
        canvas.text(f"{axle['id']} axle", 0, y, size=3.0, key=f"{axle['id']}", bold=True)
        y += 3.0
        for case in cases:
            load, rating = case[f"{axle['id']}_kg"], axle["rating_kg"]
            share = max(0.0, load / rating)
            shown = min(share, 1.15) / 1.15 * width
            canvas.rect(left, y, width / 1.15, 3.4, fill=FREE, stroke=None)
            canvas.rect(left, y, shown, 3.4, fill=OVER if share > 1 else BAR, stroke=None)
            canvas.text(case["title"], left - 2, y + 2.6, size=size, key=f"{axle['id']}-{case['id']}", anchor="end")
            figure = f"{convert(load, 'mass', unit):.0f} {unit}, {100 * share:.0f} %"
            canvas.text(figure, left + width + 2, y + 2.6, size=size, key=f"{axle['id']}-{case['id']}-figure")
            y += 4.6
        canvas.line(left + width / 1.15, y - 4.6 * len(cases) - 1, left + width / 1.15, y, width=0.4)
        y += 5.0
    canvas.text("The line is the rating of the axle.", left, y - 1.5, size=size, key="line", fill=QUIET)
    return canvas.plate("axle-bars", "Axle loads in every loading against their ratings", height=y + 2)


def torques(desk: Desk) -> list[Piece]:
    """The torque list: joint, fastener, class, torque, mark; sensors to recalibrate."""
    body, unit = desk.report["body"], "lbf ft" if desk.us else "N m"
    found = [heading("Joints and torque")]
    mounts = body.get("mounts") or []
    if not mounts:
        found.append(paragraph("No joint is on record under `mounts:`."))
    else:
        into = {mount.id: mount.fastening.replace("-", " ") for mount in desk.rig.build.mounts}
        rows = [
            [m["id"], ", ".join(m["holds"]), f"{m['bolts']} x {m['bolt']} in {into[m['id']]}",
             f"{convert(m['torque_n_m'], 'torque', unit):.1f}" + desk.mark(f"body.mounts[{m['id']}].torque_n_m", m["torque_n_m"]), DASH if m["weakest"] is None else f"{m['weakest']}, {m['worst']}",
             DASH if m["reserve"] is None else f"{100 * m['reserve']:.0f}" + desk.mark(f"body.mounts[{m['id']}].reserve", m["reserve"]), "", ""]
            for m in mounts
        ]  # fmt: skip
        columns = [column("Joint"), column("Holds", share=1), column("Fasteners"), column(f"Torque {unit}", number=True),
                   column("Weakest link", share=0.7), column("Reserve %", number=True), column("Value, tool", share=0.4), column("By", share=0.3)]  # fmt: skip
        found.append(
            table(
                caption="Torque list; draw a line across bolt and part after the final torque",
                columns=columns,
                rows=rows,
                form=True,
            )
        )
        found.append(small("Torques are for dry threads; a rivet nut takes the least of its screw, 0.8 of its spin limit (common practice, "
                           "no source) and its supplier's figure. Try a rivet nut in a piece of the same sheet first."))  # fmt: skip
    sensors = body.get("recalibrate") or []
    if sensors:
        rows = [[s["sensor"], s["because_of"], "", ""] for s in sensors]
        columns = [
            column("Sensor", share=1),
            column("Something stands in front of it", share=1),
            column("Record", share=1),
            column("By", share=0.5),
        ]
        found.append(table(caption="Radars and cameras to recalibrate", columns=columns, rows=rows, form=True))
    found.append(sign("Torqued by: name, date, tool"))
    return found + lids(desk) + warmth(desk)


def lids(desk: Desk) -> list[Piece]:
    """Lids on gas springs with their curves."""
    made: list[Piece] = []
    for lid in desk.report["body"].get("lids") or ():
        if not made:
            made.append(heading("Lids on gas springs", level=2))
        plate = lid_curve(lid)
        made.append(paragraph(
            f"{lid['id']}: {lid['springs']} x {lid['spring']}, stud {1e3 * lid['stud_m']:.0f} mm from the hinge. The hand lifts at most "
            f"{lid['hand_to_open_n']:.0f} N and pulls at most {lid['hand_to_close_n']:.0f} N at the edge, at 20 C; "
            f"{lid['hand_to_open_cold_n']:.0f} N at the coldest with weak springs and {lid['hand_to_close_hot_n']:.0f} N at the hottest with "
            "strong ones."))  # fmt: skip
        made.append(drawing(plate.document, caption=plate.title, max_height_mm=plate.height))
        side = side_view(next(one for one in desk.rig.build.lids if one.id == lid["id"]), lid)
        made.append(drawing(side.document, caption=side.title, max_height_mm=side.height))
    return made


def lid_curve(lid: Mapping[str, Any]) -> Plate:
    """Net moment over the angle: coldest, 20 C, hottest. Above the line it opens by itself, below it falls shut."""
    canvas, left, top, width, height = Canvas(), 20.0, 6.0, 120.0, 46.0
    points = lid["points"]
    values = [p[key] for p in points for key in LINES]
    low, high = min(*values, 0.0), max(*values, 0.0)
    room = (high - low) or 1.0
    first, last = points[0]["angle_deg"], points[-1]["angle_deg"]

    def at(angle: float, value: float) -> tuple[float, float]:
        return left + (angle - first) / (last - first) * width, top + (high - value) / room * height

    _, zero = at(first, 0.0)
    canvas.line(left, zero, left + width, zero, width=0.3)
    for key, (_, dash) in LINES.items():
        places = [at(p["angle_deg"], p[key]) for p in points]
        for (x1, y1), (x2, y2) in itertools.pairwise(places):
            canvas.line(x1, y1, x2, y2, width=0.45, dash=dash)
    for index, (name, dash) in enumerate(LINES.values()):
        y = top + 5.0 * index + 2
        canvas.line(left + width + 4, y, left + width + 12, y, width=0.45, dash=dash)
        canvas.text(name, left + width + 14, y + 0.9, size=2.6, key=f"name-{index}")
    for value in (high, low):
        canvas.text(
            f"{format_number(value, 3)} N m",
            left - 2,
            at(first, value)[1] + 0.9,
            size=2.6,
            key=f"value-{value}",
            anchor="end",
        )
    for angle in (first, last):
        canvas.text(
            f"{angle:g} deg",
            at(angle, 0)[0],
            top + height + 5,
            size=2.6,
            key=f"angle-{angle}",
            anchor="middle",
            fill=INK,
        )
    return canvas.plate(
        f"lid-{lid['id']}", f"{lid['id']}: moment that opens it, by angle above the horizontal", height=top + height + 8
    )


def warmth(desk: Desk) -> list[Piece]:
    """Air inside cabinets and consoles, and openings for battery gas."""
    body, unit = desk.report["body"], "F" if desk.us else "C"
    made: list[Piece] = []

    def degrees(value: float) -> str:
        return f"{convert(value, 'temperature', unit):.0f}"

    if body.get("heat"):
        rows = [[h["id"], h["stretch"] or "at its most", f"{h['heat_w']:.0f}", degrees(h["ambient_c"]), degrees(h["inside_c"]), degrees(h["limit_c"])]
                for h in body["heat"]]  # fmt: skip
        columns = [column("Enclosure", share=1), column("Warmest stretch", share=1), column("W", number=True), column(f"Around {unit}", number=True),
                   column(f"Inside {unit}", number=True), column(f"Limit {unit}", number=True)]  # fmt: skip
        made += [
            heading("Heat", level=2),
            table(caption="Air inside cabinets and consoles, worked out", columns=columns, rows=rows),
        ]
    if body.get("gas"):
        rows = [[g["id"], f"{g['air_m3_per_h']:.2f}", f"{1e4 * g['opening_m2']:.1f}"] for g in body["gas"]]
        columns = [
            column("Bank", share=1),
            column("Air m3/h", number=True),
            column("Each of two openings cm2", number=True),
        ]
        made.append(table(caption="Air for the gas of lead-acid banks at boost", columns=columns, rows=rows))
    return made
