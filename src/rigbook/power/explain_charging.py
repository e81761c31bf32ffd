"""What the charging system needs, sheds and starts with, blocks and shore: worked through by the functions that gave them."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

from rigbook.power import supply
from rigbook.power.day_result import BlockFigures, ShedStep, ShoreFigures, StartStep, StateNeed
from rigbook.power.result import PowerResult
from rigbook.quantities.working import Input, Working
from rigbook.rig.model import Rig

NEED = re.compile(r"power\.supply\.needs\[([^\]]+)\]\.(margin_a|high_idle_margin_a)")
SHED = re.compile(r"power\.supply\.needs\[([^\]]+)\]\.sheds\[([^\]]+)\]\.(shed_a|margin_a)")
START = re.compile(r"power\.supply\.start_up\[([^\]]+)\]\.(after_s|added_a|flowing_a)")
SHORE = re.compile(
    r"power\.supply\.shore\[([^\]]+)\]\.(output_a|standby_a|needed_a|takes_a|inlet_a|inlet_allowed_a)"
)  # fmt: skip
BLOCK = re.compile(r"power\.blocks\[([^\]]+)\]\.(free_share|worst_rms_a|limit_a|spare_a)")
PATTERNS = (NEED, SHED, START, SHORE, BLOCK)


def explain(rig: Rig, figure_id: str, result: PowerResult) -> Working:
    """A figure of the charging system's needs. KeyError for one that is not given."""
    made = result.supply
    if match := SHED.fullmatch(figure_id):
        need = _named(made.needs, match.group(1))
        return _shed(figure_id, need, _named(need.sheds, match.group(2)), match.group(3))
    if match := NEED.fullmatch(figure_id):
        return _need(rig, figure_id, result, _named(made.needs, match.group(1)), match.group(2))
    if match := START.fullmatch(figure_id):
        return _start(figure_id, result, _named(made.start_up, match.group(1)), match.group(2))
    if match := SHORE.fullmatch(figure_id):
        return _shore(rig, figure_id, _named(made.shore, match.group(1)), match.group(2))
    if match := BLOCK.fullmatch(figure_id):
        return _block(figure_id, _named(result.blocks, match.group(1)), match.group(2))
    raise KeyError(figure_id)


def _named(rows: Sequence[Any], name: str) -> Any:
    for row in rows:
        if row.id == name:
            return row
    raise KeyError(name)


def _need(rig: Rig, figure_id: str, result: PowerResult, need: StateNeed, key: str) -> Working:
    state = _named(result.supply.states, need.id)
    drawn = Input(symbol="I", meaning="what the state draws on average", value=state.average_a, unit="A")
    value: float | None
    if key == "margin_a":
        value, output, where = need.margin_a, state.output_a, "at the state's engine speed"
    else:
        value, where = need.high_idle_margin_a, "at high idle"
        output = supply.output_a(rig, engine_rpm=rig.vehicle.charging.high_idle_rpm)
    if value is None:
        raise KeyError(figure_id)
    return Working(
        figure_id=figure_id, title=f"Charging margin {where} in the state {need.id}", formula="hot output - I", unit="A",
        inputs=(Input(symbol="hot output", meaning=where, value=output, unit="A"), drawn), result=value, source="pulley",
        sourced="published",
    )  # fmt: skip


def _shed(figure_id: str, need: StateNeed, step: ShedStep, key: str) -> Working:
    shed = Input(symbol="S", meaning=f"feeds that shed at step {step.step} or below", value=step.shed_a, unit="A")
    if key == "shed_a":
        return Working(
            figure_id=figure_id, title=f"Shed at step {step.step} in the state {need.id}", result=step.shed_a, unit="A",
            formula="sum of averages behind feeds that shed by then",
        )  # fmt: skip
    return Working(
        figure_id=figure_id, title=f"Charging margin with step {step.step} shed in the state {need.id}", formula="M + S",
        inputs=(Input(symbol="M", meaning="margin with nothing shed", value=need.margin_a, unit="A"), shed),
        result=step.margin_a, unit="A",
    )  # fmt: skip


def _start(figure_id: str, result: PowerResult, step: StartStep, key: str) -> Working:
    before = [each for each in result.supply.start_up if each.after_s <= step.after_s]
    says = {
        "after_s": ("When these feeds come after key on", "starts_after as entered", step.after_s, "s"),
        "added_a": (
            f"What comes {step.after_s:g} s after key on",
            "sum of averages behind these feeds",
            step.added_a,
            "A",
        ),
        "flowing_a": (
            f"What flows from {step.after_s:g} s after key on",
            "sum of what came by then",
            step.flowing_a,
            "A",
        ),
    }
    title, formula, value, unit = says[key]
    return Working(
        figure_id=figure_id, title=title, formula=formula, result=value, unit=unit,
        inputs=tuple(Input(symbol="I", meaning=f"at {e.after_s:g} s", value=e.added_a, unit="A") for e in before)
        if key == "flowing_a" else (), steps=(f"Feeds: {', '.join(step.feeds) or 'none'}.",),
    )  # fmt: skip


def _shore(rig: Rig, figure_id: str, row: ShoreFigures, key: str) -> Working:
    part = rig.parts[rig.devices[row.id].part_id or ""]
    capacity = sum(rig.parts[rig.banks[b].part_id].capacity * rig.banks[b].count for b in row.banks)
    standby = Input(symbol="S", meaning="what stands by on its banks", value=row.standby_a, unit="A")
    where = f"{rig.devices[row.id].file}:{rig.devices[row.id].line}"
    if key == "needed_a":
        return Working(
            figure_id=figure_id, title=f"What the charger {row.id} should give", formula="the greater of 10 A and S + C / 10",
            inputs=(standby, Input(symbol="C", meaning="capacity of its banks", value=capacity, unit="Ah")),
            result=row.needed_a, unit="A", source="practice-charger", sourced="common practice",
        )  # fmt: skip
    if key == "takes_a":
        stated = part.input is not None
        return Working(
            figure_id=figure_id, title=f"What {row.id} takes from the shore at full output", result=row.takes_a, unit="A",
            formula="as entered" if stated else "V I / (eta PF Vac)", source="shore-charger" if not stated else where,
            inputs=(Input(symbol="I", meaning="direct current", value=row.output_a, unit="A"),),
            sourced="computed" if stated else "common practice",
        )  # fmt: skip
    says = {
        "output_a": ("What the charger gives together", "output of the part as entered", row.output_a),
        "standby_a": ("What stands by on its banks while plugged in", "largest of the saved states on shore, else at rest",
                      row.standby_a),
        "inlet_a": ("What the inlet may carry", "limit of the part as entered", row.inlet_a),
        "inlet_allowed_a": ("What may flow for long through the inlet", "0.8 x its limit", row.inlet_allowed_a),
    }  # fmt: skip
    title, formula, value = says[key]
    return Working(
        figure_id=figure_id, title=f"{title}: {row.id}", formula=formula, result=value, unit="A",
        source="shore-branch" if key == "inlet_allowed_a" else where,
        sourced="published" if key == "inlet_allowed_a" else "computed",
    )  # fmt: skip


def _block(figure_id: str, row: BlockFigures, key: str) -> Working:
    limit = Input(symbol="L", meaning="limit as entered", value=row.limit_a, unit="A")
    worst = Input(symbol="I", meaning=f"worst RMS of the feed {row.feed}", value=row.worst_rms_a, unit="A")
    counts = (
        Input(symbol="n", meaning="positions", value=row.positions),
        Input(symbol="u", meaning="positions that a feed uses", value=row.positions_used),
    )
    says = {
        "free_share": (f"Free share of the positions of {row.id}", "(n - u) / n", row.free_share, "", counts),
        "worst_rms_a": (
            f"Greatest RMS current through {row.id}",
            "of the feed that supplies it",
            row.worst_rms_a,
            "A",
            (),
        ),
        "limit_a": (f"What {row.id} may carry", "as entered", row.limit_a, "A", ()),
        "spare_a": (f"What is left on {row.id}", "L - I", row.spare_a, "A", (limit, worst)),
    }
    title, formula, value, unit, inputs = says[key]
    if value is None:
        raise KeyError(figure_id)
    return Working(figure_id=figure_id, title=title, formula=formula, inputs=inputs, result=value, unit=unit)
