"""The entry of the power engine: conductors, drops, states, charging."""

from __future__ import annotations

import math
from dataclasses import replace

from rigbook.power import charging, drops, duty, endurance, loads, supply, trials, worst_figures
from rigbook.power.bundles import bundles
from rigbook.power.conductors import practice_max_fuse_a
from rigbook.power.guarded import guarded
from rigbook.power.loads import StateLoads, carried
from rigbook.power.network import Collapse
from rigbook.power.network_figures import network_figures, network_notes
from rigbook.power.protection import protections
from rigbook.power.result import (
    CircuitFigures,
    DeviceDrop,
    FeedFigures,
    Flow,
    ModuleFigures,
    PowerResult,
    StateFigures,
    StateSupply,
    Supply,
    Whole,
)
from rigbook.power.saved import saved
from rigbook.power.solved import STATE, solved_drop_v
from rigbook.power.waveform import Currents, Wave, currents, mean_a
from rigbook.quantities.kept import Kept
from rigbook.rig.model import Circuit, Member, Module, Rig, RigNote, Segment
from rigbook.rig.nameplate import nameplate_a


def work_out(rig: Rig, kept: Kept | None = None) -> PowerResult:
    """Currents, drops, fuses and charging of a decided rig. Pure; kept: worst cases that earlier runs worked out."""
    states = loads.state_loads(rig)
    notes: list[RigNote] = []
    known: dict[tuple[Wave, ...], Currents] = {}  # a lone lamp's circuit carries what the lamp does, in many states
    networks = network_figures(rig, states)
    notes.extend(network_notes(rig, networks))
    result = PowerResult(
        whole=Whole(nameplate_a=whole_nameplate_a(rig)),
        circuits=tuple(_circuit(rig, circuit, notes) for circuit in rig.circuits.values()),
        feeds=tuple(_feed(rig, feed_id) for feed_id in rig.feeds),
        modules=tuple(_module(rig, module) for module in rig.modules.values()),
        supply=Supply(supply.output_a(rig, engine_rpm=None), tuple(state_supply(rig, state) for state in states)),
        states=tuple(_state(rig, state, known) for state in states),
        protection=protections(rig),
        network=networks,
        guarded=guarded(rig),
        bundles=bundles(rig),
        outputs=rig.choices.outputs_found,
        notes=(*notes, *_notes(rig)),
    )
    if worst_figures.solvable():
        result = worst_figures.with_worst(result, worst_figures.worst_cases(rig, kept=kept))
        result = replace(result, saved=saved(rig, result))
    return with_day(rig, result, states)


def with_day(rig: Rig, result: PowerResult, states: tuple[StateLoads, ...]) -> PowerResult:
    """The batteries through the day, endurance, the virtual tests, and what the charging system needs."""
    plant, run = duty.plant_and_day(rig)
    standby = endurance.standby_a(rig, plant)
    made = replace(
        result.supply,
        needs=charging.needs(rig, states, result.supply.states),
        start_up=charging.start_up(rig, states),
        shore=charging.shore(rig, standby),
    )
    return replace(
        result,
        supply=made,
        blocks=charging.blocks(rig, result.feeds),
        duty=None if run is None else duty.duty_figures(run),
        day_banks=() if run is None else duty.bank_days(run),
        day_events=() if run is None else duty.day_events(run.events),
        endurance=endurance.endurance(rig, plant, run),
        trials=trials.trials(rig, plant, states),
    )


def whole_nameplate_a(rig: Rig) -> float:
    """Every device that a circuit powers at its highest entered draw, A."""
    wanted = [
        (draw.device_id, draw.channel)
        for device in rig.devices.values()
        for draw in device.draws
        if draw.circuit_id is not None
    ]
    return nameplate_a(rig.devices, wanted)


# --- circuits, feeds, modules ------------------------------------------------------------------------


def _circuit(rig: Rig, circuit: Circuit, notes: list[RigNote]) -> CircuitFigures:
    every = drops.ways(rig, circuit)
    worst = drops.governing(rig, circuit)
    thinnest = drops.weakest(drops.own_conductors(rig, circuit))
    lost = drops.source_drop_v(rig, circuit, worst) if worst is not None else None
    solved = solved_drop_v(rig, circuit)
    if isinstance(solved, Collapse):
        says = (
            f"the conductors of {circuit.id} cannot pass what its devices ask for all at once: the network has "
            f"no solution beyond {100 * solved.share:.3g} % of it; use a thicker wire or a shorter way"
        )
        notes.append(RigNote("collapse", circuit.id, "fail", says, circuit.file, circuit.line))
        solved = None
    return CircuitFigures(
        id=circuit.id,
        feed=circuit.feed_id,
        devices=tuple(_device_drop(rig, circuit, each) for each in every),
        governing=None if worst is None else worst.member.device_id,
        conductor=None if thinnest is None else str(thinnest.conductor.gauge),
        fuse_a=circuit.fuse_a,
        limit_a=circuit.limit_a,
        nameplate_a=circuit_nameplate_a(rig, circuit),
        ampacity_a=None if thinnest is None else drops.ampacity_a(thinnest),
        practice_fuse_a=_practice(thinnest),
        drop_v=lost,
        drop_fraction=None if lost is None else lost / rig.shop.drop_from,
        own_drop_v=None if worst is None else worst.drop_v,
        solved_state=STATE,
        solved_drop_v=solved,
    )


def circuit_draws(rig: Rig, circuit: Circuit) -> list[tuple[str, str]]:
    """Everything that flows through a circuit as (device, channel): its devices, and the outputs of its modules."""
    return [
        need
        for circuit_id in carried(circuit)
        if circuit_id in rig.circuits
        for member in rig.circuits[circuit_id].members
        for need in member.draws
    ]


def circuit_nameplate_a(rig: Rig, circuit: Circuit) -> float:
    """What flows through a circuit at most, A: its draws by name-plate, or what a charger puts in where that is more."""
    return max(nameplate_a(rig.devices, circuit_draws(rig, circuit)), supply.supplied_a(rig, circuit.members))


def member_current_a(rig: Rig, member: Member) -> float:
    """What flows to or from a device on a circuit at most, A."""
    return max(member.nameplate_a, supply.supplied_a(rig, [member]))


def _device_drop(rig: Rig, circuit: Circuit, each: drops.Way) -> DeviceDrop:
    member = each.member
    device = rig.devices[member.device_id]
    lost = drops.source_drop_v(rig, circuit, each)
    channels = dict.fromkeys(channel for owner, channel in member.draws if owner == member.device_id)
    return DeviceDrop(
        id=member.device_id,
        colour="+".join(channels) if device.colours and channels else None,
        length_m=each.length_m,
        current_a=member_current_a(rig, member),
        drop_v=lost,
        device_v=rig.shop.drop_from - lost,
    )


def _practice(segment: Segment | None) -> float | None:
    return None if segment is None else practice_max_fuse_a(gauge=segment.conductor.gauge)


def _feed(rig: Rig, feed_id: str) -> FeedFigures:
    feed = rig.feeds[feed_id]
    thinnest = drops.weakest(drops.feed_conductors(rig, feed_id))
    return FeedFigures(
        id=feed_id,
        conductor=None if thinnest is None else str(thinnest.conductor.gauge),
        fuse_a=feed.fuse_a,
        nameplate_a=feed.nameplate_a,
        ampacity_a=None if thinnest is None else drops.ampacity_a(thinnest),
        practice_fuse_a=_practice(thinnest),
        drop_v=feed_drop_v(rig, feed_id),
    )


def feed_drop_v(rig: Rig, feed_id: str) -> float | None:
    """Drop of a feed's line to its block at its name-plate current, else of its own circuit; None without either."""
    feed = rig.feeds[feed_id]
    if feed.segment is not None:
        return drops.segment_drop(rig.segments[feed.segment]).drop_v
    circuit = rig.circuits.get(feed_id)
    worst = None if circuit is None else drops.governing(rig, circuit)
    return None if worst is None else worst.drop_v


def module_draws(rig: Rig, module: Module) -> list[tuple[str, str]]:
    """What a module's outputs power, as (device, channel)."""
    return [
        need
        for circuit in rig.circuits.values()
        if circuit.module_id == module.id
        for member in circuit.members
        for need in member.draws
    ]


def module_limit_a(module: Module) -> float | None:
    """All banks of a module together, A; None where one states no limit."""
    limits = [bank.limit_a for bank in module.banks]
    known = [limit for limit in limits if limit is not None]
    return math.fsum(known) if limits and len(known) == len(limits) else None


def _module(rig: Rig, module: Module) -> ModuleFigures:
    return ModuleFigures(
        id=module.id,
        outputs_used=len(module.outputs_used),
        outputs=module.outputs,
        nameplate_a=nameplate_a(rig.devices, module_draws(rig, module)),
        limit_a=module_limit_a(module),
    )


# --- states ---------------------------------------------------------------------------------------------


def state_supply(rig: Rig, state: StateLoads) -> StateSupply:
    """A saved state against the charging system."""
    equipment, factory = float(mean_a(state.whole())), float(mean_a(state.factory()))
    base = supply.base_load_a(rig, running=state.running)
    average = equipment + factory + base
    output = supply.state_output_a(rig, state.point, running=state.running)
    return StateSupply(
        id=state.point.id,
        running=state.running,
        equipment_a=equipment,
        factory_a=factory,
        base_a=base,
        average_a=average,
        output_a=output,
        margin_a=None if output is None else output - average,
    )


def _state(rig: Rig, state: StateLoads, known: dict[tuple[Wave, ...], Currents]) -> StateFigures:
    whole = currents(state.whole())
    drawing = [device for device in rig.devices.values() if device.draws]
    return StateFigures(
        id=state.point.id,
        title=state.point.title,
        average_a=whole.average_a,
        rms_a=whole.rms_a,
        peak_a=whole.peak_a,
        bound=whole.bound,
        devices=tuple(_flow(device.id, state.device(device.id), known) for device in drawing),
        circuits=tuple(_flow(circuit.id, state.circuit(circuit), known) for circuit in rig.circuits.values()),
        feeds=tuple(_flow(feed_id, state.feed(rig, feed_id), known) for feed_id in rig.feeds),
    )


def _flow(name: str, waves: tuple[Wave, ...], known: dict[tuple[Wave, ...], Currents]) -> Flow:
    found = known.get(waves)
    if found is None:
        found = known[waves] = currents(waves)
    return Flow(name, found.average_a, found.rms_a, found.peak_a, found.bound)


def _notes(rig: Rig) -> list[RigNote]:
    notes = []
    if rig.circuits and not worst_figures.solvable():
        says = (
            "the worst currents over all states are not worked out, as no solver is installed (package python-sat): "
            "fuses and wires are judged by the name-plate sum, which no state exceeds"
        )
        notes.append(RigNote("not-worked-out", "power.worst", "note", says, rig.build_file, 1))
    if not rig.build.duty:
        says = "charge through the day is not worked out: the build states no working day (`duty`)"
        notes.append(RigNote("not-worked-out", "power.duty", "note", says, rig.build_file, 1))
    for bank in rig.banks.values():
        if rig.parts[bank.part_id].resistance is None:
            says = (
                f"the part of bank {bank.id} states no inside resistance: 5 mohm at 100 Ah is taken "
                "[common practice, no source]"
            )
            notes.append(RigNote("resistance-assumed", bank.id, "note", says, bank.file, bank.line))
    if supply.output_a(rig, engine_rpm=None) is None:
        where = rig.vehicle.where_of("charging")
        says = "the charging output at idle is not worked out: the vehicle states no hot curve or no idle speed"
        notes.append(RigNote("not-worked-out", "power.supply", "note", says, where.file, where.line))
    return notes
