"""Measures of the batteries through the day, endurance, shore charging and the virtual low-voltage tests."""

from __future__ import annotations

from collections.abc import Iterator

from rigbook.rules.measures import Measure, Reading, Results

ALARM_V = 11.8
"""Low-voltage alarm of a 12 V system, twice that of a 24 V one (source: low-voltage-tests)."""


def _alarm_v(results: Results) -> float:
    return ALARM_V * (2.0 if results.rig.vehicle.system == "24 V" else 1.0)


def day_voltage(results: Results) -> Iterator[Reading]:
    """Lowest voltage of a bank over the working day.

    Unit: V. Limit `alarm`: 11.8 V, 23.6 V of a 24 V system. Source: low-voltage-tests.
    """
    for day in results.power.day_banks if results.power is not None else ():
        bank = results.rig.banks[day.id]
        yield Reading(
            subject=day.id,
            value=day.lowest_v,
            file=bank.file,
            line=bank.line,
            limits={"alarm": _alarm_v(results)},
            figure=f"power.day_banks[{day.id}].lowest_v",
        )


def cranks_after_day(results: Results) -> Iterator[Reading]:
    """1 where the vehicle's own bank starts the engine after the working day, else 0.

    Unit: count. No more than 40 % of its charge gone, and 9.6 V held at half its cold cranking current. Source: load-test.
    """
    for day in results.power.day_banks if results.power is not None else ():
        bank = results.rig.banks[day.id]
        if bank.own:
            yield Reading(
                subject=day.id,
                value=1.0 if day.cranks else 0.0,
                file=bank.file,
                line=bank.line,
                words={"share": f"{100 * day.end_share:.3g} %"},
            )


def isolator_hunts(results: Results) -> Iterator[Reading]:
    """1 for a stretch of the working day in which an isolator opens and closes again and again, else 0.

    Unit: count. Closed, the bank falls below where it opens; open, it rises above where it closes. Source: the day.
    """
    if results.power is None:
        return
    stretches = {str(each.name): each for each in results.rig.build.duty}
    for figure in results.power.duty or ():
        where = stretches[figure.name].where
        yield Reading(
            subject=figure.name, value=1.0 if figure.hunts else 0.0, file=where.file, line=where.line
        )  # fmt: skip


def engine_off_time(results: Results) -> Iterator[Reading]:
    """How long a saved state lasts with the engine off, from full banks, until the first bank gives out.

    Unit: s. States that last ten days are not read. Source: kibam.
    """
    points = {point.id: point for point in results.rig.states}
    for row in results.power.endurance.states if results.power is not None else ():
        if row.engine_off_h is None:
            continue
        yield Reading(
            subject=row.id,
            value=3600.0 * row.engine_off_h,
            file=points[row.id].file,
            line=points[row.id].line,
            words={"bank": row.bank or ""},
            figure=f"power.endurance.states[{row.id}].engine_off_h",
        )


def key_off_days(results: Results) -> Iterator[Reading]:
    """Days until 40 % of the charge of the vehicle's own bank is gone with the key off.

    Unit: count. Formula: drain and 5 % self-discharge a month against 0.6 RC. Source: reserve-capacity.
    """
    for row in results.power.endurance.key_off if results.power is not None else ():
        bank = results.rig.banks[row.id]
        if bank.own and row.no_start_days is not None:
            yield Reading(
                subject=row.id,
                value=row.no_start_days,
                file=bank.file,
                line=bank.line,
                words={"drain": f"{1000 * row.drain_a:.3g} mA"},
                figure=f"power.endurance.key_off[{row.id}].no_start_days",
            )


def charger_output(results: Results) -> Iterator[Reading]:
    """What a shore charger gives to all its banks.

    Unit: A. Limit `needed`: 10 A, or what stands by and a tenth of the banks' capacity. Source: kkk-a-1822e.
    """
    for row in results.power.supply.shore if results.power is not None else ():
        device = results.rig.devices[row.id]
        yield Reading(
            subject=row.id,
            value=row.output_a,
            file=device.file,
            line=device.line,
            limits={"needed": row.needed_a},
            figure=f"power.supply.shore[{row.id}].output_a",
        )


def inlet_current(results: Results) -> Iterator[Reading]:
    """What a shore charger takes through its inlet at full output.

    Unit: A. Limit `allowed`: 0.8 of the inlet's limit, as for any continuous load. Source: shore-branch.
    """
    for row in results.power.supply.shore if results.power is not None else ():
        if row.takes_a is None or row.inlet_allowed_a is None or row.inlet is None:
            continue
        device = results.rig.devices[row.id]
        yield Reading(
            subject=row.id,
            value=row.takes_a,
            file=device.file,
            line=device.line,
            limits={"allowed": row.inlet_allowed_a},
            words={"inlet": row.inlet},
            figure=f"power.supply.shore[{row.id}].takes_a",
        )


def virtual_test(results: Results) -> Iterator[Reading]:
    """1 where a low-voltage test of a fire-apparatus standard passes when run virtually, else 0; none where it cannot run.

    Unit: count. Source: low-voltage-tests.
    """
    where = results.rig.vehicle.where_of("charging")
    for row in results.power.trials if results.power is not None else ():
        if row.passes is not None:
            yield Reading(
                subject=row.id,
                value=1.0 if row.passes else 0.0,
                file=where.file,
                line=where.line,
                words={"test": row.title, "says": row.says},
                facts={"test": row.id},
            )


MEASURES: tuple[Measure, ...] = (
    Measure(name="day_voltage", per="whole", unit="V", take=day_voltage, limits=("alarm",)),
    Measure(name="cranks_after_day", per="whole", unit="count", take=cranks_after_day, words=("share",)),
    Measure(name="isolator_hunts", per="mode", unit="count", take=isolator_hunts),
    Measure(name="engine_off_time", per="mode", unit="s", take=engine_off_time, words=("bank",)),
    Measure(name="key_off_days", per="whole", unit="count", take=key_off_days, words=("drain",)),
    Measure(name="charger_output", per="device", unit="A", take=charger_output, limits=("needed",)),
    Measure(
        name="inlet_current", per="device", unit="A", take=inlet_current, limits=("allowed",), words=("inlet",)
    ),
    Measure(
        name="virtual_test", per="whole", unit="count", take=virtual_test, words=("test", "says"),
        facts={"test": ("reserve", "alternator", "full-load", "alarm")},
    ),
)  # fmt: skip
