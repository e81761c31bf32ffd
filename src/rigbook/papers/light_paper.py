"""The light report on paper: warning by zone, the polar drawing, what eyes see in saved states, lamps and colours; and
the same as sheets."""

from __future__ import annotations

from typing import Any

from rigbook.light.grid import BEARINGS_DEG, ELEVATIONS_DEG, zone_points
from rigbook.light.result import LEVELS
from rigbook.papers.chapter import Desk
from rigbook.papers.drawings import drawing_pieces
from rigbook.papers.pieces import DASH, Piece, column, group, heading, paragraph, small, table
from rigbook.papers.sheets import Cell, Column, Sheet, rounded

ZONES = {"front": "A front", "right": "B right", "rear": "C rear", "left": "D left"}


def pieces(desk: Desk) -> list[Piece]:
    """The chapter: is the vehicle seen from everywhere, in every mode, whatever state it is in."""
    light = desk.report["light"]
    found = [heading("Light report")]
    if light["warning"]:
        found += _warning(desk, light["warning"])
        found += drawing_pieces("around", desk.rig, desk.report)
    else:
        found.append(paragraph("Warning by zone was not worked out; the findings say why."))
    if light["states"]:
        found += _states(light["states"])
    if light["lamps"]:
        found += _lamps(desk, light["lamps"])
    if light["colour"]:
        found += [*_colours(desk, light["colour"]), *drawing_pieces("colours", desk.rig, desk.report)]
    return found


def whole(value: float | None) -> str:
    """A power or rate as printed: whole, thousands parted; a dash where there is none."""
    return DASH if value is None else f"{value:,.0f}".replace(",", " ")


def _warning(desk: Desk, rows: list[dict[str, Any]]) -> list[Piece]:
    cells: list[Any] = []
    for mode in dict.fromkeys(row["mode"] for row in rows):
        cells.append(group(f"Mode {mode}"))
        for row in (r for r in rows if r["mode"] == mode):
            cells.append([
                ZONES[row["zone"]], row["level"], str(row["lamps"]), whole(row["cd_s_per_min"]), whole(row["required"]),
                whole(row["nothing_lost_cd_s_per_min"]), f"{whole(row['point_cd_s_per_min'])} at {row['point_at_deg']:g}",
                whole(row["required_point"]), whole(row["raised_cd_s_per_min"]), whole(row["required_raised"]),
                whole(row["flashes_per_min"]), whole(row["pulses_per_min"]), ", ".join(row["colours"]) or DASH,
            ])  # fmt: skip
    columns = [
        column("Zone"), column("Level"), column("Lamps", number=True), column("Sum, least", number=True),
        column("asked", number=True), column("nothing lost", number=True), column("Point, least at deg", number=True),
        column("asked", number=True), column("5 deg up or down", number=True), column("asked", number=True),
        column("Flashes", number=True), column("Pulses", number=True), column(desk.words("Colours"), share=1),
    ]  # fmt: skip
    witnesses = [
        [f"{row['mode']}, {ZONES[row['zone']]}, {row['level']}", _state(row["witness"]), _state(row["flashes_witness"])]
        for row in rows
        if row["level"] == "all"
    ]
    asked = any(row["required"] is not None for row in rows)
    return [
        table(caption="Optical power in cd s/min, the least of every reachable state", columns=columns, rows=cells, size=6.5),
        small(
            "Sum of the 19 points of a zone on the horizontal, every 5 deg, end points whole (from memory); steady-burning light "
            "does not count. Flashes a minute: the least that a point sees; pulses: the most. Lost signals are counted in, but "
            "for the column that says so. "
            + ("What is asked stands in the rule packs in use with its mark: read the findings. " if asked else
               "No rule pack in use asks a figure. ")
            + "Beams of parts without a photometric file are the model from peak and widths (common practice, no source)."
        ),
        table(
            caption="The states behind the least sums and the slowest rates",
            columns=[column("Mode, zone, level"), column("Least sum", share=1), column("Slowest rate", share=1)],
            rows=witnesses, size=7.0,
        ),
    ]  # fmt: skip


def _state(witness: dict[str, Any]) -> str:
    values = ", ".join(f"{name} {value}" for name, value in witness["set"].items()) or "at rest"
    lost = f"; lost: {', '.join(witness['lost'])}" if witness["lost"] else ""
    return values + lost


def _states(states: list[dict[str, Any]]) -> list[Piece]:
    cells: list[Any] = []
    for state in states:
        veil = (
            f", veil for an oncoming driver {state['veil_cd_m2']:.3g} cd/m2 at {state['veil_at_m']:g} m"
            if state["veil_at_m"]
            else ""
        )
        cells.append(group(f"{state['id']}{veil}"))
        for zone in state["zones"]:
            lux = [f"{zone[f'{what}_{d}_lx']:.3g}" for d in (3, 30, 150) for what in ("peak", "mean")]
            cells.append([ZONES[zone["id"]], ", ".join(zone["colours"]) or DASH, whole(zone["flashes_per_min"]),
                          whole(zone["pulses_per_min"]), *lux])  # fmt: skip
    columns = [
        column("From"), column("Colours", share=1), column("Flashes", number=True), column("Pulses", number=True),
        *(column(f"{what} {d} m", number=True) for d in (3, 30, 150) for what in ("Peak", "Mean")),
    ]  # fmt: skip
    return [
        heading("Seen from around", level=2),
        table(caption="Saved states: flashes and pulses a minute, illuminance at an eye in lx", columns=columns, rows=cells, size=7.5),
        small(
            "Eyes 1.5 m up, 3, 30 and 150 m from the outline, looking at the vehicle; oncoming drivers of 70 years in the next lane, 10 to "
            "150 m ahead, veiled by steady light alone (stands: common practice, no source; glare: CIE 146). More than 3 pulses a second can "
            "set off seizures in photosensitive people."
        ),
    ]  # fmt: skip


def _lamps(desk: Desk, lamps: list[dict[str, Any]]) -> list[Piece]:
    alike: dict[tuple[str, ...], list[str]] = {}
    for lamp in lamps:
        how = {"beam": "beam model", "lumens": "lumens alone"}.get(lamp["light"], lamp["light"])
        least, most = lamp["least_flashes_per_min"], lamp["greatest_flashes_per_min"]
        rate = DASH if least is None else whole(least) if least == most else f"{whole(least)} to {whole(most)}"
        key = (lamp["colour"], whole(lamp["peak_cd"]), whole(lamp["total_lm"]), rate, whole(lamp["axis_cd_s_per_min"]),
               whole(lamp["effective_cd"]), how)  # fmt: skip
        alike.setdefault(key, []).append(lamp["id"].rsplit(".", 1)[0])
    rows = [[", ".join(names), *key] for key, names in alike.items()]
    columns = [
        column("Lamps", share=1), column(desk.words("Colour")), column("Peak cd", number=True), column("Flux lm", number=True),
        column("Flashes a minute", number=True), column("On the axis, least cd s/min", number=True),
        column("Effective, least cd", number=True), column("Light by"),
    ]  # fmt: skip
    return [
        heading("Warning lamps", level=2),
        table(caption="Warning lamps, equal ones together", columns=columns, rows=rows, size=7.0),
        small("Peak outside the glass. Effective intensity by the form factor with 0.2 s (from memory): for the night, at threshold."),
    ]  # fmt: skip


def _colours(desk: Desk, colours: list[dict[str, Any]]) -> list[Piece]:
    rows = [
        [c["id"], f"{c['x']:.4f}", f"{c['y']:.4f}", ", ".join(c["inside"]) or DASH, ", ".join(c["outside"]) or DASH,
         DASH if c["temperature_k"] is None else f"{c['temperature_k']:.0f}"]
        for c in colours
    ]  # fmt: skip
    columns = [column("Part", share=1), column("x", number=True), column("y", number=True), column("Inside"), column("Outside"),
               column("K", number=True)]  # fmt: skip
    title = desk.words("Colours of the parts")
    return [
        heading(title, level=2),
        table(caption=f"{title} by each edition of boundaries", columns=columns, rows=rows, size=7.0),
    ]


# --- sheets ----------------------------------------------------------------------------------------------------------


def warning_sheet(desk: Desk) -> Sheet:
    """Warning by mode, zone and level."""
    keys = (
        ("cd_s_per_min", "sum, least", "cd s/min"), ("required", "sum asked", "cd s/min"),
        ("half_ends_cd_s_per_min", "sum with end points half", "cd s/min"),
        ("nothing_lost_cd_s_per_min", "sum, nothing lost", "cd s/min"), ("point_cd_s_per_min", "point, least", "cd s/min"),
        ("point_at_deg", "at", "deg"), ("required_point", "point asked", "cd s/min"),
        ("raised_cd_s_per_min", "5 deg up or down, least", "cd s/min"), ("required_raised", "5 deg asked", "cd s/min"),
        ("flashes_per_min", "flashes, least", "1/min"), ("pulses_per_min", "pulses, most", "1/min"),
    )  # fmt: skip
    rows: list[tuple[Cell, ...]] = [
        (row["mode"], row["zone"], row["level"], row["lamps"],
         *(None if row[key] is None else rounded(row[key]) for key, _, _ in keys), ", ".join(row["colours"]),
         _state(row["witness"]))
        for row in desk.report["light"]["warning"] or ()
    ]  # fmt: skip
    columns = (
        Column("mode"), Column("zone"), Column("level"), Column("lamps"), *(Column(title, unit) for _, title, unit in keys),
        Column(desk.words("colours")), Column("state of the least sum"),
    )  # fmt: skip
    return Sheet("warning", "Warning by zone", columns, tuple(rows))


def grid_sheet(desk: Desk) -> Sheet:
    """The standard's grid: least optical power of every point, by mode and level."""
    rows: list[tuple[Cell, ...]] = []
    light = desk.assessment.light
    for mode in light.modes if light is not None else ():
        for level in LEVELS:
            least = mode.power(level).min(axis=0)
            for zone in ZONES:
                for up, elevation in enumerate(ELEVATIONS_DEG):
                    for place in map(int, zone_points(zone)):
                        value = rounded(float(least[up, place]))
                        rows.append((mode.asked.id, zone, level, BEARINGS_DEG[place], elevation, value))
    columns = (
        Column("mode"), Column("zone"), Column("level"), Column("bearing", "deg"), Column("elevation", "deg"),
        Column("least", "cd s/min"),
    )  # fmt: skip
    return Sheet("warning-grid", "Warning grid", columns, tuple(rows))


def observers_sheet(desk: Desk) -> Sheet:
    """Saved states seen from around."""
    lux = tuple(f"{what}_{d}_lx" for d in (3, 30, 150) for what in ("peak", "mean"))
    rows: list[tuple[Cell, ...]] = [
        (state["id"], zone["id"], ", ".join(zone["colours"]), rounded(zone["flashes_per_min"]), rounded(zone["pulses_per_min"]),
         *(rounded(zone[key]) for key in lux), rounded(state["veil_cd_m2"]), state["veil_at_m"])
        for state in desk.report["light"]["states"] or ()
        for zone in state["zones"]
    ]  # fmt: skip
    columns = (
        Column("state"), Column("from"), Column(desk.words("colours")), Column("flashes", "1/min"), Column("pulses", "1/min"),
        *(Column(f"{what} at {d} m", "lx") for d in (3, 30, 150) for what in ("peak", "mean")), Column("veil", "cd/m2"),
        Column("veil at", "m"),
    )  # fmt: skip
    return Sheet("observers", "Seen from around", columns, tuple(rows))
