"""A circuit as a network, battery to devices and back: shared conductors, loads by their own law."""

from __future__ import annotations

from itertools import pairwise

from rigbook.power import drops
from rigbook.power.network import REFERENCE, Collapse, Law, Load, Network, Resistor, Solution, Source, solve
from rigbook.power.supply import supplied_a
from rigbook.rig.model import Circuit, Draw, Member, Rig
from rigbook.rig.nameplate import draws_peak_a

SOURCE = "source"
STATE = "name-plate"
_LEAST_A = 1e-9
_ANY_V = 12.0
"""Stated voltage of loads that hold their current, where it plays no part."""


class _Builder:
    """Collects the network of one circuit."""

    def __init__(self, rig: Rig, circuit: Circuit) -> None:
        self.rig = rig
        self.circuit = circuit
        self.resistors: dict[str, Resistor] = {}
        self.loads: list[Load] = []
        self.stud_a: dict[str, float] = {}
        self.start_a = 0.0

    def build(self) -> Network | None:
        members = [member for member in self.circuit.members if not member.signal]
        if not members:
            return None
        above = drops.upstream(self.rig, self.circuit)
        nodes = [SOURCE, *(f"above.{number}" for number in range(1, len(above) + 1))]
        for part, (a, b) in zip(above, pairwise(nodes), strict=True):
            self.resistors[f"above {part.segment.id}"] = Resistor(part.segment.id, a, b, part.resistance_ohm)
        own = [self._member(member, nodes[-1]) for member in members]
        self._returns(members, own)
        currents = [*(part.current_a for part in above), self.start_a]
        for node, (into, onward) in zip(nodes[1:], pairwise(currents), strict=True):
            self._hold(f"{node} others", node, REFERENCE, into - onward)
        for stud, own_a in self.stud_a.items():
            node, ohm = f"ground:{stud}", self.rig.studs[stud].resistance_ohm
            self.resistors[node] = Resistor(node, node, REFERENCE, ohm)
            self._hold(f"{node} others", SOURCE, node, drops.stud_current_a(self.rig, stud) - own_a)
        return Network(tuple(self.resistors.values()), (Source(SOURCE, SOURCE, self.rig.shop.drop_from),),
                       tuple(self.loads))  # fmt: skip

    def _hold(self, name: str, plus: str, minus: str, current_a: float) -> None:
        if current_a > _LEAST_A and plus != minus:
            self.loads.append(Load(name, plus, minus, "constant-current", current_a, _ANY_V))

    def _member(self, member: Member, start: str) -> float:
        """Conductors and loads of a member; the current of its own devices in A."""
        plus, minus = start, REFERENCE
        for index, name in enumerate(member.feed_path):
            segment = self.rig.segments[name]
            a = start if index == 0 else segment.from_point
            self._resistor(name, a, segment.to_point)
            plus = segment.to_point
        for name in member.return_path:
            segment = self.rig.segments[name]
            last = name == member.return_path[-1] and member.ground not in self.rig.studs
            self._resistor(name, segment.from_point, REFERENCE if last else segment.to_point)
        if member.return_path:
            minus = self.rig.segments[member.return_path[0]].from_point
        own = self._own(member, plus, minus)
        self.start_a += own
        if member.feed_path:
            carried = supplied_a(self.rig, [member]) - own
            if member.carries:
                carried = self.rig.segments[member.feed_path[-1]].nameplate_a - own
            self._hold(f"{member.terminal} carried", plus, REFERENCE, carried)
            self.start_a += max(0.0, carried)
        return own

    def _resistor(self, name: str, a: str, b: str) -> None:
        ohm = drops.segment_drop(self.rig.segments[name]).resistance_ohm
        self.resistors.setdefault(name, Resistor(name, a, b, ohm))

    def _own(self, member: Member, plus: str, minus: str) -> float:
        """Loads of the devices on a member, each at its highest entered draw and by its own law; their sum in A."""
        by_device: dict[str, list[Draw]] = {}
        for device_id, channel in member.draws:
            draws = [draw for draw in self.rig.devices[device_id].draws if draw.channel == channel]
            by_device.setdefault(device_id, []).extend(draws)
        total = 0.0
        for device_id, draws in by_device.items():
            peak = draws_peak_a(draws, one_colour_at_a_time=self.rig.devices[device_id].one_colour_at_a_time)
            first = max(draws, key=lambda draw: draw.current_a, default=None)
            if first is not None and peak > _LEAST_A:
                law: Law = first.law
                self.loads.append(Load(f"{member.terminal} {device_id}", plus, minus, law, peak, first.at_v))
                total += peak
        return total

    def _returns(self, members: list[Member], own: list[float]) -> None:
        """What other circuits send through the members' returns (another colour), held at name-plate current.

        Rows hang in a chain, so the far end comes first: what it sends is not counted again on the way.
        """
        sent: dict[int, float] = {}
        for index in reversed(range(len(members))):
            member = members[index]
            if not member.return_path:
                continue
            first = member.return_path[0]
            behind = sum(amps for other, amps in sent.items() if first in members[other].return_path)
            more = max(0.0, self.rig.segments[first].nameplate_a - own[index] - behind)
            sent[index] = own[index] + more
            self._hold(f"{member.terminal} returning", SOURCE, self.rig.segments[first].from_point, more)
            if member.ground is not None and member.ground in self.rig.studs:
                self.stud_a[member.ground] = self.stud_a.get(member.ground, 0.0) + sent[index]


def circuit_network(rig: Rig, circuit: Circuit) -> Network | None:
    """The circuit with the conductors above it, from a source held at the shop's `drop_from`, and back to the studs.

    Every device of the circuit stands at its highest entered draw by its own law; whatever else flows through
    the same conductors and studs is held at its name-plate current. Conductors have the temperature they
    reach at their name-plate current. None where nothing draws.
    """
    return _Builder(rig, circuit).build()


def solved_drop_v(rig: Rig, circuit: Circuit) -> float | Collapse | None:
    """Greatest loss from the source to a device of the circuit and back, V; Collapse where there is no solution."""
    network = circuit_network(rig, circuit)
    if network is None:
        return None
    solution = solve(network)
    if isinstance(solution, Collapse):
        return solution
    return _worst_loss(rig, circuit, solution)


def _worst_loss(rig: Rig, circuit: Circuit, solution: Solution) -> float | None:
    terminals = tuple(f"{member.terminal} " for member in circuit.members if not member.signal)
    losses = [
        rig.shop.drop_from - volts
        for name, volts in solution.load_v.items()
        if name.startswith(terminals) and not name.endswith((" carried", " returning"))
    ]
    return max(losses, default=None)
