"""Whatever a worst case is asked of: the whole, devices, circuits, feeds, modules, banks, wires, charging."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from rigbook.power import supply
from rigbook.power.flowing import Flow, by_duty, flows_of, largest
from rigbook.power.loads import carried, feeds_above
from rigbook.rig.model import Member, Rig
from rigbook.switching.program import Expression

Need = tuple[str, str]
"""A device and a channel it draws on."""


@dataclass(frozen=True, slots=True)
class Target:
    """One thing and all that may flow through it.

    kind: `whole`, `devices`, `circuits`, `feeds`, `modules`, `banks`, `wires` or `charging`. supplied_a: what a
    charger on it puts in, where that is more. under: states that count, None for all.
    """

    kind: str
    id: str
    flows: tuple[Flow, ...]
    supplied_a: float = 0.0
    under: Expression | None = None


@dataclass(frozen=True, slots=True)
class Scope:
    """A target by what may flow through it, before any flow is known. members: where chargers may sit."""

    kind: str
    id: str
    needs: frozenset[Need]
    members: tuple[Member, ...] = ()


def targets_of(rig: Rig, flows: Iterable[Flow]) -> tuple[Target, ...]:
    """All targets of a rig, in the order of its lists."""
    by_need = _by_need(flows)
    return tuple(_target(rig, scope, by_need) for scope in scopes(rig))


def target_of(rig: Rig, kind: str, name: str) -> Target:
    """One target alone, from the flows of its own devices. KeyError for an unknown one."""
    for scope in scopes(rig):
        if (scope.kind, scope.id) == (kind, name):
            devices = frozenset(device for device, _ in scope.needs)
            return _target(rig, scope, _by_need(flows_of(rig, only=devices)))
    raise KeyError(name)


def _by_need(flows: Iterable[Flow]) -> dict[Need, list[Flow]]:
    found: dict[Need, list[Flow]] = {}
    for flow in flows:
        found.setdefault((flow.draw.device_id, flow.draw.channel), []).append(flow)
    return found


def _target(rig: Rig, scope: Scope, by_need: dict[Need, list[Flow]]) -> Target:
    found = [flow for need in scope.needs for flow in by_need.get(need, ())]
    own = sorted(found, key=lambda flow: flow.number)
    if scope.kind != "charging":
        powered = largest(flow for flow in own if flow.draw.circuit_id is not None)
        return Target(scope.kind, scope.id, powered, supply.supplied_a(rig, scope.members))
    # Factory lamps count where a function has taken them from the vehicle.
    counted = (flow for flow in own if flow.draw.circuit_id is not None or flow.act.taken)
    running = dict(rig.program.roles)["running_when"]
    return Target("charging", "", largest(by_duty(rig, counted)), under=running)


def scopes(rig: Rig) -> Iterator[Scope]:
    """What every target may carry, by the rig's draws, circuits and conductors."""
    on_circuit: dict[str, set[Need]] = {}
    behind: dict[str, set[Need]] = {}
    every: set[Need] = set()
    powered: dict[str, set[Need]] = {}
    for device in rig.devices.values():
        for draw in device.draws:
            need = (device.id, draw.channel)
            every.add(need)
            if draw.circuit_id is not None:
                powered.setdefault(device.id, set()).add(need)
                on_circuit.setdefault(draw.circuit_id, set()).add(need)
                for feed in feeds_above(rig, draw):
                    behind.setdefault(feed, set()).add(need)
    yield Scope("whole", "", frozenset().union(*powered.values()))
    for device_id, needs in powered.items():
        yield Scope("devices", device_id, frozenset(needs))
    for circuit in rig.circuits.values():
        through = frozenset(need for name in carried(circuit) for need in on_circuit.get(name, ()))
        yield Scope("circuits", circuit.id, through, circuit.members)
    for feed_id in rig.feeds:
        members = rig.circuits[feed_id].members if feed_id in rig.circuits else ()
        yield Scope("feeds", feed_id, frozenset(behind.get(feed_id, ())), members)
    for module in rig.modules.values():
        outputs = [c for c in rig.circuits.values() if c.module_id == module.id]
        yield Scope("modules", module.id, frozenset(n for c in outputs for n in on_circuit.get(c.id, ())))
        for bank in module.banks:
            own = frozenset(n for c in outputs if c.bank == bank.id for n in on_circuit.get(c.id, ()))
            yield Scope("banks", f"{module.id}.{bank.id}", own)
    yield from _wires(rig, behind)
    if "running_when" in dict(rig.program.roles):
        yield Scope("charging", "", frozenset(every))


def _wires(rig: Rig, behind: dict[str, set[Need]]) -> Iterator[Scope]:
    """Each conductor of a circuit or a feed's line, with what flows through it."""
    through: dict[str, set[Need]] = {}
    members: dict[str, list[Member]] = {}
    for circuit in rig.circuits.values():
        for member in circuit.members:
            for path, needs in _paths(rig, member):
                for segment in path:
                    through.setdefault(segment, set()).update(needs)
                    members.setdefault(segment, []).append(member)
    lines = {feed.segment: feed.id for feed in rig.feeds.values() if feed.segment is not None}
    for segment in rig.segments:
        if segment in lines:
            yield Scope("wires", segment, frozenset(behind.get(lines[segment], ())))
        elif segment in through:
            yield Scope("wires", segment, frozenset(through[segment]), tuple(members[segment]))


def _paths(rig: Rig, member: Member) -> Iterator[tuple[tuple[str, ...], list[Need]]]:
    """The way out and the way back of a member, each with what flows through it as (device, channel).

    What outputs drive goes to ground by its own return, as the rig lays it, not through the module's.
    """
    if member.signal:
        return
    carried_below = [
        need
        for output in member.carries
        if output in rig.circuits
        for below in rig.circuits[output].members
        for need in below.draws
    ]
    yield member.feed_path, [*member.draws, *carried_below]
    yield member.return_path, list(member.draws)
