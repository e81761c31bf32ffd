"""Leads that carry no power of a circuit: controller inputs, data links, speakers, antennas, heads, sync wires.

They take the same runs as every other conductor and are as long as the way, the drops to both ends and the service
loops; they are left out of ampacity and drop. Where an end has no route node (a switch or signal without `node:`, a
vehicle without routes) the length is None: it is measured on the vehicle.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from rigbook.rig.model import Device, InputUse, Point, Rig
from rigbook.rig.places import distance_m
from rigbook.rig.routes import RouteGraph, route_graph

Kind = Literal["input", "data link", "speaker", "antenna", "remote head", "sync"]


@dataclass(frozen=True, slots=True)
class LeadEnd:
    """One end: the device (or switch, or signal) and what the lead ends on there; the place in every pose."""

    device: str
    what: str
    node: str | None
    at: tuple[Point, ...] = ()


@dataclass(frozen=True, slots=True)
class SignalLead:
    """One such lead. id: the input it ends on, else what it serves. length_m: with drops and service loops."""

    id: str
    kind: Kind
    start: LeadEnd
    end: LeadEnd
    length_m: float | None
    route: tuple[str, ...]
    areas: tuple[str, ...]
    note: str
    file: str
    line: int


def leads_of(rig: Rig) -> tuple[SignalLead, ...]:
    """Every lead of a decided vehicle: inputs by module, then data links, speakers, antennas, heads and sync wires."""
    graph = route_graph(routes=rig.vehicle.routes)
    found = [*_inputs(rig, graph), *_links(rig, graph), *_sync(rig)]
    return tuple(_measured(rig, graph, lead) for lead in found)


def _inputs(rig: Rig, graph: RouteGraph) -> Iterator[SignalLead]:
    written = {s.id: s for s in (*rig.vehicle.signals, *rig.build.switching.signals)}
    switches = {s.id: s for s in rig.build.switching.switches}
    places = {s.id: s for s in rig.switches}
    for use in sorted(rig.inputs, key=lambda use: (list(rig.modules).index(use.module_id), use.input)):
        name = use.subject
        source = switches.get(name) or written[name]
        at = places[name].at if name in places else None
        node = source.node or (None if at is None else _nearest(graph, at))
        note = "" if node else "where it begins is not entered (`node:`): measure it on the vehicle"
        start = LeadEnd(_words(use), _active(source), node, () if at is None else (at,))
        end = _end(rig.devices[use.module_id], f"input {use.input}")
        yield SignalLead(
            f"{use.module_id}.in{use.input}", "input", start, end, None, (), (), note, use.file, use.line
        )  # fmt: skip


def _words(use: InputUse) -> str:
    return use.subject if use.position is None else f"{use.subject}, {use.position}"


def _active(source: object) -> str:
    """What the wire carries when it is yes; a switch closes to ground unless the build says otherwise."""
    return f"{getattr(source, 'active', None) or 'ground'} when yes"


def _links(rig: Rig, graph: RouteGraph) -> Iterator[SignalLead]:
    for device in rig.devices.values():
        if device.inside_of is not None or (device.index or 1) > 1:
            continue
        for kind, name, what in _served(device):
            other = rig.devices.get(name or "")
            if other is None:
                continue
            port = f"data {device.port}" if kind == "data link" and device.port is not None else what
            start, end = (other, device) if kind == "speaker" else (device, other)
            yield _lead(device, kind, _end(start, what), _end(end, port))
        if device.head_at is not None:
            head = LeadEnd(f"{device.id}, head", "head", _nearest(graph, device.head_at), (device.head_at,))
            yield _lead(device, "remote head", _end(device, "head"), head)


def _served(device: Device) -> tuple[tuple[Kind, str | None, str], ...]:
    """Kinds of leads a device may have, to what, and what they end on."""
    return (
        ("data link", device.controller, "data"),
        ("speaker", device.amplifier, "speaker"),
        ("antenna", device.antenna, "antenna"),
    )


def _sync(rig: Rig) -> Iterator[SignalLead]:
    """Self-flashing heads joined by one sync wire, each to the next in the file's order."""
    groups: dict[str, list[Device]] = {}
    rows = {row.id: row.sync for row in rig.build.install if row.sync}
    for device in rig.devices.values():
        if device.row in rows and device.inside_of is None and device.part_kind == "lamp":
            groups.setdefault(str(rows[device.row]), []).append(device)
    for name, heads in groups.items():
        for before, after in pairwise(heads):
            lead = _lead(after, "sync", _end(before, "sync"), _end(after, "sync"))
            yield SignalLead(
                lead.id, lead.kind, lead.start, lead.end, None, (), (), f"group {name}", lead.file, lead.line
            )  # fmt: skip


def _lead(device: Device, kind: Kind, start: LeadEnd, end: LeadEnd) -> SignalLead:
    return SignalLead(f"{device.id}:{kind}", kind, start, end, None, (), (), "", device.file, device.line)


def _end(device: Device, what: str) -> LeadEnd:
    placement = device.placement
    return LeadEnd(device.id, what, placement.node, tuple(pose.at for pose in placement.poses))


def _nearest(graph: RouteGraph, at: Point) -> str | None:
    return min(graph.nodes, key=lambda name: distance_m(graph.nodes[name], at), default=None)


def _measured(rig: Rig, graph: RouteGraph, lead: SignalLead) -> SignalLead:
    start, end = lead.start, lead.end
    if start.node is None or end.node is None:
        return lead
    way = graph.shortest(start=start.node, end=end.node)
    if way is None:
        return lead
    loops_m = 2.0 * rig.shop.service_loop
    length_m = way.length_m + _drop_m(graph, start) + _drop_m(graph, end) + loops_m
    areas = tuple(dict.fromkeys(graph.areas[run] for run in way.runs))
    return SignalLead(
        lead.id, lead.kind, start, end, length_m, way.nodes, areas, lead.note, lead.file, lead.line
    )  # fmt: skip


def _drop_m(graph: RouteGraph, end: LeadEnd) -> float:
    places: Sequence[Point] = end.at
    assert end.node is not None
    return max((distance_m(graph.nodes[end.node], at) for at in places), default=0.0)
