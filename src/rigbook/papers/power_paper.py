"""Power on paper: one-line diagram, load list, supply by state, the batteries' day, wires, bundles, protection."""

from __future__ import annotations

from collections.abc import Iterable

from rigbook.papers import day_chart, one_line, supply_paper, time_current
from rigbook.papers.chapter import Desk, amperes, rating
from rigbook.papers.pieces import DASH, Piece, caution, column, drawing, heading, paragraph, small, table
from rigbook.papers.sheets import Cell, Column, Sheet, rounded
from rigbook.power.protection import Protection
from rigbook.quantities.show import convert
from rigbook.rig.model import Segment

CLASSES = {"minimum": "minimum", "total": "total", "intermittent": "intermittent"}
"""Load classes in their order: minimum continuous, total continuous, intermittent."""


def pieces(desk: Desk) -> list[Piece]:
    """The chapter."""
    found: list[Piece] = [
        heading("Power"),
        caution(
            "Every figure is worked out from what was entered. Measure before the vehicle leaves: a loose joint or a thinner wire is not in here."
        ),
    ]
    found += [drawing(plate.document, caption=plate.title) for plate in one_line.one_line(desk.rig)]
    found += [
        *_loads(desk),
        *_supply(desk),
        *_day(desk),
        *supply_paper.pieces(desk),
        *_wires(desk),
        *_bundles(desk),
        *_protection(desk),
        *_outputs(desk),
    ]
    return found


# --- loads ------------------------------------------------------------------------------------------------


def load_rows(desk: Desk) -> list[tuple[str, str, str, float | None, float | None, float | None, str]]:
    """Installed row, class, feed, name-plate, highest average of the saved states, worst average, shed step."""
    rig, power = desk.rig, desk.assessment.power
    worst = {each.id: each for each in power.devices} if power else {}
    rows = []
    for device in rig.devices.values():
        feeds = dict.fromkeys(draw.feed_id for draw in device.draws if draw.feed_id)
        feed = rig.feeds.get(next(iter(feeds), ""))
        figures = worst.get(device.id)
        if feed is None or figures is None:
            continue
        shed = "never" if feed.sheds is None else str(feed.sheds)
        rows.append(
            (device.id, CLASSES[feed.load_class], feed.id, figures.nameplate_a, desk.normal("device", device.id),
             figures.worst_average_a, shed)
        )  # fmt: skip
    return sorted(rows, key=lambda row: list(CLASSES.values()).index(row[1]))


def _loads(desk: Desk) -> list[Piece]:
    rows = [
        [item, kind, feed, amperes(plate), amperes(normal), amperes(worst), "", shed]
        for item, kind, feed, plate, normal, worst, shed in load_rows(desk)
    ]
    if not rows:
        return [heading("Load list", level=2), paragraph("Nothing draws current.")]
    columns = [
        column("Item", share=1), column("Class"), column("Feed"), column("Name-plate A", number=True),
        column("Average A", number=True), column("Worst average A", number=True), column("Measured A", least_mm=16.0),
        column("Shed step"),
    ]  # fmt: skip
    note = "Average A is the highest over the saved states, worst average the most over every reachable state. What is classed minimum is never shed."
    return [
        heading("Load list", level=2),
        table(caption="Loads by class", columns=columns, rows=rows, size=8),
        small(note),
    ]


def load_sheet(desk: Desk) -> Sheet:
    """The load list as a sheet."""
    rows: list[tuple[Cell, ...]] = [
        (item, kind, feed, rounded(plate), rounded(normal), rounded(worst), None, shed)
        for item, kind, feed, plate, normal, worst, shed in load_rows(desk)
    ]
    columns = (
        Column("item"), Column("class"), Column("feed"), Column("name-plate", "A"), Column("average", "A"),
        Column("worst average", "A"), Column("measured", "A"), Column("shed step"),
    )  # fmt: skip
    return Sheet("loads", "Load list", columns, tuple(rows))


def _supply(desk: Desk) -> list[Piece]:
    power = desk.assessment.power
    if power is None or not power.supply.states:
        return []
    rows = [
        [
            state.title if (state := point) else "",
            amperes(figures.average_a),
            amperes(figures.output_a),
            amperes(figures.margin_a),
        ]
        for point, figures in zip(desk.rig.states, power.supply.states, strict=False)
    ]
    worst = power.supply.worst_running
    if worst is not None:
        rows.append(["worst reachable, engine running, idle", amperes(worst.worst_average_a + worst.base_a),
                     amperes(power.supply.idle_output_a), amperes(worst.idle_margin_a)])  # fmt: skip
    columns = [
        column("State", share=1), column("Draws A", number=True), column("Alternator gives, hot A", number=True),
        column("Margin A", number=True),
    ]  # fmt: skip
    return [
        heading("Supply by state", level=2),
        table(caption="Average draw with the vehicle's own load, and the hot alternator", columns=columns, rows=rows),
    ]


def _day(desk: Desk) -> list[Piece]:
    power = desk.assessment.power
    if power is None or not power.duty:
        return []
    found: list[Piece] = [heading("The batteries through the day", level=2)]
    found += [drawing(plate.document, caption=plate.title) for plate in day_chart.day_chart(desk.rig)]
    if power.day_banks:
        rows = [
            [
                bank.id,
                f"{bank.full_ah:.0f}",
                f"{bank.lowest_ah:.0f}",
                f"{bank.lowest_v:.2f}",
                f"{bank.end_ah:.0f}",
                "yes" if bank.cranks else "no",
            ]
            for bank in power.day_banks
        ]
        columns = [
            column("Bank", share=1), column("Full Ah", number=True), column("Lowest Ah", number=True),
            column("Lowest V", number=True), column("At the end Ah", number=True), column("Starts the engine then"),
        ]  # fmt: skip
        found.append(table(caption="Banks over the day", columns=columns, rows=rows))
    return found


# --- wires and bundles ----------------------------------------------------------------------------------------


def _judged(desk: Desk) -> Iterable[tuple[Segment, object]]:
    power = desk.assessment.power
    guarded = {each.id: each for each in power.guarded} if power else {}
    for segment in desk.rig.segments.values():
        if segment.role not in ("lead", "signal"):
            yield segment, guarded.get(segment.id)


def _verdict(found: object) -> str:
    protected = getattr(found, "protected", None)
    return {True: "protected", False: "NOT PROTECTED"}.get(protected, DASH) if protected is not None else DASH


def _wires(desk: Desk) -> list[Piece]:
    rows = []
    for segment, found in _judged(desk):
        rows.append([
            segment.from_point, segment.to_point, str(segment.conductor.gauge), desk.length(segment.length_m),
            amperes(segment.heating_a), amperes(segment.dropping_a), amperes(segment.nameplate_a),
            amperes(getattr(found, "carries_a", None), 1), getattr(found, "guard", DASH), _verdict(found),
        ])  # fmt: skip
    columns = [
        column("From", share=1), column("To", share=1), column("Wire"), column(f"Length {desk.small_unit}", number=True),
        column("RMS A", number=True), column("Peak A", number=True), column("Name-plate A", number=True),
        column("Carries A", number=True), column("Behind"), column("Verdict"),
    ]  # fmt: skip
    note = "RMS heats a wire, peak loses voltage: each the most over every reachable state. Carries A is the corrected ampacity where its way limits it most."
    return [heading("Wires", level=2), table(caption="Conductors", columns=columns, rows=rows, size=6.5), small(note)]


def bundle_sheet(desk: Desk) -> Sheet:
    """Bundles as a sheet."""
    unit = desk.small_unit
    power = desk.assessment.power

    def size(value_m: float | None) -> float | None:
        return None if value_m is None else rounded(convert(value_m, "length", unit))

    rows: list[tuple[Cell, ...]] = [
        (b.id, b.area, b.conductors, b.loaded, size(b.outside_m), size(b.loom_m), size(b.hole_m),
         None if b.fill_fraction is None else rounded(100 * b.fill_fraction))
        for b in (power.bundles if power else ())
    ]  # fmt: skip
    columns = (
        Column("run"), Column("area"), Column("wires"), Column("loaded at once"), Column("outside diameter", unit),
        Column("loom, inside", unit), Column("hole, with grommet", unit), Column("fill", "%"),
    )  # fmt: skip
    return Sheet("bundles", "Bundles", columns, tuple(rows))


def wire_sheet(desk: Desk) -> Sheet:
    """Conductors with what protects them, as a sheet."""
    rows: list[tuple[Cell, ...]] = []
    unit = desk.small_unit
    for segment, found in _judged(desk):
        rows.append((
            segment.from_point, segment.to_point, str(segment.conductor.gauge), rounded(convert(segment.length_m, "length", unit)),
            rounded(segment.heating_a), rounded(segment.dropping_a), rounded(segment.nameplate_a),
            rounded(getattr(found, "carries_a", None)), getattr(found, "guard", None), rounded(getattr(found, "guard_a", None)),
            rounded(getattr(found, "fault_a", None)), rounded(getattr(found, "clears_s", None)),
            rounded(getattr(found, "withstands_s", None)), _verdict(found), segment.conductor.why,
        ))  # fmt: skip
    columns = (
        Column("from"), Column("to"), Column("wire"), Column("length", unit), Column("worst RMS", "A"), Column("worst peak", "A"),
        Column("name-plate", "A"), Column("carries", "A"), Column("behind"), Column("rating or limit", "A"),
        Column("least short", "A"), Column("cleared within", "s"), Column("stands it", "s"), Column("verdict"), Column("why this wire"),
    )  # fmt: skip
    return Sheet("wires", "Wires and what protects them", columns, tuple(rows))


def _bundles(desk: Desk) -> list[Piece]:
    sheet = bundle_sheet(desk)
    if not sheet.rows:
        return []
    small_sizes = 2 if desk.us else 1
    rows = [
        [
            str(r[0]),
            str(r[1]),
            str(r[2]),
            str(r[3]),
            *(_decimal(value, small_sizes) for value in r[4:7]),
            _decimal(r[7], 0),
        ]
        for r in sheet.rows
    ]
    unit = desk.small_unit
    columns = [
        column("Run", share=1), column("Area"), column("Wires", number=True), column("Loaded", number=True),
        column(f"Outside {unit}", number=True), column(f"Loom {unit}", number=True), column(f"Hole {unit}", number=True),
        column("Fill %", number=True),
    ]  # fmt: skip
    note = "Up to seven wires by the circle that holds them, more by 1.2 x the root of the sum of squares. Every hole gets a grommet before the bundle goes through."
    return [
        heading("Bundles", level=2),
        table(caption="Bundles by run", columns=columns, rows=rows, size=8),
        small(note),
    ]


def _decimal(value: Cell, places: int) -> str:
    return f"{value:.{places}f}" if isinstance(value, int | float) else DASH


# --- protection ------------------------------------------------------------------------------------------------


def _word(value: bool | None) -> str:
    return DASH if value is None else "yes" if value else "NO"


def _protection(desk: Desk) -> list[Piece]:
    power = desk.assessment.power
    if power is None or not power.protection:
        return []
    rows = [_protection_row(found) for found in power.protection]
    columns = [
        column("Fuse or breaker", share=1), column("Form"), column("Rating A", number=True), column("Keeps hot A", number=True),
        column("Short behind it A", number=True), column("Breaks it"), column("Far short A", number=True), column("Clears in time"),
        column("Bears inrush"), column("First to open"),
    ]  # fmt: skip
    note = "First to open: at every short behind it this fuse surely opens before the one above; beyond the printed gates by heat. A dash was not worked out or does not apply."
    return [
        heading("Protection", level=2),
        table(caption="Fuses, breakers and their verdicts", columns=columns, rows=rows, size=7.5),
        small(note),
        *(
            drawing(plate.document, caption=plate.title, max_height_mm=105.0)
            for plate in time_current.plates(desk.rig, telling=True)
        ),
    ]


def _protection_row(found: Protection) -> list[str]:
    return [
        found.id, found.form, rating(found.fuse_a), amperes(found.rerated_a, 1), amperes(found.prospective_a, 0), _word(found.breaks),
        amperes(found.fault_a, 0), _word(found.clears), _word(found.holds_inrush), _word(found.selective),
    ]  # fmt: skip


def _outputs(desk: Desk) -> list[Piece]:
    found = desk.rig.choices.outputs_found
    if found is None:
        return []
    proven = (
        "no better ones exist"
        if found.proven
        else f"at most {100 * found.gap_fraction:.2g} % of their copper could be saved"
    )
    text = (
        f"{found.channels} channels stand on {found.outputs} outputs of {found.modules} controllers and modules, of {found.modules_fitted} fitted; "
        f"one output for each channel would be {found.spared} more. Of what was left to auto {proven}."
    )
    return [heading("Outputs", level=2), paragraph(text)]
