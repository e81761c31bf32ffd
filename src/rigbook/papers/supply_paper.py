"""What the supply needs and how long it lasts, on paper: engine speed and shedding, start-up, shore, the day, endurance,
virtual tests; and the same as sheets."""

from __future__ import annotations

from rigbook.papers.chapter import Desk, amperes
from rigbook.papers.pieces import DASH, Piece, caution, column, heading, small, table
from rigbook.papers.sheets import Cell, Column, Sheet, rounded
from rigbook.power.duty import plant_and_day
from rigbook.power.result import PowerResult


def _hours(value: float | None) -> str:
    return DASH if value is None else f"{value:.1f}"


def _word(value: bool | None) -> str:
    return DASH if value is None else "yes" if value else "NO"


def pieces(desk: Desk) -> list[Piece]:
    """What stands behind the tables of supply and the day."""
    power = desk.assessment.power
    if power is None:
        return []
    return [
        *_needs(desk, power),
        *_start_up(power),
        *_shore(power),
        *_events(power),
        *_lasting(desk, power),
        *_tests(power),
    ]


# --- what the charging system must do ------------------------------------------------------------------------


def _needs(desk: Desk, power: PowerResult) -> list[Piece]:
    if not power.supply.needs:
        return []
    titles = {point.id: point.title for point in desk.rig.states}
    rows = []
    for need in power.supply.needs:
        steps = ", ".join(f"{step.step}: {step.margin_a:+.0f} A" for step in need.sheds)
        holds = DASH if need.holds_at_step == 0 else steps or "nothing sheds"
        speed = DASH if need.needed_rpm is None else f"{need.needed_rpm:.0f}"
        rows.append(
            [
                titles[need.id],
                amperes(need.margin_a),
                speed,
                amperes(need.high_idle_margin_a),
                _asks(need.needs_high_idle),
                holds,
            ]
        )
    columns = [
        column("State", share=1), column("Margin A", number=True), column("Carried from rpm", number=True),
        column("At high idle A", number=True), column("Asks for high idle"), column("Margin with steps shed", share=1),
    ]  # fmt: skip
    note = "Carried from: least engine speed at which the hot alternator carries the state. A step sheds all feeds of that number and below; what is never shed stays."
    return [
        heading("High idle and shedding", level=2),
        table(caption="What each state with the engine running asks for", columns=columns, rows=rows, size=8),
        small(note),
    ]


def _asks(value: bool) -> str:
    return "yes" if value else "no"


def _start_up(power: PowerResult) -> list[Piece]:
    if not power.supply.start_up:
        return []
    rows = [
        [f"{step.after_s:g}", ", ".join(step.feeds) or DASH, amperes(step.added_a), amperes(step.flowing_a)]
        for step in power.supply.start_up
    ]
    columns = [
        column("After key on s", number=True), column("Feeds", share=1), column("Comes A", number=True),
        column("Flows then A", number=True),
    ]  # fmt: skip
    return [
        heading("Start-up", level=2),
        table(caption="What comes when, in the state that draws most", columns=columns, rows=rows, size=8),
    ]


def _shore(power: PowerResult) -> list[Piece]:
    if not power.supply.shore:
        return []
    rows = [
        [
            each.id, ", ".join(each.banks), amperes(each.output_a, 1), amperes(each.standby_a, 1), amperes(each.needed_a, 1),
            each.inlet or DASH, amperes(each.takes_a, 1), amperes(each.inlet_allowed_a, 1),
        ]
        for each in power.supply.shore
    ]  # fmt: skip
    columns = [
        column("Charger", share=1), column("Banks", share=1), column("Gives A", number=True), column("Stands by A", number=True),
        column("Should give A", number=True), column("Inlet"), column("Takes AC A", number=True), column("Inlet carries A", number=True),
    ]  # fmt: skip
    return [
        heading("Shore charging", level=2),
        caution(
            "The shore side is work for those licensed for it: ground, polarity and ground-fault trip are tested before use."
        ),
        table(caption="Charger and inlet", columns=columns, rows=rows, size=8),
        small(
            "Should give: what stands by and a tenth of the banks' capacity, at least 10 A. Inlet carries: 80 % of its limit."
        ),
    ]


# --- how long it lasts -----------------------------------------------------------------------------------------


def _events(power: PowerResult) -> list[Piece]:
    if not power.day_events:
        return []
    rows = [[f"{event.at_h:.2f}", event.says] for event in power.day_events]
    columns = [column("Hours", number=True), column("What happens", share=1)]
    return [table(caption="Events of the working day", columns=columns, rows=rows, size=8)]


def _lasting(desk: Desk, power: PowerResult) -> list[Piece]:
    found = power.endurance
    if not found.states and not found.key_off:
        return []
    titles = {point.id: point.title for point in desk.rig.states}
    rows = [
        [
            titles[s.id],
            amperes(s.draws_a, 1),
            s.bank or DASH,
            _hours(s.alarm_h),
            _hours(s.engine_off_h),
            _word(s.cranks),
        ]
        for s in found.states
    ]
    columns = [
        column("State, engine off", share=1), column("Draws A", number=True), column("Empty first"), column("Alarm after h", number=True),
        column("Lasts h", number=True), column("Starts then"),
    ]  # fmt: skip
    made: list[Piece] = [heading("How long the batteries last", level=2)]
    if rows:
        made.append(table(caption="From full banks at 25 C", columns=columns, rows=rows, size=8))
    off = [
        [each.id, amperes(1000 * each.drain_a, 0), DASH if each.no_start_days is None else f"{each.no_start_days:.0f}"]
        for each in found.key_off
    ]
    columns = [
        column("Bank, key off", share=1),
        column("Drain mA", number=True),
        column("Days to 40 % gone", number=True),
    ]
    made.append(table(caption="Parked with the key off", columns=columns, rows=off, size=8))
    again = DASH if found.recharge_h is None else f"{found.recharge_h:.1f} h by the {found.recharge_by}"
    made.append(
        small(f"Back to 95 % from the least charge of the day: {again}. New batteries: age takes from every figure.")
    )
    return made


def _tests(power: PowerResult) -> list[Piece]:
    if not power.trials:
        return []
    rows = [[each.title, amperes(each.load_a, 1), _word(each.passes), each.says] for each in power.trials]
    columns = [
        column("Test", share=1),
        column("Load A", number=True),
        column("Passes"),
        column("What it came to", share=1),
    ]
    return [
        heading("Low-voltage tests, run virtually", level=2),
        table(caption="Before they are run on the vehicle", columns=columns, rows=rows, size=8),
        small(
            "Minimum and total continuous load by the load classes of the feeds, in the saved state that draws most. Run the tests themselves by the current edition."
        ),
    ]


# --- sheets ----------------------------------------------------------------------------------------------------


def supply_sheet(desk: Desk) -> Sheet:
    """Power by state: what draws, what charges, what it needs."""
    power = desk.assessment.power
    needs = {need.id: need for need in power.supply.needs} if power else {}
    rows: list[tuple[Cell, ...]] = []
    for point, state in zip(desk.rig.states, power.supply.states if power else (), strict=False):
        need = needs.get(state.id)
        rows.append((
            state.id, point.title, rounded(state.equipment_a), rounded(state.factory_a), rounded(state.base_a),
            rounded(state.average_a), rounded(state.output_a), rounded(state.margin_a),
            None if need is None else rounded(need.needed_rpm), None if need is None else rounded(need.high_idle_margin_a),
            None if need is None else need.holds_at_step,
        ))  # fmt: skip
    columns = (
        Column("state"), Column("title"), Column("equipment", "A"), Column("factory lamps taken", "A"), Column("the vehicle itself", "A"),
        Column("average", "A"), Column("hot output", "A"), Column("margin", "A"), Column("carried from", "rpm"),
        Column("margin at high idle", "A"), Column("holds at shed step"),
    )  # fmt: skip
    return Sheet("supply", "Power by state", columns, tuple(rows))


def day_sheet(desk: Desk) -> Sheet:
    """The working day: a row a stretch and bank."""
    power = desk.assessment.power
    rows: list[tuple[Cell, ...]] = [
        (stretch.name, rounded(stretch.hours), name, rounded(bank.start_ah), rounded(bank.end_ah), rounded(bank.drawn_ah),
         rounded(bank.put_ah), rounded(bank.lowest_v))
        for stretch in ((power.duty or ()) if power else ())
        for name, bank in stretch.bank.items()
    ]  # fmt: skip
    columns = (
        Column("stretch"), Column("for", "h"), Column("bank"), Column("start", "Ah"), Column("end", "Ah"), Column("drawn", "Ah"),
        Column("put in", "Ah"), Column("lowest", "V"),
    )  # fmt: skip
    return Sheet("day", "The batteries through the day", columns, tuple(rows))


def day_curve_sheet(desk: Desk) -> Sheet:
    """The chart of the day as numbers: a row a moment."""
    _, run = plant_and_day(desk.rig)
    names = () if run is None else tuple(bank.id for bank in run.plant.banks)
    rows: list[tuple[Cell, ...]] = [
        (rounded(p.at_h), *(rounded(v) for v in p.volts), *(rounded(q) for q in p.charge_ah), rounded(p.given_a))
        for p in (() if run is None else run.points)
    ]
    columns = (
        Column("time", "h"), *(Column(name, "V") for name in names), *(Column(f"{name}, charge", "Ah") for name in names),
        Column("charging", "A"),
    )  # fmt: skip
    return Sheet("day-curve", "Charge and voltage through the day", columns, tuple(rows))


def endurance_sheet(desk: Desk) -> Sheet:
    """How long each saved state lasts with the engine off."""
    power = desk.assessment.power
    rows: list[tuple[Cell, ...]] = [
        (s.id, rounded(s.draws_a), s.bank, rounded(s.alarm_h), rounded(s.engine_off_h), "yes" if s.cranks else "no")
        for s in (power.endurance.states if power else ())
    ]
    columns = (
        Column("state"), Column("draws", "A"), Column("empty first"), Column("alarm after", "h"), Column("lasts", "h"),
        Column("starts then"),
    )  # fmt: skip
    return Sheet("endurance", "Endurance with the engine off", columns, tuple(rows))
