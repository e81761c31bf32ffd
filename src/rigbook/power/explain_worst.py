"""Worst cases worked through: what draws in the state that reaches them, row by row, by the functions of any state."""

from __future__ import annotations

import re
from typing import Any

from rigbook.power import explain_states, supply
from rigbook.power.flowing import going_on
from rigbook.power.loads import Drawn
from rigbook.power.result import PowerResult
from rigbook.power.targets import Target, target_of
from rigbook.proofs.witness import state_of
from rigbook.quantities.working import Input, Working
from rigbook.rig.model import Rig
from rigbook.switching.evaluate import Evaluator
from rigbook.switching.program import Witness

WORST = re.compile(
    r"power\.(whole|devices|circuits|feeds|modules|banks|wires)(?:\[([^\]]+)\])?\.worst_(average|rms|peak)(_gap)?_a"
)
CHARGING = re.compile(r"power\.supply\.worst_running\.(\w+)")
SAVED = re.compile(r"power\.saved\.(?:on\[([^\]]+)\]\.(spared_a|fuse_by_nameplate_a|fuse_by_worst_a)|spared_a)")
TITLES = {"average": "average", "rms": "root mean square", "peak": "peak"}
KINDS = {
    "whole": "everything the circuits power", "devices": "device", "circuits": "circuit", "feeds": "feed",
    "modules": "the outputs of", "banks": "bank", "wires": "conductor",
}  # fmt: skip


def worst(rig: Rig, result: PowerResult, figure_id: str) -> Working:
    """A worst value, or how far its bound lies above the best state found. KeyError for an unknown figure."""
    match = WORST.fullmatch(figure_id)
    if match is None:
        raise KeyError(figure_id)
    kind, name, key, gap = match.group(1), match.group(2) or "", match.group(3), match.group(4)
    record = _record(result, kind, name)
    witness: Witness | None = getattr(record, "witness" if key == "average" else f"{key}_witness")
    if witness is None:
        raise KeyError(figure_id)
    target = target_of(rig, kind, name)
    what = " ".join(word for word in (KINDS[kind], name) if word)
    reached = in_state(rig, "" if target.supplied_a or gap or witness.bound else figure_id, target, witness, key, what)
    title = f"Greatest {TITLES[key]} current of {what} over every reachable state"
    value, apart = getattr(record, f"worst_{key}_a"), getattr(record, f"worst_{key}_gap_a")
    if gap:
        return Working(
            figure_id=figure_id, title=f"What the bound lies above the best state found: {title}",
            formula="bound - best state found; 0 where the greatest is exact", result=apart, unit="A", steps=(reached,),
            inputs=(Input(symbol="bound", meaning="proven: no reachable state has more", value=value, unit="A"),),
        )  # fmt: skip
    if witness.bound:
        return Working(
            figure_id=figure_id, title=title, formula="proven upper bound, no reachable state has more", result=value,
            unit="A", steps=("The best state found:", reached),
        )  # fmt: skip
    if target.supplied_a:
        return Working(
            figure_id=figure_id, title=title, formula="the greater of P and what its devices draw", unit="A",
            inputs=(Input(symbol="P", meaning="what the charger puts in", value=target.supplied_a, unit="A"),),
            result=max(target.supplied_a, _number(reached)), steps=(reached,),
        )  # fmt: skip
    return reached


def _record(result: PowerResult, kind: str, name: str) -> Any:
    if kind == "whole":
        return result.whole
    for record in getattr(result, kind):
        if record.id == name:
            return record
    raise KeyError(name)


def in_state(rig: Rig, figure_id: str, target: Target, witness: Witness, key: str, what: str) -> Working:
    """What a target draws in a witness's state, each draw a row."""
    going = going_on(Evaluator(rig.program), *state_of(rig.program, witness))
    drawn = tuple(Drawn(flow.draw, flow.wave) for flow in target.flows if flow.act in going)
    title = f"{TITLES[key].capitalize()} current of {what}, {_words(witness)}"
    return explain_states.of_drawn(figure_id, title, drawn, f"{key}_a")


def _words(witness: Witness) -> str:
    parts = [f"{name} {value}" for name, value in witness.set]
    words = "with " + ", ".join(parts) if parts else "at rest"
    return words + (f", {', '.join(witness.lost)} lost" if witness.lost else "")


def _number(working: Working) -> float:
    assert isinstance(working.result, int | float)
    return float(working.result)


def charging(rig: Rig, result: PowerResult, figure_id: str) -> Working:
    """A figure of the charging system in the worst reachable state. KeyError for an unknown one."""
    match, record = CHARGING.fullmatch(figure_id), result.supply.worst_running
    if match is None or record is None:
        raise KeyError(figure_id)
    key = match.group(1)
    average = _charging_average(rig, result, figure_id if key == "worst_average_a" else "")
    base = Working(
        figure_id=figure_id if key == "base_a" else "", title="What the vehicle itself draws, engine running",
        formula="engine + headlamps + climate", result=record.base_a, unit="A", source=_charging_place(rig),
    )  # fmt: skip
    most = Working(
        figure_id=figure_id if key == "most_output_a" else "", title="Greatest hot output at any engine speed",
        formula="highest point of the hot curve as entered", result=supply.most_output_a(rig), unit="A",
        source=_charging_place(rig),
    )  # fmt: skip
    if key in ("worst_average_a", "base_a", "most_output_a"):
        return {"worst_average_a": average, "base_a": base, "most_output_a": most}[key]
    if key == "worst_average_gap_a":
        return Working(
            figure_id=figure_id, title="What the bound lies above the best state found", result=record.worst_average_gap_a,
            formula="bound - best state found; 0 where the greatest is exact", unit="A", steps=(average,),
        )  # fmt: skip
    margins = {"idle_margin_a": record.idle_margin_a, "most_margin_a": record.most_margin_a}
    if margins.get(key) is None:
        raise KeyError(figure_id)
    idle = explain_states.output(rig, "", engine_rpm=None, title="Charging output, hot, at idle")
    return Working(
        figure_id=figure_id, title="Charging margin in the worst reachable state with the engine running",
        formula="output - worst average - what the vehicle itself draws", result=margins[key], unit="A",
        steps=(idle if key == "idle_margin_a" else most, average, base),
    )  # fmt: skip


def _charging_place(rig: Rig) -> str:
    where = rig.vehicle.where_of("charging")
    return f"{where.file}:{where.line}"


def _charging_average(rig: Rig, result: PowerResult, figure_id: str) -> Working:
    record = result.supply.worst_running
    assert record is not None
    what = "all circuits and the factory lamps that a function has taken, engine running, unnamed devices by the day"
    target = target_of(rig, "charging", "")
    reached = in_state(rig, "" if record.witness.bound else figure_id, target, record.witness, "average", what)
    if not record.witness.bound:
        return reached
    return Working(
        figure_id=figure_id, title=f"Greatest average current of {what}", result=record.worst_average_a, unit="A",
        formula="proven upper bound, no reachable state has more", steps=("The best state found:", reached),
    )  # fmt: skip


def saved(rig: Rig, result: PowerResult, figure_id: str) -> Working:
    """What a worst case is worth. KeyError for an unknown figure."""
    match = SAVED.fullmatch(figure_id)
    if match is None or result.saved is None:
        raise KeyError(figure_id)
    name, key = match.group(1), match.group(2)
    record: Any
    if name is None:
        kind, record, worst_key = "power.whole", result.whole, "worst_peak_a"
        value: float | None = result.saved.spared_a
    else:
        row = next((row for row in result.saved.on if row.id == name), None)
        if row is None:
            raise KeyError(figure_id)
        own: Any = next((c for c in result.circuits if c.id == name), None)
        kind = f"power.circuits[{name}]" if own is not None else f"power.feeds[{name}]"
        record = own or next(f for f in result.feeds if f.id == name)
        worst_key, value = "worst_rms_a", getattr(row, key)
    plate = Input(symbol="N", meaning=f"{kind}.nameplate_a", value=record.nameplate_a, unit="A")
    most = Input(symbol="W", meaning=f"{kind}.{worst_key}", value=getattr(record, worst_key), unit="A")
    if name is None or key == "spared_a":
        return Working(
            figure_id=figure_id, title=f"What the worst case spares {name or 'the whole'} beside the name-plate sum",
            formula="N - W", inputs=(plate, most), result=value, unit="A",
        )  # fmt: skip
    by = plate if key == "fuse_by_nameplate_a" else most
    ratings = sorted({rating for fuse in rig.shop.fuses for rating in fuse.ratings})
    return Working(
        figure_id=figure_id, title=f"Fuse that {name} asks for", inputs=(by,), result=value, unit="A",
        formula=f"smallest in stock of at least {by.symbol} / 0.8", sourced="common practice", source="practice-wiring",
        steps=("in stock: " + ", ".join(f"{rating:g} A" for rating in ratings),),
    )  # fmt: skip
