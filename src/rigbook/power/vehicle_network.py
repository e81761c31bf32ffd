"""The whole vehicle as one network in a state: banks, links, fuses, conductors, studs, every load by its own law.

Every device that is lit or driven in the state stands at its highest current at once, which no instant exceeds.
Running, the charging system holds its voltage at the vehicle's own bank as far as its output reaches, with batteries
full and taking nothing; beyond, it gives that output and the batteries the rest. A link that is closed stays closed. Off, the batteries stand at rest voltage behind their inside resistance.
Conductors have the temperature of their name-plate current; an output passes its current without loss.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from itertools import combinations

from rigbook.documents.schema.parts import DcDc
from rigbook.power import drops, fuses, protection, supply
from rigbook.power.loads import StateLoads
from rigbook.power.network import (
    REFERENCE,
    Collapse,
    Load,
    Network,
    Resistor,
    Solution,
    Source,
    power_margin,
    solvable,
    solve,
)
from rigbook.power.waveform import Wave
from rigbook.rig.model import Link, Rig

ALTERNATOR = "alternator"
_ANY_V = 12.0
_ROUNDS = 6


@dataclass(frozen=True, slots=True)
class Converter:
    """A converter between banks as the solution stands: current it gives in A, power it takes in W."""

    link: str
    gives_a: float
    takes_w: float
    limited: bool


@dataclass(frozen=True, slots=True)
class VehicleSolution:
    """A solved state. `locked_out`: loads whose voltage fell below the window they work in, in the order they went."""

    state_id: str
    network: Network
    solution: Solution
    locked_out: tuple[str, ...]
    charging_a: float
    charging_limited: bool
    lost_w: float

    def lowest(self) -> tuple[str, float] | None:
        """The device terminal of least voltage, and that voltage in V; None where nothing draws."""
        found = [(volts, name) for name, volts in self.solution.load_v.items() if name.startswith("load ")]
        if not found:
            return None
        volts, name = min(found)
        return name.removeprefix("load "), volts


@dataclass(frozen=True, slots=True)
class VehicleCollapse:
    """A state no voltage satisfies: share of the loads that still has a solution, and the fewest conductors whose
    resistance, taken away, would restore one (None where not even all of them would)."""

    state_id: str
    share: float
    conductors: tuple[str, ...] | None


def _wave_peak_a(wave: Wave) -> float:
    return max((float(span.current_a) for span in wave.spans), default=0.0)


def _closed(rig: Rig, link: Link, running: bool) -> bool:
    """An isolator that senses voltage is closed while the charging voltage is above where it closes; else by running."""
    part = rig.parts.get(rig.devices[link.through].part_id or "") if link.through else None
    closes_at = getattr(part, "closes_at", None)
    if link.through is None:
        return True
    return running and (closes_at is None or rig.vehicle.charging.at >= closes_at)


def _converter(rig: Rig, link: Link) -> DcDc | None:
    part = rig.parts.get(rig.devices[link.through].part_id or "") if link.through else None
    return part if isinstance(part, DcDc) else None


def own_bank(rig: Rig) -> str | None:
    """The vehicle's own bank, where the charging system is tied; None without one."""
    return next((bank.id for bank in rig.banks.values() if bank.own), None)


class _Builder:
    """Collects the whole network of one state."""

    def __init__(
        self, rig: Rig, state: StateLoads, out: frozenset[str], charging_a: float | None,
        converters: Mapping[str, Converter],
    ) -> None:  # fmt: skip
        self.rig, self.state, self.out = rig, state, out
        self.charging_a, self.converters = charging_a, converters
        self.resistors: list[Resistor] = []
        self.sources: list[Source] = []
        self.loads: list[Load] = []

    def build(self) -> Network:
        self._sources()
        self._links()
        self._fuses()
        for segment in self.rig.segments.values():
            if segment.role in ("feed", "return", "lead"):
                ohm = drops.segment_drop(segment).resistance_ohm
                self.resistors.append(Resistor(segment.id, segment.from_point, segment.to_point, ohm))
        for stud in self.rig.studs.values():
            self.resistors.append(Resistor(f"ground:{stud.id}", f"ground:{stud.id}", REFERENCE, stud.resistance_ohm))
        self._outputs()
        self._loads()
        return self._reached()

    def _sources(self) -> None:
        for bank in self.rig.banks.values():
            ohm = protection.bank_ohm(self.rig, bank)
            if ohm is not None and not (self.state.running and self.charging_a is None):
                self.sources.append(Source(f"rest:{bank.id}", f"rest:{bank.id}", protection.rest_v(self.rig, bank)))
                self.resistors.append(Resistor(f"inside:{bank.id}", f"rest:{bank.id}", f"battery.{bank.id}", ohm))
        own = own_bank(self.rig)
        if own is None:
            return
        post = f"battery.{own}"
        if self.state.running and self.charging_a is None:
            self.sources.append(Source(ALTERNATOR, post, self.rig.vehicle.charging.at))
        elif self.state.running and self.charging_a is not None:
            self.loads.append(Load(ALTERNATOR, post, REFERENCE, "constant-current", -self.charging_a, _ANY_V))
        base = supply.base_load_a(self.rig, running=self.state.running)
        if base > 0:
            self.loads.append(Load("base load", post, REFERENCE, "constant-current", base, _ANY_V))

    def _links(self) -> None:
        for link in self.rig.links.values():
            for name in link.segments:
                segment = self.rig.segments[name]
                ohm = drops.segment_drop(segment).resistance_ohm
                self.resistors.append(Resistor(name, segment.from_point, segment.to_point, ohm))
            if link.through is None:
                continue
            a, b = f"{link.through}:a", f"{link.through}:b"
            part = _converter(self.rig, link)
            if part is None:
                if _closed(self.rig, link, self.state.running):
                    self.resistors.append(Resistor(f"closed:{link.id}", a, b, 0.0))
                continue
            now = self.converters.get(link.id)
            if not self.state.running or now is None:
                continue
            if now.takes_w > 0:
                self.loads.append(Load(f"into:{link.id}", a, REFERENCE, "constant-power", now.takes_w / _ANY_V, _ANY_V))
            if now.limited:
                self.loads.append(Load(f"out:{link.id}", b, REFERENCE, "constant-current", -part.output, _ANY_V))
            else:
                self.sources.append(Source(f"out:{link.id}", b, part.output_voltage))

    def _fuses(self) -> None:
        for feed in self.rig.feeds.values():
            start = f"block:{feed.block_id}" if feed.block_id is not None else f"battery.{feed.bank_id}"
            self.resistors.append(
                Resistor(f"fuse:{feed.id}", start, f"feed:{feed.id}", self._fuse_ohm(feed.id, feed.fuse_a))
            )

    def _fuse_ohm(self, feed_id: str, fuse_a: float) -> float:
        form = protection.form_of(self.rig, feed_id, fuse_a)
        kind = fuses.form_row(form=form, rating_a=fuse_a)["class"]
        return fuses.cold_ohm(fuse_class=kind, rating_a=fuse_a)

    def _outputs(self) -> None:
        for circuit in self.rig.circuits.values():
            for member in circuit.members:
                for output in member.carries:
                    self.resistors.append(Resistor(f"in {output}", member.terminal, output, 0.0))

    def _loads(self) -> None:
        for number, each in enumerate(self.state.drawn):
            draw, amps = each.draw, _wave_peak_a(each.wave)
            name = f"load {draw.device_id} {draw.channel}"
            if amps <= 0 or draw.circuit_id is None or name in self.out:
                continue
            if any(load.id == name for load in self.loads):
                name = f"{name} {number}"
            self.loads.append(Load(name, draw.terminal, draw.return_point, draw.law, amps, draw.at_v))

    def _reached(self) -> Network:
        """Only what a source reaches: open links and bare ends drop out, with the loads on them."""
        near: dict[str, list[str]] = {}
        for each in self.resistors:
            near.setdefault(each.a, []).append(each.b)
            near.setdefault(each.b, []).append(each.a)
        seen = {source.node for source in self.sources} | {REFERENCE}
        waiting = list(seen)
        while waiting:
            for other in near.get(waiting.pop(), ()):
                if other not in seen:
                    seen.add(other)
                    waiting.append(other)
        return Network(
            tuple(each for each in self.resistors if each.a in seen and each.b in seen),
            tuple(self.sources),
            tuple(each for each in self.loads if each.plus in seen and each.minus in seen),
        )


def state_network(
    rig: Rig, state: StateLoads, *, out: frozenset[str] = frozenset(), charging_a: float | None = None,
    converters: Mapping[str, Converter] | None = None,
) -> Network:  # fmt: skip
    """The network of a state; `out` are loads locked out, `charging_a` the output where it is the limit."""
    return _Builder(rig, state, out, charging_a, converters or _at_rest(rig)).build()


def _at_rest(rig: Rig) -> dict[str, Converter]:
    return {link.id: Converter(link.id, 0.0, 0.0, False) for link in rig.links.values() if _converter(rig, link)}


def _supplied(rig: Rig, state: StateLoads, out: frozenset[str]) -> tuple[Network, Solution | Collapse, bool]:
    """The network solved with charging and converters at their limits where they reach them."""
    converters, charging_a = _at_rest(rig), None
    network = state_network(rig, state, out=out, converters=converters)
    for _ in range(_ROUNDS):
        found = solve(network)
        if isinstance(found, Collapse):
            return network, found, charging_a is not None
        output = supply.state_output_a(rig, state.point, running=state.running)
        changed = False
        if state.running and charging_a is None and output is not None and found.source_a.get(ALTERNATOR, 0.0) > output:
            charging_a, changed = output, True
        for link in rig.links.values():
            part = _converter(rig, link)
            if part is None or not state.running:
                continue
            before = converters[link.id]
            gives = part.output if before.limited else max(0.0, found.source_a.get(f"out:{link.id}", 0.0))
            limited = before.limited or gives > part.output
            gives = min(gives, part.output)
            volts = found.node_v.get(f"{link.through}:b", part.output_voltage)
            takes = gives * volts / part.efficiency
            changed = changed or limited != before.limited or abs(takes - before.takes_w) > 1e-6 * (1.0 + takes)
            converters[link.id] = Converter(link.id, gives, takes, limited)
        if not changed:
            return network, found, charging_a is not None
        network = state_network(rig, state, out=out, charging_a=charging_a, converters=converters)
    return network, solve(network), charging_a is not None


def solve_state(rig: Rig, state: StateLoads) -> VehicleSolution | VehicleCollapse:
    """Solve a state; loads whose voltage falls below their window go out, the one furthest below first, and stay out."""
    windows = {
        f"load {each.draw.device_id} {each.draw.channel}": each.draw.works_v[0]
        for each in state.drawn
        if each.draw.works_v is not None
    }
    out: tuple[str, ...] = ()
    while True:
        network, found, limited = _supplied(rig, state, frozenset(out))
        if isinstance(found, Collapse):
            return VehicleCollapse(state.point.id, found.share, fewest_to_restore(network))
        low = [(volts - windows[name], name) for name, volts in found.load_v.items() if name in windows]
        worst = min(low, default=(0.0, ""))
        if worst[0] >= 0:
            break
        out = (*out, worst[1])
    lost = math.fsum(amps**2 * r.ohm for r in network.resistors if r.ohm and (amps := found.resistor_a[r.id]))
    given = found.source_a.get(ALTERNATOR, 0.0)
    if limited:
        given = supply.state_output_a(rig, state.point, running=True) or 0.0
    return VehicleSolution(state.point.id, network, found, out, given, limited, lost)


def margin_to_collapse(found: VehicleSolution, *, within: float = 1e-7) -> float:
    """Factor on every constant-power load up to which the state has a solution, at most 64."""
    return power_margin(found.network, within=within)


def limiting(found: VehicleSolution, *, factor: float) -> tuple[str, ...] | None:
    """The fewest conductors whose resistance taken away would bring a solution back just past a margin; None where the
    margin has no end that was looked for, or nothing but the sources sets it."""
    if factor >= 64.0:
        return None
    past = tuple(
        replace(x, current_a=x.current_a * factor * 1.001) if x.law == "constant-power" else x
        for x in found.network.loads
    )
    return fewest_to_restore(Network(found.network.resistors, found.network.sources, past))


def fewest_to_restore(network: Network, *, most: int = 3, pool: int = 12) -> tuple[str, ...] | None:
    """The fewest conductors whose resistance taken away gives a solution; None where all of them do not.

    One is looked for among all, two or three among the `pool` that lose most at small loads; beyond, the pool grown by
    the largest until it does.
    """
    ohms = [each for each in network.resistors if each.ohm > 0 and not each.id.startswith("inside:")]
    if not ohms or not solvable(_without(network, {each.id for each in ohms})):
        return None
    lost = _losses_w(network)
    ranked = [each.id for each in sorted(ohms, key=lambda each: (-lost.get(each.id, 0.0), each.id))]
    for size in range(1, most + 1):
        for names in combinations(ranked if size == 1 else ranked[:pool], size):
            if solvable(_without(network, set(names))):
                return names
    taken: list[str] = []
    for name in ranked:
        taken.append(name)
        if solvable(_without(network, set(taken))):
            return tuple(taken)
    return None


def _without(network: Network, names: set[str]) -> Network:
    resistors = tuple(Resistor(r.id, r.a, r.b, 0.0) if r.id in names else r for r in network.resistors)
    return Network(resistors, network.sources, network.loads)


def _losses_w(network: Network) -> dict[str, float]:
    """Loss of each resistor with every load held at a thousandth of its current: where the volts go, solvable or not."""
    held = tuple(Load(x.id, x.plus, x.minus, "constant-current", x.current_a * 1e-3, x.at_v) for x in network.loads)
    found = solve(Network(network.resistors, network.sources, held))
    if isinstance(found, Collapse):
        return {}
    return {r.id: found.resistor_a.get(r.id, 0.0) ** 2 * r.ohm for r in network.resistors}
