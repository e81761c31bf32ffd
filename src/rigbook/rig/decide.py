"""From an open rig and choices to a decided rig, which the engines read."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any

from rigbook.rig.digest import digest
from rigbook.rig.facts import make_device_facts
from rigbook.rig.masses import harness_mass, heat_sources
from rigbook.rig.model import (
    Choices,
    Circuit,
    Device,
    FeedLine,
    Link,
    Module,
    Point,
    PointMass,
    Rig,
    RigNote,
    Segment,
)
from rigbook.rig.open import compile_switching
from rigbook.rig.open_model import Need, OpenRig
from rigbook.rig.plan import Plan, PlannedSegment
from rigbook.rig.settle import decided
from rigbook.rig.supply import head_bank
from rigbook.rig.wiring import plan_wiring


def decide(open_rig: OpenRig, choices: Choices) -> Rig:
    """Put choices to an open rig. Pure: the same two give the same rig.

    ValueError where the choices lack something the plan needs; `choose` never leaves anything out.
    """
    rig = decide_draft(open_rig, choices)
    return replace(rig, digest=digest(covered(rig, open_rig.digest_of)))


def decide_draft(open_rig: OpenRig, choices: Choices) -> Rig:
    """The same without a digest: for a rig that is thrown away once its currents are known."""
    outputs: dict[Need, str] = {need: str(choice.value) for need, choice in choices.outputs.items()}
    grounds = {name: str(choice.value) for name, choice in choices.grounds.items()}
    plan = plan_wiring(open_rig=open_rig, outputs=outputs, grounds=grounds)
    _check_complete(open_rig, plan, choices)
    segments = {name: _segment(open_rig, planned, choices) for name, planned in plan.segments.items()}
    device_facts = make_device_facts(
        build=open_rig.build, parts=open_rig.parts, devices=open_rig.devices, terminals=open_rig.terminals,
        modules=open_rig.modules, outputs=outputs,
    )  # fmt: skip
    feed_facts = open_rig.feed_facts
    compiled = open_rig.compiled
    if device_facts != open_rig.device_facts:
        compiled = compile_switching(
            build=open_rig.build, vehicle=open_rig.vehicle, shop=open_rig.shop, devices=device_facts, feeds=feed_facts
        )  # fmt: skip
    if compiled.program is None:
        raise ValueError(f"switching compiled when opened but not when decided: {compiled.problems[0].says}")
    clocks = {facts.id: facts.clock for facts in device_facts}
    choices = replace(choices, paths={name: planned.settles for name, planned in plan.segments.items()
                                      if planned.settles})  # fmt: skip
    devices = {
        name: _device(device, open_rig, plan, clocks, grounds) for name, device in open_rig.devices.items()
    }  # fmt: skip
    return Rig(
        shop=open_rig.shop,
        vehicle=open_rig.vehicle,
        build=open_rig.build,
        parts=open_rig.parts,
        devices=devices,
        circuits=_circuits(plan, choices),
        feeds=_feeds(open_rig, plan, choices),
        modules=_modules(open_rig, outputs),
        banks=open_rig.banks,
        links=_links(open_rig, plan, choices),
        studs=open_rig.studs,
        segments=segments,
        masses=_masses(open_rig, segments.values(), plan),
        heat=heat_sources(devices, open_rig.parts),
        switches=open_rig.switches,
        inputs=open_rig.inputs,
        compiled=compiled,
        device_facts=device_facts,
        feed_facts=feed_facts,
        states=open_rig.states,
        choices=choices,
        notes=(*open_rig.notes, *choices.notes, *_low_side(open_rig, outputs)),
        digest="",
        build_file=open_rig.build_file,
        vehicle_file=open_rig.vehicle_file,
    )


def _check_complete(open_rig: OpenRig, plan: Plan, choices: Choices) -> None:
    missing = [name for name in plan.segments if name not in choices.wires or name not in choices.routes]
    missing += [name for name in open_rig.feeds if name not in choices.fuses]
    if missing:
        raise ValueError(f"nothing was chosen for {', '.join(missing)}")


def covered(rig: Rig, reached: Mapping[str, Any]) -> dict[str, Any]:
    """What the digest is over."""
    build = rig.build.model_dump(mode="json")
    build.pop("settled", None)
    build["build"].pop("stands", None)
    rows = {row.part for row in rig.build.install} | {part for m in rig.build.markings for part in m.parts}
    rows |= {bank.part_id for bank in rig.banks.values()} | {wire.part for wire in rig.shop.wires}
    inside = {
        module.part for name in rows for module in getattr(rig.parts.get(name), "modules", ())
    }  # fmt: skip
    parts = {name: rig.parts[name].model_dump(mode="json") for name in sorted(rows | inside) if name in rig.parts}
    return {
        "build": build,
        "decided": {path: text for path, (text, _) in decided(rig).items()},
        "vehicle": rig.vehicle.model_dump(mode="json"),
        "parts": parts,
        "shop": rig.shop.model_dump(mode="json"),
        **reached,
    }


def _segment(open_rig: OpenRig, planned: PlannedSegment, choices: Choices) -> Segment:
    route = choices.routes[planned.id]
    areas, hottest_c = choices.areas[planned.id]
    return Segment(
        id=planned.id,
        role=planned.role,
        from_point=planned.start.point,
        to_point=planned.end.point,
        length_m=choices.lengths_m[planned.id],
        route=tuple(route.value),
        areas=areas,
        hottest_c=hottest_c,
        bundle_count=choices.bundles[planned.id],
        governs_c=choices.governs[planned.id][0],
        governs_count=choices.governs[planned.id][1],
        nameplate_a=planned.nameplate_a,
        conductor=choices.wires[planned.id],
        file=planned.where.file,
        line=planned.where.line,
        route_how=route.how,
        why=route.why,
        ampacity_rule=open_rig.ampacity_rule,
        load_rms_a=choices.loads[planned.id][0] if planned.id in choices.loads else None,
        load_peak_a=choices.loads[planned.id][1] if planned.id in choices.loads else None,
    )


def _device(
    device: Device, open_rig: OpenRig, plan: Plan, clocks: Mapping[str, str], grounds: Mapping[str, str]
) -> Device:
    through: dict[Need, str] = {}
    for terminal in open_rig.terminals.values():
        if terminal.signal or terminal.node not in plan.terminal_circuit:
            continue
        for need in terminal.draws:
            through.setdefault(need, terminal.node)
    draws = []
    for draw in device.draws:
        node = through.get((device.id, draw.channel))
        if node is None:
            draws.append(draw)
            continue
        circuit = plan.circuits[plan.terminal_circuit[node]]
        terminal = open_rig.terminals[node]
        draws.append(
            replace(
                draw, circuit_id=circuit.id, terminal=node, feed_id=circuit.feed_id,
                return_point=terminal.return_point or draw.return_point,
            )
        )  # fmt: skip
    holder = device.inside_of or device.id
    return replace(
        device, draws=tuple(draws), clock=clocks.get(device.id, device.clock),
        ground=grounds.get(holder, device.ground),
    )  # fmt: skip


def _circuits(plan: Plan, choices: Choices) -> dict[str, Circuit]:
    return {
        name: Circuit(
            id=name,
            kind=circuit.kind,
            feed_id=circuit.feed_id,
            fuse_a=float(choices.fuses[name].value) if circuit.kind == "fuse" else None,
            limit_a=circuit.limit_a,
            module_id=circuit.module_id,
            bank=circuit.bank,
            members=circuit.members,
            nameplate_a=circuit.nameplate_a,
            file=circuit.where.file,
            line=circuit.where.line,
            why=choices.fuses[name].why if circuit.kind == "fuse" else "",
        )
        for name, circuit in plan.circuits.items()
    }


def _feeds(open_rig: OpenRig, plan: Plan, choices: Choices) -> dict[str, FeedLine]:
    made = {}
    for feed in open_rig.feeds.values():
        fuse = choices.fuses[feed.id]
        made[feed.id] = FeedLine(
            id=feed.id,
            parent=feed.parent,
            bank_id=head_bank(open_rig.feeds, feed.id),
            block_id=feed.block_id,
            block_position=feed.block_position,
            to=feed.to,
            fuse_a=float(fuse.value),
            fuse_how=fuse.how,
            fuse_why=fuse.why,
            segment=plan.feed_segments.get(feed.id),
            drop=feed.drop,
            load_class=feed.load_class,
            sheds=feed.sheds,
            starts_after_s=feed.starts_after_s,
            live_when=feed.live_when,
            through=feed.through,
            feeds=tuple(other.id for other in open_rig.feeds.values() if other.parent == feed.id),
            circuits=tuple(c.id for c in plan.circuits.values() if c.feed_id == feed.id),
            nameplate_a=plan.feed_load_a[feed.id],
            file=feed.where.file,
            line=feed.where.line,
            breaker=feed.breaker,
        )
    return made


def _modules(open_rig: OpenRig, outputs: Mapping[Need, str]) -> dict[str, Module]:
    used: dict[str, set[int]] = {}
    for output in outputs.values():
        module, _, number = output.rpartition(".")
        used.setdefault(module, set()).add(int(number))
    return {
        name: replace(module, outputs_used=tuple(sorted(used.get(name, ()))))
        for name, module in open_rig.modules.items()
    }


def _links(open_rig: OpenRig, plan: Plan, choices: Choices) -> dict[str, Link]:
    made = {}
    for link in open_rig.links.values():
        start, end = choices.fuses[f"{link.id}:start"], choices.fuses[f"{link.id}:end"]
        made[link.id] = Link(
            link.id, link.from_bank, link.to_bank, link.through, float(start.value), float(end.value),
            start.how, end.how, plan.link_segments[link.id], link.load_a, link.load_why,
            link.where.file, link.where.line,
        )  # fmt: skip
    return made


def _masses(open_rig: OpenRig, segments: Iterable[Segment], plan: Plan) -> tuple[PointMass, ...]:
    ends: dict[str, Point] = {}
    for planned in plan.segments.values():
        for end in (planned.start, planned.end):
            if end.at:
                ends[end.point] = end.at[0]
    harness = harness_mass(segments=segments, parts=open_rig.parts, points=open_rig.graph.nodes, ends=ends)
    return open_rig.masses if harness is None else (*open_rig.masses, harness)


def _low_side(open_rig: OpenRig, outputs: Mapping[Need, str]) -> list[RigNote]:
    """An output that switches to ground is worked out with the same wires and currents; the papers must say so."""
    found = []
    for name, module in open_rig.modules.items():
        used = sorted(output for output in outputs.values() if output.rpartition(".")[0] == name)
        if module.side == "low" and used:
            says = (
                f"{name} switches to ground: its {len(used)} outputs are worked out as wires of the same length and "
                "current, but the device's other wire goes to its feed"
            )
            found.append(RigNote("low-side", name, "note", says, module.file, module.line))
    return found
