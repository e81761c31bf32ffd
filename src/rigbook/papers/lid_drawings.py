"""Lids from the side: closed, halfway and open, with their springs, and both studs with their places from the hinge."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from rigbook.documents.schema.swinging import Lid
from rigbook.papers.canvas import INK, QUIET, SHEET_MM, Canvas, Plate
from rigbook.rig.model import Rig

SMALL_MM = 2.3
ROOM_MM = 100.0
DASHES = {"closed": "2 1.2", "halfway": "0.6 0.8", "open": None}


def lid_plates(rig: Rig, report: Mapping[str, Any]) -> list[Plate]:
    """A plate for every lid. Never empty."""
    plates = [
        side_view(lid, found) for lid, found in zip(rig.build.lids, report["body"].get("lids") or (), strict=True)
    ]
    if not plates:
        canvas = Canvas()
        canvas.text("This build has no lid under `lids`.", 0.0, 4.0, size=SMALL_MM, key="none")
        plates = [canvas.plate("none", "Lids on gas springs", height=8.0)]
    return plates


def positions_of(lid: Lid) -> tuple[tuple[str, float], ...]:
    """The angles that are drawn."""
    return (("closed", lid.closed), ("halfway", (lid.closed + lid.open) / 2), ("open", lid.open))


def side_view(lid: Lid, found: Mapping[str, Any]) -> Plate:
    """Hinge to the left, outward to the right, up the page is up."""
    canvas = Canvas()
    body = (found["body_out_m"], found["body_up_m"])
    studs, edges = {}, {}
    for name, angle in positions_of(lid):
        way = math.radians(angle)
        edges[name] = (lid.length * math.cos(way), lid.length * math.sin(way))
        stud = math.radians(angle + lid.springs.angle)
        studs[name] = (found["stud_m"] * math.cos(stud), found["stud_m"] * math.sin(stud))
    points = [(0.0, 0.0), body, *edges.values(), *studs.values()]
    us, vs = [p[0] for p in points], [p[1] for p in points]
    scale = min(ROOM_MM / max(max(us) - min(us), 1e-6), ROOM_MM / max(max(vs) - min(vs), 1e-6))

    def at(point: tuple[float, float]) -> tuple[float, float]:
        return 12.0 + (point[0] - min(us)) * scale, 10.0 + (max(vs) - point[1]) * scale

    hinge, fixed = at((0.0, 0.0)), at(body)
    for name, dash in DASHES.items():
        canvas.line(*hinge, *at(edges[name]), width=0.9 if dash is None else 0.6, dash=dash)
        canvas.line(*fixed, *at(studs[name]), width=0.45, dash=dash, stroke=QUIET)
        canvas.circle(*at(studs[name]), 0.9, fill="#ffffff")
    canvas.circle(*hinge, 1.4, fill=INK)
    canvas.circle(*fixed, 1.2, fill="#ffffff", stroke_width=0.4)
    right = 12.0 + ROOM_MM + 8.0
    first, last = found["points"][0], found["points"][-1]
    rows = [
        ("hinge", "filled circle"),
        ("body stud, from the hinge", f"{1e3 * body[0]:.0f} mm outward, {1e3 * body[1]:.0f} mm up"),
        ("lid stud, from the hinge", f"{1e3 * found['stud_m']:.0f} mm, {lid.springs.angle:g} deg beside the lid"),
        ("springs", f"{found['springs']} x {found['spring']}"),
        ("closed (dashed)", f"{lid.closed:g} deg, stud to stud {1e3 * first['spring_length_m']:.0f} mm"),
        ("open (solid)", f"{lid.open:g} deg, stud to stud {1e3 * last['spring_length_m']:.0f} mm"),
        ("stroke the swing asks for", f"{1e3 * found['stroke_m']:.0f} mm"),
        ("at the hand, opening", f"{found['hand_to_open_n']:.0f} N at 20 C, {found['hand_to_open_cold_n']:.0f} N at its worst"),
        ("at the hand, closing", f"{found['hand_to_close_n']:.0f} N at 20 C, {found['hand_to_close_hot_n']:.0f} N at its worst"),
    ]  # fmt: skip
    y = 12.0
    for index, (name, words) in enumerate(rows):
        y = canvas.lines(name, right, y, width=SHEET_MM - right, size=SMALL_MM, key=f"name:{index}", bold=True)
        y = canvas.lines(words, right, y, width=SHEET_MM - right, size=SMALL_MM, key=f"words:{index}") + 1.6
    bottom = max(10.0 + (max(vs) - min(vs)) * scale, y) + 4.0
    return canvas.plate(f"lid-side:{lid.id}", f"{lid.id} from the side: closed, halfway, open", height=bottom)
