"""Which output each channel takes: fewest modules, then least copper, proven by CP-SAT or with the gap stated.

Numbers alone; what they mean stands in `rigbook.power.optimum_outputs`. Currents are whole milliamperes, copper whole
mm2 x cm.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

EFFORT = 10.0
"""Deterministic time the solver has for each of its two questions: equal problems end at equal answers."""
MOST_SHARED = 8
"""Outputs of one bank that one kind of channels is spread over at most."""


@dataclass(frozen=True, slots=True)
class Channel:
    """A channel that asks for an output. kind: channels of one kind are always on together and may share one; -1 for
    none. chain: those of one chain on one output hang one behind the other, `hop` of copper apart; -1 for none.
    copper: by bank that may take it."""

    ma: int
    copper: tuple[tuple[int, int], ...]
    kind: int = -1
    chain: int = -1
    hop: int = 0


@dataclass(frozen=True, slots=True)
class Bank:
    """Free outputs of a module with a common limit. None: no limit. output_ma: of each output."""

    module: int
    free: int
    output_ma: int
    limit_ma: int | None


@dataclass(frozen=True, slots=True)
class Load:
    """What may be on together: milliamperes by channel, and what stands on each bank already."""

    channels: tuple[int, ...]
    before: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Problem:
    """Channels, banks, the modules that something needs anyhow, and what each bank must carry at once."""

    channels: tuple[Channel, ...]
    banks: tuple[Bank, ...]
    needed: frozenset[int]
    loads: tuple[Load, ...] = ()


@dataclass(frozen=True, slots=True)
class Answer:
    """Outputs as lists of channels by bank. at_least_modules and at_least_copper are proven bounds."""

    outputs: tuple[tuple[tuple[int, ...], ...], ...]
    modules: int
    copper: int
    at_least_modules: int
    at_least_copper: int

    @property
    def proven(self) -> bool:
        """Whether nothing better exists."""
        return self.modules == self.at_least_modules and self.copper == self.at_least_copper


def copper_of(problem: Problem, outputs: Sequence[Sequence[Sequence[int]]]) -> int:
    """Copper of an answer: every channel from its module, but chains on one output one behind the other."""
    total = 0
    for bank, groups in enumerate(outputs):
        for group in groups:
            chains: dict[int, list[int]] = {}
            for number in group:
                channel = problem.channels[number]
                cost = dict(channel.copper)[bank]
                if channel.chain < 0 or len(group) == 1:
                    total += cost
                else:
                    chains.setdefault(channel.chain, []).append(number)
            for members in chains.values():
                total += min(dict(problem.channels[n].copper)[bank] for n in members)
                total += sum(problem.channels[n].hop for n in members[1:])
    return total


def modules_of(problem: Problem, outputs: Sequence[Sequence[Sequence[int]]]) -> int:
    """Modules an answer uses, those that something needs anyhow included."""
    return len(problem.needed | {problem.banks[b].module for b, groups in enumerate(outputs) if groups})


def fits(problem: Problem, outputs: Sequence[Sequence[Sequence[int]]]) -> bool:
    """Whether an answer keeps every rule of a problem; said apart from the solver's own words."""
    seen = sorted(n for groups in outputs for group in groups for n in group)
    if seen != list(range(len(problem.channels))):
        return False
    for number, (bank, groups) in enumerate(zip(problem.banks, outputs, strict=True)):
        if len(groups) > bank.free:
            return False
        for group in groups:
            kinds = {problem.channels[n].kind for n in group}
            if len(group) > 1 and (len(kinds) > 1 or -1 in kinds):
                return False
            if sum(problem.channels[n].ma for n in group) > bank.output_ma:
                return False
            if any(number not in dict(problem.channels[n].copper) for n in group):
                return False
        for load in problem.loads:
            carried = load.before[number] + sum(load.channels[n] for group in groups for n in group)
            if bank.limit_ma is not None and carried > bank.limit_ma and any(groups):
                return False
    return True


def simple_answer(problem: Problem) -> Answer | None:
    """The best answer where no choice is needed: all modules are needed anyhow or nobody's alternative, every channel
    stands alone on the bank nearest to it, and all that fits. None where that is not so plain.

    It is the best: no fewer modules than those needed can do, and no channel can have less copper than alone on its
    nearest. Chains that could share an output are not plain.
    """
    needed = set(problem.needed)
    for channel in problem.channels:
        modules = {problem.banks[bank].module for bank, _ in channel.copper}
        if len(modules) == 1:
            needed |= modules
    kinds = [(channel.kind, channel.chain) for channel in problem.channels if channel.kind >= 0 <= channel.chain]
    if len(set(kinds)) < len(kinds):
        return None
    outputs: list[list[tuple[int, ...]]] = [[] for _ in problem.banks]
    for number, channel in enumerate(problem.channels):
        able = [(copper, bank) for bank, copper in channel.copper if problem.banks[bank].module in needed]
        least = min(able, default=None)
        if least is None or channel.ma > min(problem.banks[bank].output_ma for _, bank in able):
            return None
        for bank in (bank for copper, bank in able if copper == least[0]):
            tried = [list(groups) for groups in outputs]
            tried[bank].append((number,))
            if _holds(problem, bank, tried[bank]):
                outputs = tried
                break
        else:
            return None
    found = tuple(tuple(groups) for groups in outputs)
    copper, modules_used = copper_of(problem, found), modules_of(problem, found)
    return Answer(found, modules_used, copper, modules_used, copper) if fits(problem, found) else None


def _holds(problem: Problem, number: int, groups: Sequence[Sequence[int]]) -> bool:
    bank = problem.banks[number]
    if len(groups) > bank.free:
        return False
    return all(
        bank.limit_ma is None or load.before[number] + sum(load.channels[n] for g in groups for n in g) <= bank.limit_ma
        for load in problem.loads
    )


@lru_cache(maxsize=256)
def solve(problem: Problem) -> Answer | None:
    """The best answer; None where there is none. Equal problems give equal answers."""
    return simple_answer(problem) or _Model(problem).solve()


class _Model:
    """The problem as CP-SAT sees it: first the fewest modules, then among those the least copper."""

    def __init__(self, problem: Problem) -> None:
        from ortools.sat.python import cp_model

        self.problem, self.cp = problem, cp_model
        self.model: Any = cp_model.CpModel()
        self.on: dict[tuple[int, int], Any] = {}  # channel on bank
        self.slots: dict[tuple[int, int, int], dict[int, Any]] = {}  # kind, bank, slot -> channel on it
        self.used: dict[tuple[int, int, int], Any] = {}
        self.first: dict[tuple[int, int, int, int], Any] = {}  # chain of a kind begins on a slot
        self.modules: dict[int, Any] = {}
        self.counted: list[Any] = []  # outputs in use
        self._build()

    def _build(self) -> None:
        model, problem = self.model, self.problem
        for number, channel in enumerate(problem.channels):
            for bank, _ in channel.copper:
                if channel.ma <= problem.banks[bank].output_ma:
                    self.on[number, bank] = model.new_bool_var("")
            model.add_exactly_one([self.on[number, b] for b, _ in channel.copper if (number, b) in self.on])
        for bank, each in enumerate(problem.banks):
            here = [n for n, _ in enumerate(problem.channels) if (n, bank) in self.on]
            counted = [self.on[n, bank] for n in here if self._alone(n)]
            kinds = dict.fromkeys(problem.channels[n].kind for n in here if not self._alone(n))
            for kind in kinds:
                counted += self._shared(kind, bank, [n for n in here if problem.channels[n].kind == kind])
            model.add(sum(counted) <= each.free)
            self.counted += counted
            module = self.modules.setdefault(each.module, model.new_bool_var(""))
            if each.module in problem.needed:
                model.add(module == 1)
            for n in here:
                model.add_implication(self.on[n, bank], module)
            for load in problem.loads:
                if each.limit_ma is not None:
                    self._limit(bank, each.limit_ma, load, here)

    def _limit(self, bank: int, limit_ma: int, load: Load, here: Sequence[int]) -> None:
        room = limit_ma - load.before[bank]
        if room >= 0:
            self.model.add(sum(load.channels[n] * self.on[n, bank] for n in here) <= room)
        else:  # what stands there already is too much, and is said by a finding: nothing more goes on it
            self.model.add(sum(self.on[n, bank] for n in here) == 0)

    def _alone(self, number: int) -> bool:
        kind = self.problem.channels[number].kind
        return kind < 0 or sum(channel.kind == kind for channel in self.problem.channels) < 2

    def _shared(self, kind: int, bank: int, members: Sequence[int]) -> list[Any]:
        """Outputs of a bank for channels of one kind: as many as are used, filled one after the other."""
        model, problem = self.model, self.problem
        made: list[Any] = []
        most = min(len(members), problem.banks[bank].free, MOST_SHARED)
        for slot in range(most):
            used = model.new_bool_var("")
            here = {n: model.new_bool_var("") for n in members}
            model.add(sum(problem.channels[n].ma * v for n, v in here.items()) <= problem.banks[bank].output_ma * used)
            model.add(used <= sum(here.values()))
            for chain in dict.fromkeys(problem.channels[n].chain for n in members if problem.channels[n].chain >= 0):
                begins = self.first[kind, bank, slot, chain] = model.new_bool_var("")
                for n, v in here.items():
                    if problem.channels[n].chain == chain:
                        model.add_implication(v, begins)
            if made:
                model.add_implication(used, made[-1])
            self.slots[kind, bank, slot] = here
            made.append(used)
        for n in members:
            model.add(sum(self.slots[kind, bank, slot][n] for slot in range(most)) == self.on[n, bank])
        return made

    def _copper(self) -> Any:
        problem, terms = self.problem, []
        for (n, bank), v in self.on.items():
            if self._alone(n) or problem.channels[n].chain < 0:
                terms.append(dict(problem.channels[n].copper)[bank] * v)
        for (kind, bank, slot), here in self.slots.items():
            for chain in dict.fromkeys(problem.channels[n].chain for n in here if problem.channels[n].chain >= 0):
                own = [n for n in here if problem.channels[n].chain == chain]
                begins = self.first[kind, bank, slot, chain]
                hop = min(problem.channels[n].hop for n in own)
                nearest = min(dict(problem.channels[n].copper)[bank] for n in own)
                terms.append((nearest - hop) * begins)
                terms.append(sum(hop * here[n] for n in own))
        return sum(terms)

    def solve(self) -> Answer | None:
        """Both questions."""
        if any(not any((n, b) in self.on for b, _ in c.copper) for n, c in enumerate(self.problem.channels)):
            return None
        modules = sum(self.modules.values())
        self.model.minimize(modules)
        first = self._ask()
        if first is None:
            return None
        solver, found, at_least = first
        self.model.add(modules <= found)
        for v in (*self.on.values(), *(v for here in self.slots.values() for v in here.values())):
            self.model.add_hint(v, solver.value(v))
        # of equal copper the one that shares least: what stands alone is the easier to mend
        weight = len(self.problem.channels) + 1
        self.model.minimize(weight * self._copper() - sum(self.counted))
        second = self._ask()
        bound = 0
        if second is not None:
            solver, _, bound = second
            bound = max(0, -(-bound // weight))
        outputs = self._read(solver)
        copper = copper_of(self.problem, outputs)
        return Answer(outputs, modules_of(self.problem, outputs), copper, at_least, min(bound, copper))

    def _ask(self) -> tuple[Any, int, int] | None:
        solver = self.cp.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.random_seed = 1
        solver.parameters.max_deterministic_time = EFFORT
        status = solver.solve(self.model)
        if status not in (self.cp.OPTIMAL, self.cp.FEASIBLE):
            return None
        return solver, round(solver.objective_value), -(-round(solver.best_objective_bound * 1000) // 1000)

    def _read(self, solver: Any) -> tuple[tuple[tuple[int, ...], ...], ...]:
        found: list[list[tuple[int, ...]]] = [[] for _ in self.problem.banks]
        for (n, bank), v in self.on.items():
            if self._alone(n) and solver.value(v):
                found[bank].append((n,))
        for (_, bank, _), here in self.slots.items():
            group = tuple(n for n, v in here.items() if solver.value(v))
            if group:
                found[bank].append(group)
        return tuple(tuple(sorted(groups)) for groups in found)
