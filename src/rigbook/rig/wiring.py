"""The wiring plan: which conductors there must be once outputs and ground studs are known, before routes and sizes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Literal

from rigbook.documents.schema.base import Where
from rigbook.quantities.gauge import Gauge
from rigbook.rig.facts import output_feed, split_output
from rigbook.rig.model import Device, Member
from rigbook.rig.nameplate import nameplate_a
from rigbook.rig.open_model import Need, OpenRig, OwnLead, Terminal
from rigbook.rig.plan import End, Plan, PlannedCircuit, PlannedSegment, Role


@dataclass(slots=True)
class _Planner:
    open: OpenRig
    outputs: Mapping[Need, str]
    grounds: Mapping[str, str]
    segments: dict[str, PlannedSegment] = field(default_factory=dict)
    circuits: dict[str, PlannedCircuit] = field(default_factory=dict)
    draws_of: dict[str, list[Need]] = field(default_factory=dict)  # segment -> what flows through it
    supplied_a: dict[str, float] = field(default_factory=dict)  # segment or feed -> what a charger puts in there
    returns: dict[str, tuple[str, ...]] = field(default_factory=dict)  # return point -> path to the stud

    # --- ends -------------------------------------------------------------------------------------

    def device_end(self, point: str, device: Device) -> End:
        placement = device.placement
        return End(point, placement.node, tuple(pose.at for pose in placement.poses), placement.area)

    def feed_end(self, feed_id: str) -> End:
        """Where a feed starts: its bank's post or its block."""
        feed = self.open.feeds[feed_id]
        if feed.block_id is not None:
            return self.device_end(f"feed:{feed_id}", self.open.devices[feed.block_id])
        return self.bank_end(feed.bank_id or "", f"feed:{feed_id}")

    def bank_end(self, bank_id: str, point: str) -> End:
        bank = self.open.banks[bank_id]
        return End(point, bank.node, (bank.at,) if bank.at is not None else (), bank.area)

    def source_end(self, circuit_id: str, kind: str) -> End:
        """Where a circuit starts: an output, the block a feed leads to, or the fuse itself."""
        if kind == "output":
            module, _ = split_output(circuit_id)
            return self.device_end(circuit_id, self.open.devices[module])
        feed = self.open.feeds[circuit_id]
        if feed.to is not None:
            return self.device_end(f"block:{feed.to}", self.open.devices[feed.to])
        return self.feed_end(circuit_id)

    def stud_end(self, stud_id: str) -> End:
        stud = self.open.studs[stud_id]
        return End(f"ground:{stud_id}", stud.node, (stud.at,), None)

    # --- segments ---------------------------------------------------------------------------------

    def add(
        self, role: Role, start: End, end: End, *, subject: str, settles: str, where: Where,
        wire: Gauge | None = None, lead: OwnLead | None = None, waypoints: tuple[str, ...] = (),
        chained: bool = False, guards: tuple[str, ...] = (),
    ) -> str:  # fmt: skip
        name = f"{start.point}>{end.point}"
        if name not in self.segments:
            self.segments[name] = PlannedSegment(
                name, role, start, end, 0.0, wire, lead, waypoints, chained, subject, guards, (), name, settles, where
            )
            self.draws_of[name] = []
        return name

    def feed_path(self, terminal: Terminal, start: End, guard: str, *, chained: bool) -> tuple[str, ...]:
        """Segments from a start to a terminal, its own lead last."""
        device = self.open.devices[terminal.device_id]
        role: Role = "signal" if terminal.signal else "feed"
        last = self.device_end(terminal.node, device)
        settles = f"install.{terminal.device_id}.wire.{terminal.name}"
        joint = last if terminal.lead is None else self.device_end(f"{terminal.node}/joint", device)
        path = [
            self.add(
                role, start, joint, subject=terminal.device_id, settles=settles, where=terminal.where,
                wire=terminal.wire, chained=chained, guards=(guard,),
            )
        ]  # fmt: skip
        if terminal.lead is not None:
            path.append(
                self.add(
                    "lead", joint, last, subject=terminal.device_id, settles="", where=terminal.where,
                    lead=terminal.lead, guards=(guard,),
                )
            )  # fmt: skip
        return tuple(path)

    def return_path(self, terminal: Terminal, behind: tuple[Terminal, Device] | None) -> tuple[str, ...]:
        """Segments from a device to its stud, its own lead first; a chained lamp goes by the one before it."""
        assert terminal.return_point is not None
        known = self.returns.get(terminal.return_point)
        if known is not None:
            return known
        holder_id = terminal.return_point.rpartition(":")[0]
        holder = self.open.devices[holder_id]
        start = self.device_end(terminal.return_point, holder)
        path: list[str] = []
        if terminal.return_lead is not None:
            joint = self.device_end(f"{terminal.return_point}/joint", holder)
            path.append(
                self.add("lead", start, joint, subject=holder_id, settles="", where=terminal.where,
                         lead=terminal.return_lead)
            )  # fmt: skip
            start = joint
        settles = f"install.{holder_id}.wire.return"
        if behind is not None:
            previous, device = behind
            assert previous.return_point is not None
            tail = "/joint" if previous.return_lead is not None else ""
            end = self.device_end(previous.return_point + tail, device)
            path.append(
                self.add("return", start, end, subject=holder_id, settles=settles, where=terminal.where,
                         wire=terminal.wire, chained=True)
            )  # fmt: skip
            rest = self.returns[previous.return_point]
            path.extend(rest[1:] if previous.return_lead is not None else rest)
        elif holder_id in self.grounds:
            end = self.stud_end(self.grounds[holder_id])
            path.append(
                self.add("return", start, end, subject=holder_id, settles=settles, where=terminal.where,
                         wire=terminal.wire)
            )  # fmt: skip
        self.returns[terminal.return_point] = tuple(path)
        return tuple(path)

    # --- circuits ---------------------------------------------------------------------------------

    def circuit(self, circuit_id: str, kind: Literal["output", "fuse"], terminals: list[Terminal]) -> None:
        """One circuit with its members: rows in a chain, everything else straight from its start."""
        start = self.source_end(circuit_id, kind)
        members: list[Member] = []
        chains: dict[str, tuple[Terminal, Member]] = {}
        for terminal in terminals:
            device = self.open.devices[terminal.device_id]
            before = chains.get(terminal.chain) if terminal.chain is not None else None
            if before is None:
                path = self.feed_path(terminal, start, circuit_id, chained=False)
            else:
                tail = "/joint" if before[0].lead is not None else ""
                link = self.device_end(before[0].node + tail, self.open.devices[before[0].device_id])
                shared = before[1].feed_path[:-1] if before[0].lead is not None else before[1].feed_path
                path = (*shared, *self.feed_path(terminal, link, circuit_id, chained=True))
            back: tuple[str, ...] = ()
            if terminal.return_point is not None:
                behind = None if before is None else (before[0], self.open.devices[before[0].device_id])
                back = self.return_path(terminal, behind)
            member = self._member(terminal, device, path, back)
            members.append(member)
            if terminal.chain is not None:
                chains[terminal.chain] = (terminal, member)
            self._flow(terminal, path, back)
        module_id, bank, limit_a, feed_id = self._source_of(circuit_id, kind)
        draws = [need for terminal in terminals for need in terminal.draws]
        self.circuits[circuit_id] = PlannedCircuit(
            circuit_id, kind, feed_id, module_id, bank, limit_a, tuple(members),
            nameplate_a(self.open.devices, draws), terminals[0].where,
        )  # fmt: skip

    def _source_of(self, circuit_id: str, kind: str) -> tuple[str | None, str | None, float | None, str | None]:
        if kind == "fuse":
            return None, None, None, circuit_id
        module_id, number = split_output(circuit_id)
        module = self.open.modules[module_id]
        bank = next(bank for bank in module.banks if number in bank.outputs)
        return module_id, bank.id, module.limit_a, output_feed(self.open.modules, circuit_id)

    def _member(self, terminal: Terminal, device: Device, path: tuple[str, ...], back: tuple[str, ...]) -> Member:
        carries: tuple[str, ...] = ()
        wanted = list(terminal.draws)
        if terminal.module_id is not None:
            carried = self._carried(terminal)
            carries = tuple(carried)
            wanted += [need for needs in carried.values() for need in needs]
        return Member(
            device_id=device.id,
            terminal=terminal.node,
            return_point=terminal.return_point or "",
            draws=terminal.draws,
            carries=carries,
            nameplate_a=nameplate_a(self.open.devices, wanted),
            signal=terminal.signal,
            feed_path=path,
            return_path=back,
            ground=self.grounds.get((terminal.return_point or "").rpartition(":")[0]),
        )

    def _carried(self, terminal: Terminal) -> dict[str, list[Need]]:
        """Output circuits behind a module's power terminal, with what flows through each."""
        assert terminal.module_id is not None
        module = self.open.modules[terminal.module_id]
        numbers = {number for bank in module.banks if bank.id in terminal.bank_ids for number in bank.outputs}
        carried: dict[str, list[Need]] = {}
        for other in self.open.terminals.values():
            if other.need is None or other.need not in self.outputs:
                continue
            name, number = split_output(self.outputs[other.need])
            if name == terminal.module_id and number in numbers:
                carried.setdefault(self.outputs[other.need], []).extend(other.draws)
        return carried

    def _flow(self, terminal: Terminal, path: tuple[str, ...], back: tuple[str, ...]) -> None:
        wanted = list(terminal.draws)
        if terminal.module_id is not None:
            wanted += [need for needs in self._carried(terminal).values() for need in needs]
        for name in path:
            self.draws_of[name].extend(wanted)
        for name in (*path, *back):
            self.supplied_a[name] = max(self.supplied_a.get(name, 0.0), terminal.supplies_a)
        if terminal.feed_id is not None:
            known = self.supplied_a.get(terminal.feed_id, 0.0)
            self.supplied_a[terminal.feed_id] = max(known, terminal.supplies_a)
        # what high-side outputs drive goes to ground by its own return, not through the module
        for name in back:
            self.draws_of[name].extend(terminal.draws)

    # --- feeds and links ----------------------------------------------------------------------------

    def feeds(self) -> tuple[dict[str, str], dict[str, list[Need]]]:
        """Segments of feeds that lead to a block, and what each feed carries in all."""
        carried: dict[str, list[Need]] = {name: [] for name in self.open.feeds}
        for circuit in self.circuits.values():
            own = [need for member in circuit.members for need in member.draws]
            current = circuit.feed_id
            while current is not None:
                carried[current].extend(own)
                current = self.open.feeds[current].parent
        segments: dict[str, str] = {}
        for feed in self.open.feeds.values():
            if feed.to is None:
                continue
            end = self.device_end(f"block:{feed.to}", self.open.devices[feed.to])
            name = self.add(
                "feed", self.feed_end(feed.id), end, subject=feed.id, settles=f"feeds.{feed.id}.wire",
                where=feed.where, wire=feed.wire, waypoints=feed.route or (), guards=(feed.id,),
            )  # fmt: skip
            segments[feed.id] = name
            self.draws_of[name].extend(carried[feed.id])
        return segments, carried

    def links(self) -> dict[str, tuple[str, ...]]:
        """Segments of links between banks."""
        made: dict[str, tuple[str, ...]] = {}
        for link in self.open.links.values():
            ends = [self.bank_end(link.from_bank, f"battery.{link.from_bank}")]
            if link.through is not None:
                device = self.open.devices[link.through]
                ends += [self.device_end(f"{link.through}:a", device), self.device_end(f"{link.through}:b", device)]
            ends.append(self.bank_end(link.to_bank, f"battery.{link.to_bank}"))
            pairs = [(ends[0], ends[1]), (ends[2], ends[3])] if link.through is not None else [(ends[0], ends[1])]
            guards: list[tuple[str, ...]] = [(f"{link.id}:start",), (f"{link.id}:end",)]
            if link.through is None:
                guards = [(f"{link.id}:start", f"{link.id}:end")]
            made[link.id] = tuple(
                self.add(
                    "link", start, end, subject=link.id, settles=f"links.{link.id}.wire.{number}", where=link.where,
                    wire=link.wire, waypoints=link.route or (), guards=guard,
                )
                for number, ((start, end), guard) in enumerate(zip(pairs, guards, strict=True), start=1)
            )  # fmt: skip
        return made


def plan_wiring(*, open_rig: OpenRig, outputs: Mapping[Need, str], grounds: Mapping[str, str]) -> Plan:
    """Plan the conductors for chosen outputs and ground studs."""
    planner = _Planner(open_rig, outputs, grounds)
    by_output: dict[str, list[Terminal]] = {}
    by_feed: dict[str, list[Terminal]] = {}
    for terminal in open_rig.terminals.values():
        if terminal.feed_id is not None:
            by_feed.setdefault(terminal.feed_id, []).append(terminal)
        elif terminal.need is not None and terminal.need in outputs:
            by_output.setdefault(outputs[terminal.need], []).append(terminal)
    for feed_id in open_rig.feeds:
        if feed_id in by_feed:
            planner.circuit(feed_id, "fuse", by_feed[feed_id])
    order = {name: index for index, name in enumerate(open_rig.modules)}
    for output in sorted(by_output, key=lambda name: (order[split_output(name)[0]], split_output(name)[1])):
        planner.circuit(output, "output", by_output[output])
    feed_segments, carried = planner.feeds()
    link_segments = planner.links()
    loads = {
        name: max(nameplate_a(open_rig.devices, needs), planner.supplied_a.get(name, 0.0))
        for name, needs in carried.items()
    }
    segments = {
        name: replace(segment, nameplate_a=_flow_a(open_rig, planner, segment),
                      guards=_guards(planner, segment), equal_to=_equal_to(planner, segment),
                      loads_with=_loads_with(open_rig, planner, segment))
        for name, segment in planner.segments.items()
    }  # fmt: skip
    powers = {
        member.terminal: circuit.id
        for circuit in planner.circuits.values()
        for member in circuit.members
        if not member.signal
    }
    return Plan(
        segments=segments,
        circuits=planner.circuits,
        feed_segments=feed_segments,
        link_segments=link_segments,
        feed_load_a=loads,
        feed_draws={name: tuple(dict.fromkeys(needs)) for name, needs in carried.items()},
        terminal_circuit=powers,
    )


def _flow_a(open_rig: OpenRig, planner: _Planner, segment: PlannedSegment) -> float:
    if segment.role == "link":
        return open_rig.links[segment.subject].load_a
    drawn_a = nameplate_a(open_rig.devices, planner.draws_of[segment.id])
    return max(drawn_a, planner.supplied_a.get(segment.id, 0.0))


def _loads_with(open_rig: OpenRig, planner: _Planner, segment: PlannedSegment) -> str:
    owners = {device for device, _ in planner.draws_of[segment.id]}
    if segment.role != "feed" or len(owners) != 1:
        return segment.id
    device = open_rig.devices[next(iter(owners))]
    return f"{device.id}:one colour" if device.one_colour_at_a_time else segment.id


def _guards(planner: _Planner, segment: PlannedSegment) -> tuple[str, ...]:
    """A return is protected by whatever protects the circuits that flow through it."""
    if segment.guards:
        return segment.guards
    found = [
        circuit.id
        for circuit in planner.circuits.values()
        for member in circuit.members
        if not member.signal and segment.id in member.return_path
    ]
    return tuple(dict.fromkeys(found))


def _equal_to(planner: _Planner, segment: PlannedSegment) -> tuple[str, ...]:
    """Feed conductors a return must equal in size."""
    if segment.role != "return":
        return ()
    found: list[str] = []
    for circuit in planner.circuits.values():
        for member in circuit.members:
            if member.signal or segment.id not in member.return_path:
                continue
            found += [name for name in member.feed_path if planner.segments[name].role == "feed"]
    return tuple(dict.fromkeys(found))
