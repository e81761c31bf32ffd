"""The banks of a plant at an instant: what is joined, what charges and draws, and how the charges then change.

Hours, ampere-hours, amperes. The day (`day`) steps through time with it.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from rigbook.power.bank import BankModel, Profile, accepts_a, open_v
from rigbook.power.bus import Cell, Source, Sums, balance
from rigbook.power.plant import Plant, Setting, Tie, Watch, watches_of

NO_LOADS = Sums()
Group = tuple[list[str], Sums, list[Source]]
"""Banks on one bus, what they are asked for together, and what charges them whatever their charge."""


@dataclass(slots=True)
class Now:
    """What follows from the charges at an instant."""

    slopes: list[float]
    volts: dict[str, float]
    into_a: dict[str, float]
    given_a: float
    lowest: dict[str, tuple[float, float]]  # volts and current into each bank, of a hunting isolator the lower of both
    settles_v: float = -1.0  # above 0: the hunting isolator has a place to stay


class Buses:
    """A plant with its charges now. Mutable."""

    def __init__(self, plant: Plant, charges: list[float]) -> None:
        self.plant = plant
        self.charges = charges
        self.flat = {bank.id: False for bank in plant.banks}
        self.absorbing = {bank.id: True for bank in plant.banks}
        self.watches = watches_of(plant)
        self._setting = Setting()
        self._loads: Mapping[str, Sums] = {}
        self._profiles: dict[str, Profile] = {}
        self._cold: dict[str, float] = {}
        self._groups: list[Group] = []
        self._both: tuple[list[Group], list[Group]] = ([], [])
        self._converters: list[Tie] = []
        self._constants: list[tuple[str, int, float, float, float, float]] = []
        self._hunting: Watch | None = None
        self._at = {bank.id: 2 * index for index, bank in enumerate(plant.banks)}

    # --- an instant --------------------------------------------------------------------------------------------

    def _regroup(self) -> None:
        """What is joined, anew; of a hunting isolator both ways."""
        self._groups = self._joined()
        if self._hunting is not None:
            was = self._hunting.on
            self._hunting.on = True
            closed = self._joined()
            self._hunting.on = False
            self._both = (closed, self._joined())
            self._hunting.on = was

    def _joined(self) -> list[Group]:
        """Banks joined by closed ties, with what draws on them and what charges them."""
        joined = {bank.id: bank.id for bank in self.plant.banks}
        closed = {w.id: w.on for w in self.watches if w.kind == "tie"}
        for tie in self.plant.ties:
            on = tie.kind == "direct" or (self._setting.running if tie.kind == "running" else closed.get(tie.id, False))
            if on and tie.kind != "converter":
                old, new = joined[tie.b], joined[tie.a]
                joined = {bank: new if to == old else to for bank, to in joined.items()}
        groups: dict[str, list[str]] = {}
        for bank in self.plant.banks:
            groups.setdefault(joined[bank.id], []).append(bank.id)
        return [self._group(names) for names in groups.values()]

    def _group(self, names: list[str]) -> Group:
        loads, sources = NO_LOADS, []
        if not all(self.flat[name] for name in names):
            for name in names:
                loads = loads.and_(self._loads.get(name, NO_LOADS))
        if self.plant.own in names and self._setting.output_a > 0:
            sources.append(Source(self._setting.regulated_v, self._setting.output_a))
        return names, loads, sources

    def _on_shore(self, bank: BankModel) -> bool:
        return self._setting.shore and any(bank.id in charger.banks for charger in self.plant.chargers)

    def _level_v(self, bank_id: str) -> float:
        how = self._profiles[bank_id]
        return how.absorption_v if self.absorbing[bank_id] else how.float_v

    def _cell(self, bank: BankModel, charges: Sequence[float]) -> Cell:
        at = self._at[bank.id]
        available, bound = charges[at], charges[at + 1]
        how = self._profiles[bank.id]
        return Cell(
            open_v(bank, head=available / bank.available_full_ah), bank.resistance_ohm,
            accepts_a(bank, how, available_ah=available, bound_ah=bound), how.absorption_v, self.flat[bank.id],
        )  # fmt: skip

    def _slopes_at(self, charges: Sequence[float]) -> list[float]:
        return self._instant(charges).slopes

    def _instant(self, charges: Sequence[float]) -> Now:
        """Voltages, currents and slopes that follow from charges. Of a hunting isolator the mean of closed and open."""
        hunting = self._hunting
        if hunting is None:
            volts, into, given = self._solved(charges, self._groups)
            return Now(self._slopes(charges, into), volts, into, given, {k: (volts[k], into[k]) for k in volts})
        found = []
        for on, groups in zip((True, False), self._both, strict=True):
            hunting.on = on
            volts, into, given = self._solved(charges, groups)
            found.append((hunting.past_v(volts), volts, into, given))
        (past_on, volts_on, into_on, given_on), (past_off, volts_off, into_off, given_off) = found
        on_s, off_s = max(1.0, hunting.fall_delay_s), max(1.0, hunting.rise_delay_s)
        share = on_s / (on_s + off_s)
        slopes_on, slopes_off = self._slopes(charges, into_on), self._slopes(charges, into_off)
        return Now(
            [share * a + (1 - share) * b for a, b in zip(slopes_on, slopes_off, strict=True)],
            {k: max(volts_on[k], volts_off[k]) for k in volts_on},
            {k: share * into_on[k] + (1 - share) * into_off[k] for k in into_on},
            share * given_on + (1 - share) * given_off,
            {k: min((volts_on[k], into_on[k]), (volts_off[k], into_off[k])) for k in volts_on},
            -min(past_on, past_off),
        )

    def _slopes(self, charges: Sequence[float], into: Mapping[str, float]) -> list[float]:
        slopes: list[float] = []
        for name, at, k, c, efficiency, cold in self._constants:
            amps = into[name]
            flow = k * (c * charges[at + 1] - (1.0 - c) * charges[at])
            slopes += ((amps * efficiency if amps > 0 else amps / cold) + flow, -flow)
        return slopes

    def _solved(
        self, charges: Sequence[float], groups: Sequence[Group]
    ) -> tuple[dict[str, float], dict[str, float], float]:
        """Voltage of each bank, current into it, and what all sources give."""
        cells = {bank.id: self._cell(bank, charges) for bank in self.plant.banks}
        more: dict[str, list[Source]] = {}
        taken = self._converted(cells, more) if self._converters else {}
        if self._setting.shore:
            self._shore(cells, more)
        volts: dict[str, float] = {}
        into: dict[str, float] = {}
        given = 0.0
        for names, loads, sources in groups:
            there = sources
            for name in names:
                if name in more:
                    there = [*there, *more[name]]
                if name in taken:
                    loads = loads.and_(Sums(0.0, taken[name]))
            found = balance([cells[name] for name in names], there, loads)
            for name, amps in zip(names, found.into_a, strict=True):
                volts[name], into[name] = found.volts, amps
            given += math.fsum(found.given_a)
        return volts, into, given

    def _shore(self, cells: Mapping[str, Cell], sources: dict[str, list[Source]]) -> None:
        """The chargers' outputs, shared by what their banks ask for at their stage."""
        for charger in self.plant.chargers:
            asks = {
                name: max(0.0, cells[name].into(self._level_v(name))[0])
                + self._loads.get(name, NO_LOADS).at(self._level_v(name))
                for name in charger.banks
            }
            whole = math.fsum(asks.values())
            for name, amps in asks.items():
                share = amps / whole if whole > 0 else 1.0 / len(asks)
                sources.setdefault(name, []).append(Source(self._level_v(name), charger.output_a * share))

    def _converted(self, cells: Mapping[str, Cell], sources: dict[str, list[Source]]) -> dict[str, float]:
        """Converters between banks while the engine runs: a source on one side, watts taken on the other."""
        taken: dict[str, float] = {}
        for tie in self._converters:
            source = Source(tie.out_v, tie.out_a)
            found = balance([cells[tie.b]], [source], self._loads.get(tie.b, NO_LOADS))
            taken[tie.a] = taken.get(tie.a, 0.0) + math.fsum(found.given_a) * found.volts / tie.efficiency
            sources.setdefault(tie.b, []).append(source)
        return taken
