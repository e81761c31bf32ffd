"""Each figure of the power block worked through like a hand calculation, by the functions that gave it."""

from __future__ import annotations

import re
from collections.abc import Iterable

from rigbook.power import (
    drops,
    explain_charging,
    explain_day,
    explain_protection,
    explain_states,
    explain_worst,
    figures,
    solved,
    supply,
)
from rigbook.power.drops import Way
from rigbook.power.explain_bundles import BUNDLE, explain_bundle
from rigbook.power.explain_conductors import explain_ampacity, explain_practice, explain_segment, where_of
from rigbook.power.explain_guarded import GUARDED, explain_guarded
from rigbook.power.explain_outputs import OUTPUTS, explain_outputs
from rigbook.power.loads import feeds_above
from rigbook.power.network import Collapse
from rigbook.power.network_figures import explain_network
from rigbook.power.result import PowerResult
from rigbook.power.worst_figures import bank_draws
from rigbook.quantities.working import Input, Working
from rigbook.rig.model import Circuit, Member, Rig
from rigbook.rig.nameplate import nameplate_a

_CIRCUIT = re.compile(r"power\.circuits\[([^\]]+)\]\.(\w+)")
_DEVICE = re.compile(r"power\.circuits\[([^\]]+)\]\.devices\[([^\]]+)\]\.(\w+)")
_FEED = re.compile(r"power\.feeds\[([^\]]+)\]\.(\w+)")
_PROTECTION = re.compile(r"power\.protection\[([^\]]+)\]\.(\w+)")
_NETWORK = re.compile(r"power\.network\[([^\]]+)\]\.(lowest_v|charging_a|lost_w|margin_factor|collapse_share)")
_MODULE = re.compile(r"power\.modules\[([^\]]+)\]\.(nameplate_a|limit_a)")
_NAMED = re.compile(r"power\.(devices|banks|wires)\[([^\]]+)\]\.(nameplate_a|limit_a|ampacity_a)")
_SUPPLY = re.compile(r"power\.supply\.states\[([^\]]+)\]\.(\w+)")
_STATE = re.compile(
    r"power\.states\[([^\]]+)\](?:\.(devices|circuits|feeds)\[([^\]]+)\])?\.(average_a|rms_a|peak_a)"
)  # fmt: skip


def explain(rig: Rig, figure_id: str, result: PowerResult | None = None) -> Working:
    """How a figure of the `power` block was worked out. KeyError for an id the block does not give.

    result: the block itself, where it is at hand; worst cases are worked out anew without it.
    """
    if any(pattern.fullmatch(figure_id) for pattern in explain_day.PATTERNS):
        return explain_day.explain(rig, figure_id, result or figures.work_out(rig))
    if any(pattern.fullmatch(figure_id) for pattern in explain_charging.PATTERNS):
        return explain_charging.explain(rig, figure_id, result or figures.work_out(rig))
    if explain_worst.WORST.fullmatch(figure_id):
        return explain_worst.worst(rig, result or figures.work_out(rig), figure_id)
    if explain_worst.CHARGING.fullmatch(figure_id):
        return explain_worst.charging(rig, result or figures.work_out(rig), figure_id)
    if explain_worst.SAVED.fullmatch(figure_id):
        return explain_worst.saved(rig, result or figures.work_out(rig), figure_id)
    if match := _NAMED.fullmatch(figure_id):
        return _named(rig, figure_id, match.group(1), match.group(2), match.group(3))
    if figure_id == "power.whole.nameplate_a":
        wanted = [(d.device_id, d.channel) for x in rig.devices.values() for d in x.draws if d.circuit_id is not None]
        return _nameplate(rig, figure_id, "everything the circuits power", wanted)
    if figure_id == "power.supply.idle_output_a":
        return explain_states.output(rig, figure_id, engine_rpm=None, title="Charging output, hot, at idle")
    if match := _DEVICE.fullmatch(figure_id):
        return _device(rig, figure_id, rig.circuits[match.group(1)], match.group(2), match.group(3))
    if match := _CIRCUIT.fullmatch(figure_id):
        return _circuit(rig, figure_id, rig.circuits[match.group(1)], match.group(2))
    if match := GUARDED.fullmatch(figure_id):
        return explain_guarded(rig, figure_id, match.group(1), match.group(2))
    if match := OUTPUTS.fullmatch(figure_id):
        return explain_outputs(rig, figure_id, match.group(1))
    if match := BUNDLE.fullmatch(figure_id):
        return explain_bundle(rig, figure_id, match.group(1), match.group(2))
    if match := _NETWORK.fullmatch(figure_id):
        return explain_network(rig, figure_id, explain_states.state_named(rig, match.group(1)), match.group(2))
    if match := _PROTECTION.fullmatch(figure_id):
        return explain_protection.protection(rig, figure_id, match.group(1), match.group(2))
    if match := _FEED.fullmatch(figure_id):
        return _feed(rig, figure_id, match.group(1), match.group(2))
    if match := _MODULE.fullmatch(figure_id):
        return _module(rig, figure_id, match.group(1), match.group(2))
    if match := _SUPPLY.fullmatch(figure_id):
        state = explain_states.state_named(rig, match.group(1))
        return explain_states.state_supply(rig, figure_id, state, match.group(2))
    if match := _STATE.fullmatch(figure_id):
        state = explain_states.state_named(rig, match.group(1))
        kind, name, key = match.group(2) or "", match.group(3) or "", match.group(4)
        return explain_states.flow(rig, figure_id, state, kind=kind, name=name, key=key)
    raise KeyError(figure_id)


# --- name-plate ---------------------------------------------------------------------------------------


def _nameplate(
    rig: Rig, figure_id: str, what: str, wanted: Iterable[tuple[str, str]], *, members: Iterable[Member] = ()
) -> Working:
    """The sum of highest draws, or what a charger among the members puts in where that is more."""
    needs = tuple(dict.fromkeys(wanted))
    inputs = []
    for device_id in dict.fromkeys(owner for owner, _ in needs):
        own = [need for need in needs if need[0] == device_id]
        device = rig.devices[device_id]
        alone = ", one colour at a time" if device.one_colour_at_a_time and len(device.colours) > 1 else ""
        inputs.append(
            Input(symbol="I", meaning=f"{device_id}: {', '.join(c for _, c in own)}{alone}",
                  value=nameplate_a(rig.devices, own), unit="A", source=where_of(device.file, device.line))
        )  # fmt: skip
    drawn, supplied = nameplate_a(rig.devices, needs), supply.supplied_a(rig, members)
    formula = "sum over devices of the highest entered draw"
    if supplied > 0:
        formula = f"the greater of P and the {formula}"
        inputs.append(Input(symbol="P", meaning="what the charger puts in", value=supplied, unit="A"))
    return Working(
        figure_id=figure_id, title=f"Name-plate current of {what}", formula=formula, inputs=tuple(inputs),
        result=max(drawn, supplied), unit="A",
    )  # fmt: skip


# --- circuits --------------------------------------------------------------------------------------------------


def _circuit(rig: Rig, figure_id: str, circuit: Circuit, key: str) -> Working:
    thinnest = drops.weakest(drops.own_conductors(rig, circuit))
    if key == "nameplate_a":
        draws = figures.circuit_draws(rig, circuit)
        return _nameplate(rig, figure_id, circuit.id, draws, members=circuit.members)
    if key in ("fuse_a", "limit_a"):
        value = circuit.fuse_a if key == "fuse_a" else circuit.limit_a
        title = f"Fuse of {circuit.id}" if key == "fuse_a" else f"Limit of the output {circuit.id}"
        return _entered(figure_id, title, value, circuit.file, circuit.line, circuit.why)
    if key == "ampacity_a":
        return explain_ampacity(figure_id, circuit.id, thinnest)
    if key == "practice_fuse_a":
        return explain_practice(figure_id, circuit.id, thinnest)
    if key == "solved_drop_v":
        return _solved(rig, figure_id, circuit)
    worst = drops.governing(rig, circuit)
    if worst is None:
        raise KeyError(figure_id)
    if key == "own_drop_v":
        return _own_drop(figure_id, circuit, worst)
    if key == "drop_v":
        return _source_drop(rig, figure_id, circuit, worst)
    if key == "drop_fraction":
        return _fraction(rig, figure_id, circuit, worst)
    raise KeyError(figure_id)


def _entered(figure_id: str, title: str, value: float | None, file: str, line: int, why: str) -> Working:
    return Working(
        figure_id=figure_id, title=title, formula=why or "as entered", result=value, unit="A",
        source=where_of(file, line),
    )  # fmt: skip


def _own_drop(figure_id: str, circuit: Circuit, each: Way) -> Working:
    return Working(
        figure_id=figure_id, title=f"Drop of {circuit.id} to {each.member.device_id} and back",
        formula="sum over its conductors", result=each.drop_v, unit="V",
        steps=tuple(explain_segment(part) for part in (*each.feed, *each.back)),
    )  # fmt: skip


def _source_drop(rig: Rig, figure_id: str, circuit: Circuit, each: Way) -> Working:
    above = [explain_segment(part) for part in drops.upstream(rig, circuit)]
    steps: list[Working | str] = [*above, _own_drop("", circuit, each)]
    ground = each.member.ground
    if ground is not None and ground in rig.studs:
        steps.append(
            Working(
                figure_id="",
                title=f"Stud {ground} to the battery negative",
                formula="I x R",
                inputs=(
                    Input(
                        symbol="I",
                        meaning="name-plate current of all that returns there",
                        value=drops.stud_current_a(rig, ground),
                        unit="A",
                    ),
                    Input(symbol="R", meaning="of the stud", value=rig.studs[ground].resistance_ohm, unit="ohm"),
                ),
                result=drops.stud_drop_v(rig, each.member),
                unit="V",
            )
        )
    return Working(
        figure_id=figure_id, title=f"Drop from the battery to {each.member.device_id} on {circuit.id} and back",
        formula="conductors above + the circuit out and back + stud",
        result=drops.source_drop_v(rig, circuit, each), unit="V", steps=tuple(steps),
    )  # fmt: skip


def _drop_from(rig: Rig) -> Input:
    return Input(
        symbol="U", meaning="voltage that drops are shares of", value=rig.shop.drop_from, unit="V",
        source=str(rig.shop.where_of("drop_from")),
    )  # fmt: skip


def _fraction(rig: Rig, figure_id: str, circuit: Circuit, each: Way) -> Working:
    lost = drops.source_drop_v(rig, circuit, each)
    return Working(
        figure_id=figure_id, title=f"Drop of {circuit.id} as a share", formula="drop / U", inputs=(_drop_from(rig),),
        result=lost / rig.shop.drop_from, unit="fraction", steps=(_source_drop(rig, "", circuit, each),),
    )  # fmt: skip


def _solved(rig: Rig, figure_id: str, circuit: Circuit) -> Working:
    network = solved.circuit_network(rig, circuit)
    result = solved.solved_drop_v(rig, circuit)
    if network is None or isinstance(result, Collapse):
        raise KeyError(figure_id)
    inputs = [_drop_from(rig)]
    inputs += [Input(symbol="R", meaning=f"{r.a} to {r.b}", value=r.ohm, unit="ohm") for r in network.resistors]
    inputs += [
        Input(symbol="I", meaning=f"{load.id}: {load.law}, stated at {load.at_v:g} V", value=load.current_a, unit="A")
        for load in network.loads
    ]
    return Working(
        figure_id=figure_id, title=f"Greatest loss to a device of {circuit.id} and back, network solved, name-plate",
        formula="G v = i, constant power drawing P/v, solved by Newton's method", inputs=tuple(inputs), result=result,
        unit="V", source="network", sourced="published",
    )  # fmt: skip


def _device(rig: Rig, figure_id: str, circuit: Circuit, device_id: str, key: str) -> Working:
    for each in drops.ways(rig, circuit):
        if each.member.device_id == device_id:
            break
    else:
        raise KeyError(figure_id)
    if key == "drop_v":
        return _source_drop(rig, figure_id, circuit, each)
    if key == "device_v":
        return Working(
            figure_id=figure_id, title=f"Voltage at {device_id} on {circuit.id}", formula="U - drop",
            inputs=(_drop_from(rig),), result=rig.shop.drop_from - drops.source_drop_v(rig, circuit, each), unit="V",
            steps=(_source_drop(rig, "", circuit, each),),
        )  # fmt: skip
    if key == "length_m":
        return Working(
            figure_id=figure_id, title=f"Conductor of {circuit.id} to {device_id} and back", formula="sum of L",
            inputs=tuple(
                Input(symbol="L", meaning=f"{part.segment.from_point} to {part.segment.to_point}",
                      value=part.segment.length_m, unit="m", source=where_of(part.segment.file, part.segment.line))
                for part in (*each.feed, *each.back)
            ),
            result=each.length_m, unit="m",
        )  # fmt: skip
    if key == "current_a":
        wanted = list(each.member.draws)
        for output in each.member.carries:
            wanted.extend(need for other in rig.circuits[output].members for need in other.draws)
        return _nameplate(rig, figure_id, f"{device_id} on {circuit.id}", wanted, members=[each.member])
    raise KeyError(figure_id)


# --- feeds and modules --------------------------------------------------------------------------------------------


def feed_draws(rig: Rig, feed_id: str) -> list[tuple[str, str]]:
    """Everything behind a feed, as (device, channel)."""
    return [
        (draw.device_id, draw.channel)
        for device in rig.devices.values()
        for draw in device.draws
        if feed_id in feeds_above(rig, draw)
    ]


def _feed(rig: Rig, figure_id: str, feed_id: str, key: str) -> Working:
    feed = rig.feeds[feed_id]
    thinnest = drops.weakest(drops.feed_conductors(rig, feed_id))
    if key == "nameplate_a":
        members = rig.circuits[feed_id].members if feed_id in rig.circuits else ()
        return _nameplate(rig, figure_id, feed_id, feed_draws(rig, feed_id), members=members)
    if key == "fuse_a":
        return _entered(figure_id, f"Fuse of {feed_id}", feed.fuse_a, feed.file, feed.line, feed.fuse_why)
    if key == "ampacity_a":
        return explain_ampacity(figure_id, feed_id, thinnest)
    if key == "practice_fuse_a":
        return explain_practice(figure_id, feed_id, thinnest)
    if key != "drop_v":
        raise KeyError(figure_id)
    if feed.segment is not None:
        part = drops.segment_drop(rig.segments[feed.segment])
        return Working(
            figure_id=figure_id, title=f"Drop of the line of {feed_id}", formula="at its greatest current",
            result=part.drop_v, unit="V", steps=(explain_segment(part),),
        )  # fmt: skip
    worst = drops.governing(rig, rig.circuits[feed_id])
    if worst is None:
        raise KeyError(figure_id)
    return _own_drop(figure_id, rig.circuits[feed_id], worst)


def _module(rig: Rig, figure_id: str, module_id: str, key: str) -> Working:
    module = rig.modules[module_id]
    if key == "nameplate_a":
        return _nameplate(rig, figure_id, f"the outputs of {module_id}", figures.module_draws(rig, module))
    return Working(
        figure_id=figure_id, title=f"Limit of all banks of {module_id} together", formula="sum of the banks",
        inputs=tuple(
            Input(symbol="I", meaning=f"bank {bank.id}", value=bank.limit_a, unit="A") for bank in module.banks
        ),
        result=figures.module_limit_a(module), unit="A", source=where_of(module.file, module.line),
    )  # fmt: skip


def _named(rig: Rig, figure_id: str, kind: str, name: str, key: str) -> Working:
    """The name-plate sum, limit or ampacity of a device, a bank or a conductor."""
    if kind == "devices" and key == "nameplate_a":
        draws = [(name, draw.channel) for draw in rig.devices[name].draws if draw.circuit_id is not None]
        return _nameplate(rig, figure_id, name, draws)
    if kind == "wires" and key == "ampacity_a":
        return explain_ampacity(figure_id, name, rig.segments[name])
    if kind == "wires" and key == "nameplate_a":
        segment = rig.segments[name]
        return Working(
            figure_id=figure_id, title=f"Name-plate current of the conductor {name}", unit="A",
            formula="sum over what hangs behind it", result=segment.nameplate_a,
            steps=(f"{segment.from_point} to {segment.to_point}, {segment.conductor.gauge}",),
        )  # fmt: skip
    for module in rig.modules.values():
        for bank in module.banks:
            if kind == "banks" and f"{module.id}.{bank.id}" == name and key == "nameplate_a":
                return _nameplate(rig, figure_id, f"the bank {name}", bank_draws(rig, module.id, bank.id))
            if kind == "banks" and f"{module.id}.{bank.id}" == name and key == "limit_a":
                title = f"Limit of the bank {name}"
                return _entered(figure_id, title, bank.limit_a, module.file, module.line, "")
    raise KeyError(figure_id)
