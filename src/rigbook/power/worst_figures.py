"""The worst cases put into the power block, beside the name-plate sums."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from importlib.util import find_spec
from types import MappingProxyType
from typing import Any

from rigbook.power import drops, supply
from rigbook.power.flowing import flows_of
from rigbook.power.result import BankFigures, DeviceFigures, PowerResult, WireFigures, WorstCharging
from rigbook.power.targets import Target, targets_of
from rigbook.power.worst import Extreme, Extremes, Worker
from rigbook.proofs.evidence import State
from rigbook.proofs.quick_presses import QuickSearch
from rigbook.proofs.witness import witness_of
from rigbook.quantities.kept import Kept
from rigbook.rig.model import Rig
from rigbook.rig.nameplate import nameplate_a
from rigbook.switching.program import Witness

KEYS = ("average", "rms", "peak")
PRESS_STATES_TOGETHER = 10_000
"""States looked at for the press steps of all witnesses of a rig; some 10,000 a second."""
Steps = Mapping[State, tuple[str, ...] | None]


@dataclass(frozen=True, slots=True)
class WorstCases:
    """Worst values by kind and id of target, and press steps to their states where they were looked for and found."""

    rig: Rig
    targets: Mapping[tuple[str, str], Target]
    found: Mapping[tuple[str, str], Extremes]
    steps: Steps = field(default_factory=lambda: MappingProxyType({}))


def solvable() -> bool:
    """Whether the solver that worst cases need is installed."""
    return find_spec("pysat") is not None


def worst_cases(rig: Rig, *, kinds: Iterable[str] | None = None, kept: Kept | None = None) -> WorstCases:
    """Work the worst cases of all targets out, or of some kinds; those of equal flows under an equal program are
    taken from what is kept. Press steps are looked for where all targets are asked for."""
    wanted = None if kinds is None else frozenset(kinds)
    table = {} if kept is None else kept.table("worst cases", rig.program)
    flows = flows_of(rig)
    marks = [id(table.setdefault(alike, alike)) for alike in (replace(flow, number=0) for flow in flows)]
    every = targets_of(rig, flows)
    targets = {(t.kind, t.id): t for t in every if wanted is None or t.kind in wanted}
    found: dict[tuple[str, str], Extremes] = {}
    worker: Worker | None = None
    try:
        for name, target in targets.items():
            key = (tuple(marks[flow.number] if flow.number >= 0 else flow for flow in target.flows), target.under)
            known = table.get(key)
            if known is None:
                worker = worker or Worker(rig, every)
                known = worker.extremes(target)
                if known.exact:  # a bound depends on how far the search came
                    table[key] = known
            found[name] = known
    finally:
        if worker is not None:
            worker.prover.close()
    steps = press_steps(rig, found.values(), kept) if wanted is None else {}
    return WorstCases(rig, MappingProxyType(targets), MappingProxyType(found), MappingProxyType(steps))


def press_steps(rig: Rig, found: Iterable[Extremes], kept: Kept | None = None) -> dict[State, tuple[str, ...] | None]:
    """What a crew does to get from rest to each state that is a witness; None where no way was found."""
    table = {} if kept is None else kept.table("press steps", rig.program)
    search: QuickSearch | None = None
    for extremes in found:
        for extreme in (extremes.average, extremes.rms, extremes.peak):
            if extreme is None or extreme.state in table:
                continue
            search = search or QuickSearch(rig.program, together=PRESS_STATES_TOGETHER)
            events = search.find(extreme.state).events
            table[extreme.state] = None if events is None else tuple(map(str, events))
    return table


def with_worst(result: PowerResult, cases: WorstCases) -> PowerResult:
    """The power block with its worst values filled in."""

    def fields(kind: str, name: str = "") -> dict[str, Any]:
        return worst_fields(cases, kind, name)

    rig = cases.rig
    return replace(
        result,
        whole=replace(result.whole, **fields("whole")),
        circuits=tuple(replace(c, **fields("circuits", c.id)) for c in result.circuits),
        feeds=tuple(replace(f, **fields("feeds", f.id)) for f in result.feeds),
        modules=tuple(replace(m, **fields("modules", m.id)) for m in result.modules),
        supply=replace(result.supply, worst_running=_charging(cases)),
        devices=tuple(
            DeviceFigures(name, device_nameplate_a(rig, name), **fields(kind, name))
            for kind, name in cases.targets
            if kind == "devices"
        ),
        banks=tuple(
            BankFigures(
                f"{m.id}.{b.id}", bank_nameplate_a(rig, m.id, b.id), b.limit_a, **fields("banks", f"{m.id}.{b.id}")
            )
            for m in rig.modules.values()
            for b in m.banks
        ),
        wires=tuple(_wire(rig, name, fields("wires", name)) for kind, name in cases.targets if kind == "wires"),
    )


def worst_fields(cases: WorstCases, kind: str, name: str) -> dict[str, Any]:
    """The worst values of one target by the names of the result's fields."""
    found = cases.found[kind, name]
    supplied = cases.targets[kind, name].supplied_a
    fields: dict[str, Any] = {}
    for key in KEYS:
        extreme: Extreme | None = getattr(found, key)
        if extreme is not None:
            more = supplied > extreme.value_a
            fields[f"worst_{key}_a"] = supplied if more else extreme.value_a
            fields[f"worst_{key}_gap_a"] = 0.0 if more else extreme.gap_a
            fields["witness" if key == "average" else f"{key}_witness"] = witness(cases, extreme)
    return fields


def witness(cases: WorstCases, extreme: Extreme) -> Witness:
    """The state of a worst value."""
    steps = cases.steps.get(extreme.state)
    return replace(witness_of(cases.rig.program, *extreme.state, steps=steps), bound=extreme.bound)


def device_nameplate_a(rig: Rig, device_id: str) -> float:
    """Name-plate sum of a device's draws that a circuit powers, A."""
    draws = rig.devices[device_id].draws
    return nameplate_a(rig.devices, [(device_id, d.channel) for d in draws if d.circuit_id is not None])


def bank_draws(rig: Rig, module_id: str, bank_id: str) -> list[tuple[str, str]]:
    """What a bank's outputs power, as (device, channel)."""
    circuits = [c for c in rig.circuits.values() if c.module_id == module_id and c.bank == bank_id]
    return [need for circuit in circuits for member in circuit.members for need in member.draws]


def bank_nameplate_a(rig: Rig, module_id: str, bank_id: str) -> float:
    """Name-plate sum of what a bank's outputs power, A."""
    return nameplate_a(rig.devices, bank_draws(rig, module_id, bank_id))


def _wire(rig: Rig, name: str, fields: Mapping[str, Any]) -> WireFigures:
    segment = rig.segments[name]
    ampacity_a = None if segment.role == "lead" else drops.ampacity_a(segment)
    return WireFigures(name, str(segment.conductor.gauge), segment.nameplate_a, ampacity_a, **fields)


def _charging(cases: WorstCases) -> WorstCharging | None:
    found = cases.found.get(("charging", ""))
    if found is None or found.average is None:
        return None
    rig, worst = cases.rig, found.average
    base_a = supply.base_load_a(rig, running=True)
    idle_a, most_a = supply.output_a(rig, engine_rpm=None), supply.most_output_a(rig)
    return WorstCharging(
        worst_average_a=worst.value_a,
        worst_average_gap_a=worst.gap_a,
        base_a=base_a,
        idle_margin_a=None if idle_a is None else idle_a - worst.value_a - base_a,
        most_output_a=most_a,
        most_margin_a=None if most_a is None else most_a - worst.value_a - base_a,
        witness=witness(cases, worst),
    )
