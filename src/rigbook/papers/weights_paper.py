"""The weight sheet: axles, sides, centre of gravity, margins, persons and kit; weighed beside computed."""

from __future__ import annotations

from rigbook.papers.balance_drawing import balance_plates
from rigbook.papers.body_chapters import loadings
from rigbook.papers.chapter import Desk
from rigbook.papers.chapters import weights
from rigbook.papers.pieces import DASH, Piece, column, drawing, sign, small, table
from rigbook.quantities.show import convert


def pieces(desk: Desk) -> list[Piece]:
    """The chapter."""
    body, rig = desk.report["body"], desk.rig
    found = weights(rig, desk.report)
    if body["mass_kg"] is None:
        return found
    unit, small_unit = ("lb" if desk.us else "kg"), desk.small_unit

    def mass(kg: float | None) -> str:
        return DASH if kg is None else f"{convert(kg, 'mass', unit):.0f}"

    left, whole = body["left_share"], body["mass_kg"]
    sides = [
        ["left", mass(None if left is None else left * whole), ""],
        ["right", mass(None if left is None else (1 - left) * whole), ""],
    ]
    wheels = {w["id"]: w["load_kg"] for w in body.get("wheels") or ()}
    corners = [(a, s) for a in ("front", "rear") for s in ("left", "right")]
    sides += [[f"wheel, {a} {s}", mass(wheels.get(f"{a}-{s}")), ""] for a, s in corners]
    columns = [column("Side", share=1), column(f"Worked out {unit}", number=True), column(f"Weighed {unit}", share=0.7)]
    found.append(table(caption="Sides and wheels", columns=columns, rows=sides, form=True))
    listed = [m for m in rig.masses if m.why in ("person", "kit", "fuel")]
    rows = [
        [m.id, m.why, mass(m.mass_kg), *(f"{convert(v, 'length', small_unit):.0f}" for v in (m.at.x_m, m.at.y_m, m.at.z_m)), ""]
        for m in listed
    ]  # fmt: skip
    columns = [
        column("What", share=1), column("Why"), column(f"Mass {unit}", number=True), column(f"x {small_unit}", number=True),
        column(f"y {small_unit}", number=True), column(f"z {small_unit}", number=True), column(f"Weighed {unit}", share=0.5),
    ]  # fmt: skip
    if rows:
        found.append(table(caption="Persons, kit and fuel counted in", columns=columns, rows=rows, form=True))
    found.append(
        small("A dash: not worked out. x back from the front axle, y to the right of the middle, z up from the ground.")
    )
    found.extend(loadings(desk))
    plate = balance_plates(rig, desk.report)[0]
    found.append(drawing(plate.document, caption=plate.title, max_height_mm=plate.height))
    found.append(sign("Weighed by: name, date, scales"))
    return found
