"""Measures of controllers, blocks, supply and grounds."""

from __future__ import annotations

import math
from collections.abc import Iterator
from types import MappingProxyType

from rigbook.rig.model import Rig
from rigbook.rules.measures import Measure, Reading, Results
from rigbook.rules.measures_wiring import worst_of

SENSOR_REACH_M = 0.15
"""A stud this near to the post of a sensed battery is taken for the post itself [common practice, no source]."""


# --- controllers -----------------------------------------------------------------------------------------


def output_current(results: Results) -> Iterator[Reading]:
    """Greatest peak current asked of a controller output over every state.

    Unit: A. Limit `rating`: the output's limit as entered.
    """
    if results.power is None:
        return
    for figure in results.power.circuits:
        circuit = results.rig.circuits[figure.id]
        if circuit.limit_a is None:
            continue
        load_a, key, basis = worst_of(figure, "worst_peak_a")
        yield Reading(
            subject=figure.id,
            value=load_a,
            file=circuit.file,
            line=circuit.line,
            limits={"rating": circuit.limit_a},
            words={"basis": basis},
            witness=figure.peak_witness,
            figure=f"power.circuits[{figure.id}].{key}",
        )


def bank_current(results: Results) -> Iterator[Reading]:
    """Greatest peak current asked of a bank of outputs over every state.

    Unit: A. Limit `rating`: the bank's limit as entered. A module gives what its banks give together, so it is asked
    for more only where a bank is.
    """
    if results.power is None:
        return
    places = {f"{m.id}.{b.id}": m for m in results.rig.modules.values() for b in m.banks}
    for figure in results.power.banks:
        if figure.limit_a is None or not figure.nameplate_a:
            continue
        load_a, key, basis = worst_of(figure, "worst_peak_a")
        yield Reading(
            subject=figure.id,
            value=load_a,
            file=places[figure.id].file,
            line=places[figure.id].line,
            limits={"rating": figure.limit_a},
            words={"basis": basis},
            witness=figure.peak_witness,
            figure=f"power.banks[{figure.id}].{key}",
        )


def outputs_free_share(results: Results) -> Iterator[Reading]:
    """Share of a module's outputs that nothing uses.

    Unit: share. Formula: (outputs - outputs used) / outputs. Source: the build.
    """
    for module in results.rig.modules.values():
        if module.outputs:
            free = module.outputs - len(module.outputs_used)
            yield Reading(
                subject=f"{module.id}.outputs", value=free / module.outputs, file=module.file, line=module.line
            )


def _blocks(rig: Rig) -> Iterator[tuple[str, int, float, list[str]]]:
    """Installed fuse blocks: id, positions, limit, feeds that start from them."""
    for device in rig.devices.values():
        if device.part_kind == "fuse-block" and device.part_id is not None:
            part = rig.parts[device.part_id]
            yield device.id, part.positions, part.limit, [f.id for f in rig.feeds.values() if f.block_id == device.id]


def block_free_share(results: Results) -> Iterator[Reading]:
    """Share of a fuse block's positions that no feed uses.

    Unit: share. Formula: (positions - feeds from it) / positions. Source: the build.
    """
    for block, positions, _, feeds in _blocks(results.rig):
        device = results.rig.devices[block]
        if positions:
            yield Reading(
                subject=f"{block}.positions",
                value=(positions - len(feeds)) / positions,
                file=device.file,
                line=device.line,
            )


def block_current(results: Results) -> Iterator[Reading]:
    """Greatest RMS current through a fuse block: of the feed that supplies it.

    Unit: A. Limit `rating`: the block's limit as entered.
    """
    if results.power is None:
        return
    figures = {f.id: f for f in results.power.feeds}
    for block, _, limit, _ in _blocks(results.rig):
        device = results.rig.devices[block]
        for feed in results.rig.feeds.values():
            figure = figures.get(feed.id)
            if feed.to != block or figure is None:
                continue
            load_a, key, basis = worst_of(figure, "worst_rms_a")
            yield Reading(
                subject=block,
                value=load_a,
                file=device.file,
                line=device.line,
                limits={"rating": limit},
                words={"basis": basis},
                witness=figure.rms_witness,
                figure=f"power.feeds[{feed.id}].{key}",
            )


# --- supply and grounds ------------------------------------------------------------------------------------


def supply_margin(results: Results) -> Iterator[Reading]:
    """Hot output of the charging system at a saved state's engine speed, less what the state draws on average.

    Unit: A. Formula: output(rpm x pulley ratio, hot) - average_a. Source: the vehicle's charging curve as entered.
    Facts: running (the engine runs in it), idle (at idle speed).
    """
    if results.power is None:
        return
    rig = results.rig
    idle_rpm = rig.vehicle.charging.idle_rpm
    points = {p.id: p for p in rig.states}
    for figure in results.power.supply.states:
        point = points[figure.id]
        if figure.margin_a is None:
            continue
        rpm = point.rpm if point.rpm is not None else idle_rpm
        yield Reading(
            subject=figure.id,
            value=figure.margin_a,
            file=point.file,
            line=point.line,
            words={"rpm": f"{rpm:g} rpm" if rpm is not None else "its only speed"},
            facts={"running": figure.running, "idle": rpm is None or idle_rpm is None or rpm <= idle_rpm},
            figure=f"power.supply.states[{figure.id}].margin_a",
        )


def charging_margin(results: Results) -> Iterator[Reading]:
    """Greatest hot output of the charging system at any engine speed, less the worst average of every reachable state
    with the engine running and what the vehicle itself draws.

    Unit: A. Formula: most output - worst average - base load. Source: the vehicle's charging curve as entered.
    """
    worst = results.power.supply.worst_running if results.power is not None else None
    if worst is None or worst.most_margin_a is None:
        return
    where = results.rig.vehicle.where_of("charging")
    yield Reading(
        subject="charging",
        value=worst.most_margin_a,
        file=where.file,
        line=where.line,
        witness=worst.witness,
        figure="power.supply.worst_running.most_margin_a",
    )


def return_on_sensor(results: Results) -> Iterator[Reading]:
    """1 for a device whose return ends at the post of a battery with a current sensor, else 0.

    Unit: count. A stud within 0.15 m of the battery's place counts as its post [common practice, no source].
    """
    rig = results.rig
    sensed = [b for b in rig.banks.values() if b.negative_sensor and b.at is not None]
    for device in rig.devices.values():
        stud = rig.studs.get(device.ground or "")
        if stud is None:
            continue
        near = None
        for bank in sensed:
            assert bank.at is not None
            apart = math.dist((stud.at.x_m, stud.at.y_m, stud.at.z_m), (bank.at.x_m, bank.at.y_m, bank.at.z_m))
            if apart <= SENSOR_REACH_M and (near is None or apart < near[1]):
                near = (bank.id, apart)
        yield Reading(
            subject=device.id,
            value=1.0 if near else 0.0,
            file=device.file,
            line=device.line,
            words={
                "stud": stud.id,
                "bank": near[0] if near else "",
                "distance": f"{1000 * near[1]:.0f} mm" if near else "",
            },
        )


MEASURES: tuple[Measure, ...] = (
    Measure(name="output_current", per="circuit", unit="A", take=output_current, limits=("rating",), words=("basis",)),
    Measure(name="bank_current", per="module", unit="A", take=bank_current, limits=("rating",), words=("basis",)),
    Measure(name="charging_margin", per="whole", unit="A", take=charging_margin),
    Measure(name="outputs_free_share", per="module", unit="share", take=outputs_free_share),
    Measure(name="block_free_share", per="module", unit="share", take=block_free_share),
    Measure(name="block_current", per="module", unit="A", take=block_current, limits=("rating",), words=("basis",)),
    Measure(
        name="supply_margin",
        per="mode",
        unit="A",
        take=supply_margin,
        words=("rpm",),
        facts=MappingProxyType({"running": None, "idle": None}),
    ),
    Measure(
        name="return_on_sensor",
        per="device",
        unit="count",
        take=return_on_sensor,
        words=("stud", "bank", "distance"),
    ),
)
