"""Markings in the book and as a sheet: by side, what each is of, the strips to cut."""

from __future__ import annotations

from rigbook.light.markings import area_by_part, bands
from rigbook.light.nesting import strips_of
from rigbook.papers.chapter import Desk
from rigbook.papers.drawings import plate_pieces
from rigbook.papers.marking_drawing import marking_plates
from rigbook.papers.pieces import DASH, Piece, column, heading, paragraph, small, table
from rigbook.papers.sheets import Cell, Column, Sheet, rounded
from rigbook.quantities.show import convert


def pieces(desk: Desk) -> list[Piece]:
    """The chapter: length and area by side, every marking, drawings of sides and rolls."""
    found = [heading("Markings")]
    marked = desk.report["light"].get("markings")
    if not marked:
        found.append(paragraph("No marking is on record under `markings:`."))
        return found
    run, square = ("ft", "ft2") if desk.us else ("m", "m2")
    rows = [
        [row["id"], f"{convert(row['length_m'], 'length', run):.2f}", f"{100 * row['length_share']:.0f}",
         f"{convert(row['area_m2'], 'area', square):.2f}", DASH if row["area_share"] is None else f"{100 * row['area_share']:.0f}"]
        for row in marked["sides"]
    ]  # fmt: skip
    columns = [column("Side", share=1), column(f"Length {run}", number=True), column("% of the side", number=True),
               column(f"Area {square}", number=True), column("% of the face", number=True)]  # fmt: skip
    return [
        *found,
        table(caption="Reflective length and area by side", columns=columns, rows=rows),
        small("Length: where at least 4 in of height are covered. The face is width times height above the ground clearance, glass "
              "included. Clean and degrease; keep sheeting 75 mm from required lamps of another colour."),
        *plate_pieces(marking_plates(desk.rig, desk.nests)),
    ]  # fmt: skip


def markings_sheet(desk: Desk) -> Sheet:
    """Every strip to cut, with its sheeting; areas of a marking stand at its first strip."""
    strips = {one.id: (part, one) for part, each in strips_of(desk.rig).items() for one in each}
    unit, square = desk.small_unit, "ft2" if desk.us else "m2"
    rows: list[tuple[Cell, ...]] = []
    for marking in desk.rig.build.markings:
        areas = area_by_part(marking)
        told: set[str] = set()
        for name, (part, one) in strips.items():
            if name == marking.id or (name.startswith(f"{marking.id}.") and len(bands(marking)) > 1):
                area = None if part in told else rounded(convert(areas.get(part, 0.0), "area", square))
                told.add(part)
                sizes = (rounded(convert(v / 1000, "length", unit)) for v in (one.length_mm, one.width_mm))
                rows.append((marking.id, marking.side, marking.kind, part, name, *sizes, area, None))
    columns = (
        Column("marking"), Column("side"), Column("kind"), Column("sheeting"), Column("strip"), Column("length", unit),
        Column("width", unit), Column("area of this sheeting on the vehicle", square), Column("cut by"),
    )  # fmt: skip
    return Sheet("markings", "Markings: strips to cut", columns, tuple(rows))
