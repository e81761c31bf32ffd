"""Figures of the batteries' day, of endurance and of the virtual tests worked through, by the functions that gave them."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import TypeVar

from rigbook.power import bank, supply
from rigbook.power.day_result import BankKeyOff, StateEndurance, Trial
from rigbook.power.duty import DayRun, StretchRun, plant_and_day
from rigbook.power.duty_case import bank_model
from rigbook.power.endurance import ALARM_V, CHARGED_SHARE
from rigbook.power.plant import Ledger
from rigbook.power.result import PowerResult
from rigbook.quantities.working import Input, Sourced, Working
from rigbook.rig.model import Rig

DUTY = re.compile(r"power\.duty\[(.+)\]\.bank\.([^.]+)\.(start_ah|end_ah|lowest_v|drawn_ah|put_ah)")
BANK = re.compile(r"power\.day_banks\[([^\]]+)\]\.(full_ah|lowest_ah|lowest_v|end_ah|end_share|crank_v)")
EVENT = re.compile(r"power\.day_events\[([^\]]+)\]\.at_h")
ENDURANCE = re.compile(r"power\.endurance\.(engine_off_h|key_off_days|recharge_h)")
STATE = re.compile(r"power\.endurance\.states\[([^\]]+)\]\.(draws_a|alarm_h|engine_off_h)")
KEY_OFF = re.compile(r"power\.endurance\.key_off\[([^\]]+)\]\.(drain_a|no_start_days)")
TRIAL = re.compile(
    r"power\.trials\[([^\]]+)\]\.(load_a|used_share|margin_a|lowest_v|below_after_s|alarm_after_s)"
)  # fmt: skip
PATTERNS = (DUTY, BANK, EVENT, ENDURANCE, STATE, KEY_OFF, TRIAL)
HOW = (
    "Charge by the kinetic model, stepped from event to event; sources, batteries and loads balance at every instant.",
)
DAY_SOURCE = "kibam"
Row = TypeVar("Row", StateEndurance, BankKeyOff, Trial)


def explain(rig: Rig, figure_id: str, result: PowerResult) -> Working:
    """A figure of the day, of endurance or of a test. KeyError for one that is not given."""
    if match := DUTY.fullmatch(figure_id):
        return _duty(rig, figure_id, match.group(1), match.group(2), match.group(3))
    if match := BANK.fullmatch(figure_id):
        return _bank_day(rig, figure_id, match.group(1), match.group(2))
    if match := EVENT.fullmatch(figure_id):
        return _event(figure_id, result, match.group(1))
    if match := STATE.fullmatch(figure_id):
        return _state(rig, figure_id, _named(result.endurance.states, match.group(1)), match.group(2))
    if match := KEY_OFF.fullmatch(figure_id):
        return _key_off(rig, figure_id, _named(result.endurance.key_off, match.group(1)), match.group(2))
    if match := TRIAL.fullmatch(figure_id):
        return _trial(rig, figure_id, _named(result.trials, match.group(1)), match.group(2))
    if match := ENDURANCE.fullmatch(figure_id):
        return _endurance(rig, figure_id, result, match.group(1))
    raise KeyError(figure_id)


def _named(rows: Sequence[Row], name: str) -> Row:
    for row in rows:
        if row.id == name:
            return row
    raise KeyError(name)


def _working(
    figure_id: str, title: str, formula: str, result: float | None, unit: str, *, inputs: Sequence[Input] = (),
    steps: Sequence[Working | str] = (), source: str = "", sourced: Sourced = "computed",
) -> Working:  # fmt: skip
    if result is None:
        raise KeyError(figure_id)
    return Working(
        figure_id=figure_id, title=title, formula=formula, inputs=tuple(inputs), result=result, unit=unit, source=source,
        sourced=sourced, steps=tuple(steps),
    )  # fmt: skip


def _day(rig: Rig, figure_id: str) -> DayRun:
    _, run = plant_and_day(rig)
    if run is None:
        raise KeyError(figure_id)
    return run


# --- stretches ---------------------------------------------------------------------------------------------


def _model_inputs(rig: Rig, name: str) -> tuple[Input, ...]:
    record = rig.banks[name]
    model, at = bank_model(rig, record), f"{record.file}:{record.line}"
    return (
        Input(symbol="c", meaning="share at once available", value=model.kinetic.c, source=DAY_SOURCE, sourced="memory"),
        Input(symbol="k", meaning="flow between the tanks", value=model.kinetic.k_per_h, unit="1/h", source=DAY_SOURCE,
              sourced="memory"),
        Input(symbol="Q", meaning="charge of the model, fitted to the rates of the part", value=model.kinetic.full_ah,
              unit="Ah", source=at),
        Input(symbol="R", meaning="inside resistance", value=model.resistance_ohm, unit="ohm", source=at),
    )  # fmt: skip


def _duty(rig: Rig, figure_id: str, stretch: str, name: str, key: str) -> Working:
    run = _day(rig, figure_id)
    each = next((s for s in run.stretches if s.name == stretch), None)
    if each is None or name not in each.ledgers:
        raise KeyError(figure_id)
    ledger = each.ledgers[name]
    model = bank_model(rig, rig.banks[name])
    what = f"bank {name} in the stretch {stretch}"
    how = bank.profile(model.chemistry, each.setting.temperature_c, model.scale)
    cold = bank.cold_share(model.chemistry, each.setting.temperature_c)
    if key == "end_ah":
        return _working(
            figure_id, f"Charge at the end of {what}", "Q0 + eta P - D / f", max(0.0, ledger.end_ah), "Ah",
            inputs=(
                Input(symbol="Q0", meaning="charge at the start", value=ledger.start_ah, unit="Ah"),
                Input(symbol="P", meaning="put in at the posts", value=ledger.put_ah, unit="Ah"),
                Input(symbol="D", meaning="drawn at the posts", value=ledger.drawn_ah, unit="Ah"),
                Input(symbol="eta", meaning="charging efficiency", value=how.efficiency, source="charging-voltages",
                      sourced="common practice"),
                Input(symbol="f", meaning="capacity share at the temperature", value=cold, source="battery-datasheets"),
            ), steps=HOW, source=DAY_SOURCE, sourced="memory",
        )  # fmt: skip
    if key == "lowest_v":
        return _lowest(rig, figure_id, what, name, ledger)
    values = {
        "start_ah": (ledger.start_ah, f"Charge at the start of {what}", "as the stretch before left it; full at first"),
        "drawn_ah": (ledger.drawn_ah, f"Drawn from {what}", "integral of the current out of its posts"),
        "put_ah": (ledger.put_ah, f"Put into {what}", "integral of the current into its posts"),
    }
    value, title, formula = values[key]
    return _working(
        figure_id, title, formula, max(0.0, value), "Ah", inputs=(*_setting_inputs(each), *_model_inputs(rig, name)),
        steps=HOW, source=DAY_SOURCE, sourced="memory",
    )  # fmt: skip


def _setting_inputs(each: StretchRun) -> tuple[Input, ...]:
    setting = each.setting
    return (
        Input(symbol="t", meaning="length of the stretch", value=each.hours, unit="h"),
        Input(symbol="I", meaning="charging output, hot", value=setting.output_a, unit="A"),
        Input(symbol="shore", meaning="plugged in", value="yes" if setting.shore else "no"),
        Input(symbol="T", meaning="temperature of the batteries", value=setting.temperature_c, unit="C"),
    )


def _lowest(rig: Rig, figure_id: str, what: str, name: str, ledger: Ledger) -> Working:
    model = bank_model(rig, rig.banks[name])
    own_v = bank.open_v(model, head=ledger.lowest_head)
    inputs = [
        Input(symbol="h", meaning="share of the available charge then", value=ledger.lowest_head),
        Input(symbol="E", meaning="voltage without current by h", value=own_v, unit="V", source="kibam-voltage",
              sourced="memory"),
        Input(symbol="I", meaning="current out of it then", value=0.0 - ledger.lowest_a, unit="A"),
        Input(symbol="R", meaning="inside resistance", value=model.resistance_ohm, unit="ohm"),
    ]  # fmt: skip
    gives = ledger.lowest_a < 0
    formula = "E - I R" if gives else "what the charging source holds, or E where nothing flows"
    return _working(
        figure_id, f"Lowest voltage of {what}", formula, ledger.lowest_v, "V", inputs=inputs, source="kibam-voltage",
        steps=(f"at {ledger.lowest_at_h:.6g} h of the day", *HOW), sourced="memory",
    )  # fmt: skip


def _bank_day(rig: Rig, figure_id: str, name: str, key: str) -> Working:
    run = _day(rig, figure_id)
    index = [b.id for b in run.plant.banks].index(name)
    model = run.plant.banks[index]
    available, bound = run.tanks[name]
    if key == "full_ah":
        return _working(
            figure_id, f"Charge of bank {name} when full", "Q of the kinetic model, fitted to its rates",
            model.kinetic.full_ah, "Ah", inputs=_model_inputs(rig, name), source=DAY_SOURCE, sourced="memory",
        )  # fmt: skip
    if key == "lowest_v":
        worst = min((s.ledgers[name] for s in run.stretches), key=lambda ledger: ledger.lowest_v)
        return _lowest(rig, figure_id, f"bank {name} over the day", name, worst)
    if key == "crank_v":
        volts = bank.crank_v(model, head=available / model.available_full_ah)
        return _working(
            figure_id, f"Voltage of bank {name} at half its cold cranking current after the day", "E - CCA R / 2", volts,
            "V", inputs=(
                Input(symbol="E", meaning="voltage without current", unit="V",
                      value=bank.open_v(model, head=available / model.available_full_ah)),
                Input(symbol="CCA", meaning="cold cranking current", value=model.cranking_a, unit="A"),
                Input(symbol="R", meaning="inside resistance", value=model.resistance_ohm, unit="ohm"),
            ), source="load-test", sourced="published",
        )  # fmt: skip
    parts = (
        Input(symbol="q1", meaning="available charge", value=available, unit="Ah"),
        Input(symbol="q2", meaning="bound charge", value=bound, unit="Ah"),
        Input(symbol="Q", meaning="charge when full", value=model.kinetic.full_ah, unit="Ah"),
    )
    if key == "end_ah":
        return _working(figure_id, f"Charge of bank {name} after the day", "q1 + q2", available + bound, "Ah",
                        inputs=parts, steps=HOW, source=DAY_SOURCE, sourced="memory")  # fmt: skip
    if key == "end_share":
        return _working(
            figure_id, f"Share of its charge in bank {name} after the day", "(q1 + q2) / Q",
            (available + bound) / model.kinetic.full_ah, "", inputs=parts, steps=HOW, source=DAY_SOURCE, sourced="memory",
        )  # fmt: skip
    least = max(0.0, min(point.charge_ah[index] for point in run.points))
    return _working(figure_id, f"Least charge of bank {name} in the day", "least of q1 + q2 over the day", least, "Ah",
                    inputs=_model_inputs(rig, name), steps=HOW, source=DAY_SOURCE, sourced="memory")  # fmt: skip


def _event(figure_id: str, result: PowerResult, name: str) -> Working:
    event = next((each for each in result.day_events if each.id == name), None)
    if event is None:
        raise KeyError(figure_id)
    return _working(
        figure_id, f"When {event.says}", "where the voltage or current passes its level, then the delay of the part",
        event.at_h, "h", steps=HOW, source=DAY_SOURCE, sourced="memory",
    )  # fmt: skip


# --- endurance ------------------------------------------------------------------------------------------------


def _state(rig: Rig, figure_id: str, row: StateEndurance, key: str) -> Working:
    what = f"the state {row.id} with the engine off"
    draws = Input(symbol="I", meaning="what all draws at rest voltage", value=row.draws_a, unit="A")
    if key == "draws_a":
        return _working(figure_id, f"What draws in {what}", "sum of averages at 12.8 V (25.6 V)", row.draws_a, "A",
                        inputs=(Input(symbol="key off", meaning="what the vehicle itself draws", unit="A",
                                      value=supply.base_load_a(rig, running=False)),))  # fmt: skip
    banks = [each for name in rig.banks for each in _model_inputs(rig, name)]
    if key == "alarm_h":
        return _working(
            figure_id, f"Until a bank is below {ALARM_V:g} V a 12 V in {what}", "when V passes the alarm, from full banks",
            row.alarm_h, "h", inputs=(draws, *banks), steps=HOW, source="low-voltage-tests", sourced="memory",
        )  # fmt: skip
    return _working(
        figure_id, f"How long bank {row.bank} lasts in {what}", "when its available charge q1 is gone, from full banks",
        row.engine_off_h, "h", inputs=(draws, *banks), steps=HOW, source=DAY_SOURCE, sourced="memory",
    )  # fmt: skip


def _key_off(rig: Rig, figure_id: str, row: BankKeyOff, key: str) -> Working:
    model = bank_model(rig, rig.banks[row.id])
    if key == "drain_a":
        return _working(
            figure_id, f"What drains bank {row.id} with the key off", "sum of all that draws at rest, timers run out",
            row.drain_a, "A", inputs=(Input(symbol="key off", meaning="the vehicle itself, on its own bank", unit="A",
                                            value=rig.vehicle.base_load.key_off),),
        )  # fmt: skip
    whole = model.capacity_ah if model.reserve_min is None else 0.6 * model.reserve_min
    return _working(
        figure_id, f"Days until 40 % of bank {row.id} is gone with the key off",
        "ln((Q + d / s) / (0.6 Q + d / s)) / s, d = 24 h I, s the self-discharge a day", row.no_start_days, "days",
        inputs=(
            Input(symbol="Q", meaning="0.6 RC, else the capacity", value=whole, unit="Ah", source="reserve-capacity"),
            Input(symbol="I", meaning="drain", value=row.drain_a, unit="A"),
            Input(symbol="s", meaning="5 % a month", value=0.05, source="reserve-capacity"),
        ), source="reserve-capacity", sourced="published",
    )  # fmt: skip


def _endurance(rig: Rig, figure_id: str, result: PowerResult, key: str) -> Working:
    found = result.endurance
    if key == "engine_off_h":
        return _working(
            figure_id, f"Shortest endurance of a saved state with the engine off: {found.engine_off_state}",
            "least over the saved states", found.engine_off_h, "h",
            steps=tuple(_state(rig, "", row, "engine_off_h") for row in found.states if row.engine_off_h is not None),
        )  # fmt: skip
    if key == "key_off_days":
        own = next((row for row in found.key_off if rig.banks[row.id].own), None)
        if own is None:
            raise KeyError(figure_id)
        return _key_off(rig, figure_id, own, "no_start_days")
    run = _day(rig, figure_id)
    inputs = [
        Input(symbol=f"Q {b.id}", meaning="least charge of the day", unit="Ah",
              value=max(0.0, min(p.charge_ah[n] for p in run.points)))
        for n, b in enumerate(run.plant.banks)
    ]  # fmt: skip
    return _working(
        figure_id, f"Until every bank holds {100 * CHARGED_SHARE:g} % again, by the {found.recharge_by}",
        "bulk at what the source gives, then what the battery accepts, falling as k c (bound charge missing)",
        found.recharge_h, "h", inputs=inputs, steps=HOW, source=DAY_SOURCE, sourced="memory",
    )  # fmt: skip


# --- tests ----------------------------------------------------------------------------------------------------


def _trial(rig: Rig, figure_id: str, row: Trial, key: str) -> Working:
    load = Input(symbol="I", meaning=f"continuous load in the state {row.state}", value=row.load_a, unit="A")
    units = {
        "load_a": "A",
        "used_share": "",
        "margin_a": "A",
        "lowest_v": "V",
        "below_after_s": "s",
        "alarm_after_s": "s",
    }
    says = {
        "load_a": ("Continuous load", "sum of averages by load class, and what the vehicle itself draws"),
        "used_share": ("Share of the reserve capacity used in 10 min", "drawn Ah / (25 A RC)"),
        "margin_a": ("Margin of the charging system", "hot output - I"),
        "lowest_v": ("Lowest voltage of a bank", "least of E - I R over the test"),
        "below_after_s": ("When the terminals reach 11.70 V a 12 V", "where V passes it"),
        "alarm_after_s": ("When the alarm sounds", "where V passes its threshold, and its delay"),
    }
    title, formula = says[key]
    return _working(
        figure_id, f"{title}: {row.title}", formula, getattr(row, key), units[key], inputs=(load, *_plant_inputs(rig)),
        steps=HOW if key != "load_a" else (), source="low-voltage-tests", sourced="published",
    )  # fmt: skip


def _plant_inputs(rig: Rig) -> tuple[Input, ...]:
    return tuple(
        Input(symbol=f"RC {name}", meaning="reserve capacity of one battery", value=model.reserve_min, unit="min")
        for name, model in ((b, bank_model(rig, rig.banks[b])) for b in rig.banks)
        if model.reserve_min is not None
    )
