"""Whatever a worst case is asked of: the whole, devices, circuits, feeds, modules, banks, wires, charging."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

from rigbook.power import supply
from rigbook.power.flowing import Flow, by_duty, largest
from rigbook.power.loads import carried, feeds_above
from rigbook.rig.model import Draw, Member, Rig
from rigbook.switching.program import Expression


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


def targets_of(rig: Rig, flows: Iterable[Flow]) -> tuple[Target, ...]:
    """All targets of a rig, in the order of its lists."""
    every = tuple(flows)
    powered = tuple(flow for flow in every if flow.draw.circuit_id is not None)

    def target(kind: str, name: str, wanted: Callable[[Draw], bool], members: Iterable[Member] = ()) -> Target:
        own = largest(flow for flow in powered if wanted(flow.draw))
        return Target(kind, name, own, supply.supplied_a(rig, members))

    found = [Target("whole", "", largest(powered))]
    found += [
        target("devices", device.id, lambda draw, name=device.id: draw.device_id == name)  # type: ignore[misc]
        for device in rig.devices.values()
        if any(draw.circuit_id is not None for draw in device.draws)
    ]
    for circuit in rig.circuits.values():
        through = frozenset(carried(circuit))
        found.append(target("circuits", circuit.id, _among(through), circuit.members))
    for feed_id in rig.feeds:
        members = rig.circuits[feed_id].members if feed_id in rig.circuits else ()
        found.append(target("feeds", feed_id, _behind(rig, feed_id), members))
    for module in rig.modules.values():
        outputs = [c for c in rig.circuits.values() if c.module_id == module.id]
        found.append(target("modules", module.id, _among(frozenset(c.id for c in outputs))))
        for bank in module.banks:
            own = frozenset(c.id for c in outputs if c.bank == bank.id)
            found.append(target("banks", f"{module.id}.{bank.id}", _among(own)))
    found += _wires(rig, powered)
    running = dict(rig.program.roles).get("running_when")
    if running is not None:
        taken = (flow for flow in every if flow.draw.circuit_id is not None or flow.act.taken)
        found.append(Target("charging", "", largest(by_duty(rig, taken)), under=running))
    return tuple(found)


def _among(circuits: frozenset[str]) -> Callable[[Draw], bool]:
    return lambda draw: draw.circuit_id in circuits


def _behind(rig: Rig, feed_id: str) -> Callable[[Draw], bool]:
    return lambda draw: feed_id in feeds_above(rig, draw)


def _wires(rig: Rig, powered: tuple[Flow, ...]) -> list[Target]:
    """Each conductor of a circuit or a feed's line, with what flows through it."""
    through: dict[str, dict[tuple[str, str], None]] = {}
    members: dict[str, list[Member]] = {}
    for circuit in rig.circuits.values():
        for member in circuit.members:
            for path, channels in _paths(rig, member):
                for segment in path:
                    through.setdefault(segment, {}).update(dict.fromkeys(channels))
                    members.setdefault(segment, []).append(member)
    lines = {feed.segment: feed.id for feed in rig.feeds.values() if feed.segment is not None}
    found = []
    for segment in rig.segments:
        if segment in lines:
            wanted = _behind(rig, lines[segment])
            found.append(Target("wires", segment, largest(flow for flow in powered if wanted(flow.draw))))
        elif segment in through:
            flowing = through[segment]
            own = largest(f for f in powered if (f.draw.device_id, f.draw.channel) in flowing)
            found.append(Target("wires", segment, own, supply.supplied_a(rig, members[segment])))
    return found


def _paths(rig: Rig, member: Member) -> Iterator[tuple[tuple[str, ...], list[tuple[str, str]]]]:
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
