"""Light to work by, on paper: the areas with their figures, what each lamp adds, the ground as a drawing; and as sheets."""

from __future__ import annotations

from typing import Any

from rigbook.light.areas import state_of
from rigbook.light.ground import ground_map, lit_states
from rigbook.light.scene import lighting_of
from rigbook.papers.chapter import Desk
from rigbook.papers.drawings import drawing_pieces
from rigbook.papers.pieces import DASH, Piece, column, heading, paragraph, small, table
from rigbook.papers.sheets import Cell, Column, Sheet, rounded
from rigbook.quantities.show import convert

SHEET_SPACING_M = 1.0


def pieces(desk: Desk) -> list[Piece]:
    """The chapter: what the crew has to see by, area for area, and the ground around the vehicle."""
    found = [heading("Light to work by")]
    rows = desk.report["light"]["scene"] or []
    if rows:
        found += _areas(desk, rows)
    else:
        found.append(paragraph("No area to work in is on record under `scene:`."))
    found += drawing_pieces("ground", desk.rig, desk.report)
    return found


def _areas(desk: Desk, rows: list[dict[str, Any]]) -> list[Piece]:
    unit = _unit(desk)
    asked = {area.id: area for area in desk.rig.build.scene}
    cells = [
        [row["name"], row["title"], row["state"], _marked(desk, row, "average_lx"), _marked(desk, row, "minimum_lx"),
         DASH if row["uniformity"] is None else f"{row['uniformity']:.2f}", _marked(desk, row, "vertical_average_lx"),
         _shown(desk, asked[row["name"]].average), _shown(desk, asked[row["name"]].least), row["task"] or DASH, ""]
        for row in rows
    ]  # fmt: skip
    columns = [
        column("Area"), column("What", share=1), column("State"), column(f"Average {unit}", number=True),
        column(f"Least {unit}", number=True), column("Least / average", number=True), column(f"Upright {unit}", number=True),
        column("Asked: average", number=True), column("Asked: least", number=True), column("Task"),
        column(f"Measured {unit}", least_mm=16),
    ]  # fmt: skip
    adds = [
        [row["name"], lamp["id"], _shown(desk, lamp["average_lx"])]
        for row in rows
        for lamp in row["lamps"]
        if lamp["average_lx"] >= 0.01 * row["average_lx"]
    ]
    return [
        table(caption="Areas to work in, each in its state", columns=columns, rows=cells, size=7.5, form=True),
        small(
            "Upright: average on upright planes that face the vehicle, at the same points of the ground. Levels by task stand "
            "among the findings, with their source. Worked out of the beams as entered, past the outline of the vehicle, "
            "with clean lenses and no light of the surroundings: measure where a figure decides."
        ),
        table(
            caption="What each lamp adds to the average (one per cent and more)",
            columns=[column("Area"), column("Lamp and colour", share=1), column(unit, number=True)],
            rows=adds,
        ),
    ]


def _unit(desk: Desk) -> str:
    return "fc" if desk.us else "lx"


def _runs(desk: Desk) -> tuple[str, str]:
    """Units of a distance on the ground and of an area."""
    return ("ft", "ft2") if desk.us else ("m", "m2")


def _shown(desk: Desk, lux: float | None) -> str:
    return DASH if lux is None else f"{convert(lux, 'illuminance', _unit(desk)):.3g}"


def _marked(desk: Desk, row: dict[str, Any], key: str) -> str:
    """A level with its mark."""
    return _shown(desk, row[key]) + desk.mark(f"light.scene[{row['name']}].{key}", row[key])


# --- sheets ----------------------------------------------------------------------------------------------------------


def areas_sheet(desk: Desk) -> Sheet:
    """Every area with its figures."""
    unit, run, square = _unit(desk), *_runs(desk)

    def light(lux: float | None) -> Cell:
        return None if lux is None else rounded(convert(lux, "illuminance", unit))

    rows: list[tuple[Cell, ...]] = [
        (
            row["name"], row["title"], row["state"], row["task"], light(row["average_lx"]), light(row["minimum_lx"]),
            light(row["maximum_lx"]), None if row["uniformity"] is None else rounded(row["uniformity"]),
            light(row["vertical_average_lx"]), light(row["vertical_minimum_lx"]), light(row["unshaded_average_lx"]),
            rounded(convert(row["area_m2"], "area", square)), rounded(convert(row["spacing_m"], "length", run)), row["points"], None,
        )
        for row in desk.report["light"]["scene"] or ()
    ]  # fmt: skip
    columns = (
        Column("area"), Column("title"), Column("state"), Column("task"), Column("average", unit), Column("least", unit),
        Column("greatest", unit), Column("least over average"), Column("upright, average", unit), Column("upright, least", unit),
        Column("average without shadow", unit), Column("area", square), Column("spacing", run), Column("points"),
        Column("measured", unit),
    )  # fmt: skip
    return Sheet("areas", "Areas to work in", columns, tuple(rows))


def ground_sheet(desk: Desk) -> Sheet:
    """Illuminance on the ground to 30 m, a row a point, for every saved state that is worth a map."""
    rig, unit, run = desk.rig, _unit(desk), _runs(desk)[0]
    lighting, _ = lighting_of(rig, rig.light)
    rows: list[tuple[Cell, ...]] = []
    for state in lit_states(rig, lighting):
        found = ground_map(lighting, lighting.burning(state_of(rig, state)), spacing_m=SHEET_SPACING_M)
        for row, y in enumerate(found.y_m.tolist()):
            for place, x in enumerate(found.x_m.tolist()):
                if not found.covered[row, place]:
                    lux = (float(found.level_lx[row, place]), float(found.upright_lx[row, place]))
                    level, upright = (rounded(convert(v, "illuminance", unit)) for v in lux)
                    rows.append((state.id, *(rounded(convert(v, "length", run)) for v in (x, y)), level, upright))
    columns = (
        Column("state"), Column("x", run), Column("y", run), Column("level", unit), Column("upright, facing the vehicle", unit),
    )  # fmt: skip
    return Sheet("ground", "Light on the ground", columns, tuple(rows))
