"""The day's plant and crew from a rig: banks and what ties them, and who draws what in which state."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from rigbook.documents.schema.build import DutyStretch
from rigbook.documents.schema.parts import Battery, Charger, DcDc, Disconnect, Isolator
from rigbook.power import supply
from rigbook.power.bank import MODEL_C, BankModel, kinetic_of, rates_of, scaled
from rigbook.power.bus import Sums
from rigbook.power.loads import StateLoads, feeds_above, loads_of
from rigbook.power.plant import Cutter, Plant, Sensed, Setting, ShoreCharger, Tie, TieKind
from rigbook.power.waveform import Wave
from rigbook.rig.model import Bank, Device, Draw, Link, Rig, SavedPoint
from rigbook.switching.evaluate import Evaluator
from rigbook.switching.logic import Closures, State
from rigbook.switching.program import Expression, Variable
from rigbook.switching.stepping import StepError, Stepper

OHM_AH = 0.5
"""Inside resistance in ohm times capacity in Ah of a battery that states none: 5 mohm at 100 Ah [common practice]."""


def bank_model(rig: Rig, bank: Bank) -> BankModel:
    """A bank by the numbers of its part, batteries in parallel together."""
    part: Battery = rig.parts[bank.part_id]
    capacity_ah = part.capacity
    ohm = part.resistance if part.resistance is not None else OHM_AH / capacity_ah
    one = kinetic_of(part.chemistry, capacity_ah, rates_of(part.rates))
    return BankModel(
        id=bank.id, chemistry=part.chemistry, kinetic=scaled(one, bank.count), capacity_ah=capacity_ah * bank.count,
        resistance_ohm=ohm / bank.count, scale=2.0 if rig.vehicle.system == "24 V" else 1.0,
        reserve_min=None if part.reserve is None else part.reserve / 60.0,
        cranking_a=None if part.cranking is None else part.cranking * bank.count, count=bank.count,
    )  # fmt: skip


def full_charges(plant: Plant) -> dict[str, tuple[float, float]]:
    """Every bank full: available and bound charge, Ah."""
    return {b.id: (b.available_full_ah, (1.0 - b.kinetic.c) * b.kinetic.full_ah) for b in plant.banks}


def plant_of(rig: Rig) -> Plant:
    """Banks, links, chargers, low-voltage disconnects and measured signals of a rig."""
    own = next((bank.id for bank in rig.banks.values() if bank.own), None)
    return Plant(
        banks=tuple(bank_model(rig, bank) for bank in rig.banks.values()),
        own=own,
        ties=tuple(_tie(rig, link) for link in rig.links.values()),
        chargers=tuple(chargers_of(rig)),
        cutters=tuple(_cutters(rig)),
        sensed=tuple(_sensed(rig.program.variables, rig.banks)),
    )


def _tie(rig: Rig, link: Link) -> Tie:
    part = rig.parts.get(rig.devices[link.through].part_id or "") if link.through else None
    draws: Mapping[str, float] = getattr(part, "draws", {})
    kind: TieKind = "direct" if link.through is None else "running"
    if isinstance(part, DcDc):
        return Tie(
            link.id, link.from_bank, link.to_bank, "converter", out_a=part.output, out_v=part.output_voltage,
            efficiency=part.efficiency,
        )  # fmt: skip
    if isinstance(part, Isolator) and part.closes_at is not None:
        opens_v = part.opens_at if part.opens_at is not None else part.closes_at
        return Tie(
            link.id, link.from_bank, link.to_bank, "senses", part.closes_at, opens_v, part.delay or 0.0,
            open_a=draws.get("open", 0.0), closed_a=draws.get("closed", 0.0),
        )  # fmt: skip
    return Tie(
        link.id, link.from_bank, link.to_bank, kind, open_a=draws.get("open", 0.0), closed_a=draws.get("closed", 0.0)
    )


def charger_banks(rig: Rig, device: Device) -> tuple[str, ...]:
    """The banks at the head of the feeds a charger is on."""
    feeds = [circuit.feed_id for circuit in rig.circuits.values() for m in circuit.members if m.device_id == device.id]
    banks = [rig.feeds[feed].bank_id for feed in feeds if feed is not None and feed in rig.feeds]
    return tuple(dict.fromkeys(bank for bank in banks if bank is not None))


def chargers_of(rig: Rig) -> Iterable[ShoreCharger]:
    """Every shore charger that reaches a bank."""
    for device in rig.devices.values():
        part = rig.parts.get(device.part_id or "")
        if isinstance(part, Charger):
            banks = charger_banks(rig, device)
            if banks:
                yield ShoreCharger(device.id, banks, part.output)


def _cutters(rig: Rig) -> Iterable[Cutter]:
    for feed in rig.feeds.values():
        device = rig.devices.get(feed.through or "")
        part = rig.parts.get(device.part_id or "") if device else None
        if isinstance(part, Disconnect) and part.opens_at is not None and feed.bank_id is not None:
            closes_v = part.closes_at if part.closes_at is not None else part.opens_at
            assert device is not None
            yield Cutter(device.id, feed.bank_id, part.opens_at, closes_v, part.delay or 0.0)


def _sensed(variables: Iterable[Variable], banks: Mapping[str, Bank]) -> Iterable[Sensed]:
    for variable in variables:
        threshold = variable.threshold
        what, _, bank = variable.measures.partition(".")
        if threshold is not None and what == "voltage" and bank in banks:
            yield Sensed(
                variable.name, bank, threshold.side == "below", threshold.at, threshold.clears,
                threshold.for_ms / 1000.0,
            )  # fmt: skip


# --- what draws ----------------------------------------------------------------------------------------------


def mean_of(wave: Wave) -> float:
    """Mean of a wave, A."""
    whole = sum((s.end_ms - s.start_ms) * float(s.current_a) * float(s.duty) for s in wave.spans)
    return whole / wave.period_ms


def _sums(draw: Draw, amps: float) -> Sums:
    if draw.law == "constant-power":
        return Sums(0.0, amps * draw.at_v, 0.0)
    if draw.law == "resistive":
        return Sums(0.0, 0.0, amps / draw.at_v)
    return Sums(amps)


def stretch_amps(device: Device, draw: Draw, amps: float, shares: Mapping[str, Mapping[str, float]]) -> float:
    """What a draw state draws on average in a stretch that gives shares to the states of its device; the rest is the
    state it is in."""
    given = shares.get(device.id)
    if not given or draw.kind == "colour":
        return amps
    known = {each.channel: each.current_a for each in device.draws if each.kind != "colour"}
    inside = {name: share for name, share in given.items() if name in known}
    return sum(share * known[name] for name, share in inside.items()) + (1.0 - sum(inside.values())) * amps


def sums_by_bank(
    rig: Rig, state: StateLoads, *, shares: Mapping[str, Mapping[str, float]], cut: frozenset[str] = frozenset(),
    own: str | None = None, base_a: float = 0.0, sheds_from: int | None = None,
) -> dict[str, Sums]:  # fmt: skip
    """What each bank is asked for on average in a state: its loads by their laws, and what the vehicle itself draws.

    Left out are feeds through an open disconnect, and feeds that shed at step `sheds_from` or below.
    """
    found: dict[str, Sums] = {} if own is None else {own: Sums(base_a)}
    for each in state.drawn:
        draw = each.draw
        bank = own if draw.device_id in state.taken else None
        if draw.circuit_id is not None:
            above = [rig.feeds[name] for name in feeds_above(rig, draw)]
            if any(f.through in cut for f in above if f.through):
                continue
            if sheds_from is not None and any(f.sheds is not None and f.sheds <= sheds_from for f in above):
                continue
            bank = above[-1].bank_id if above else None
        if bank is not None:
            amps = stretch_amps(rig.devices[draw.device_id], draw, mean_of(each.wave), shares)
            found[bank] = found.get(bank, Sums()).and_(_sums(draw, amps))
    return found


@dataclass(frozen=True, slots=True)
class Roles:
    """What the vehicle's roles say of a state."""

    running: bool
    shore: bool


class RigCrew:
    """A program being operated through the day: what draws in the state it is in, and when it changes by itself."""

    def __init__(self, rig: Rig, plant: Plant, evaluator: Evaluator | None = None) -> None:
        self.rig, self.plant = rig, plant
        self.evaluator = evaluator or Evaluator(rig.program)
        self._closures = Closures(rig.program)
        self._roles = dict(rig.program.roles)
        self._known: dict[tuple[State, object], StateLoads] = {}
        self._sums: dict[tuple[State, object, frozenset[str]], dict[str, Sums]] = {}
        self._acting: dict[str, bool] = {}
        self._stepper: Stepper | None = None
        self._start_s = 0.0
        self._shares: Mapping[str, Mapping[str, float]] = {}
        self._stretch = 0

    def begin(self, state: State, *, shares: Mapping[str, Mapping[str, float]], now_s: float) -> None:
        """Go over to a state: measured signals stay as they are, off-delays that ran go on from now."""
        values = list(state)
        before = None if self._stepper is None else self._stepper.state
        for index, variable in enumerate(self.rig.program.variables):
            if variable.name in self._acting:
                values[index] = int(self._acting[variable.name])
            elif before is not None and variable.timer_kind == "off_delay" and before[index] == 1:
                values[index] = 1
        self._stepper = Stepper(self.rig.program, tuple(values))
        self._start_s, self._shares = now_s, shares
        self._stretch += 1

    @property
    def state(self) -> State:
        """The state now."""
        assert self._stepper is not None
        return self._stepper.state

    def roles(self) -> Roles:
        """Whether the engine runs and the shore is plugged in."""
        return Roles(self._holds("running_when"), self._holds("shore_when"))

    def _holds(self, role: str) -> bool:
        expression: Expression | None = self._roles.get(role)
        return expression is not None and self._closures.two(expression)(self.state)

    def loads(self, cut: frozenset[str]) -> Mapping[str, Sums]:
        """What each bank is asked for in the state now."""
        key = (self.state, self._stretch, cut)
        if key not in self._sums:
            running = self.roles().running
            loads = self._loads(running)
            base_a = supply.base_load_a(self.rig, running=running)
            self._sums[key] = sums_by_bank(
                self.rig, loads, shares=self._shares, cut=cut, own=self.plant.own, base_a=base_a
            )
        return self._sums[key]

    def _loads(self, running: bool) -> StateLoads:
        key = (self.state, running)
        if key not in self._known:
            point = SavedPoint("", "", (), (), None, "", 0)
            self._known[key] = loads_of(self.rig, point, self.evaluator.outcome(self.state), running=running)
        return self._known[key]

    def next_s(self) -> float | None:
        """When a timer or a wire that settles falls due."""
        assert self._stepper is not None
        due = self._stepper.next_due_ms
        return None if due is None else self._start_s + due / 1000.0

    def advance(self, now_s: float) -> None:
        """Let time pass."""
        assert self._stepper is not None
        ahead = round((now_s - self._start_s) * 1000.0) - self._stepper.now_ms
        if ahead > 0:
            self._stepper.wait(ahead)

    def signal(self, name: str, acts: bool) -> bool:
        """A measured signal turns, unless the document calls that impossible now."""
        assert self._stepper is not None
        try:
            self._stepper.set({name: "yes" if acts else "no"})
        except StepError:
            return False
        self._acting[name] = acts
        return True


def setting_of(rig: Rig, roles: Roles, *, rpm: float | None, temperature_c: float = MODEL_C) -> Setting:
    """Charging, shore and temperature while a state holds."""
    output = supply.output_a(rig, engine_rpm=rpm) if roles.running else 0.0
    return Setting(output or 0.0, rig.vehicle.charging.at, roles.running, roles.shore, temperature_c)


def shares_of(stretch: DutyStretch) -> dict[str, dict[str, float]]:
    """Shares of draw states that a stretch gives."""
    return {device: dict(shares) for device, shares in stretch.draws.items()}
