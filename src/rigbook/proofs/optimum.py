"""The greatest weighted sum of literals over the reachable states, by cores (OLL), in whole numbers.

Every soft literal that fails costs its weight. A core is a set of them that cannot all hold; it costs its least
weight whatever happens, and in its place stand unary counters of how many of it fail (source: Andres, Kaufmann,
Matheis and Schaub, Unsatisfiability-based optimization in clasp, ICLP 2012; Morgado, Dodaro and Marques-Silva,
Core-guided MaxSAT with soft cardinality constraints, CP 2014). Counters are gates in both directions, so the
costs of every state stay exact, and at the end the literals that are left describe the states that reach the
greatest sum, no more and no fewer: that is what the smallest witness is sought under.

Weights are whole numbers of any size. Effort is counted in solver calls and conflicts, never in seconds: equal input,
equal output.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field

from rigbook.proofs.evidence import State
from rigbook.proofs.gates import FALSE, TRUE
from rigbook.proofs.second_opinion import opinion
from rigbook.proofs.symbolic import Solver


@dataclass(frozen=True, slots=True)
class Effort:
    """calls: solver calls for one maximum. propagations: of all of them together (some ten million a second).
    conflicts: of one call before it is given up; core_conflicts: of one call that only makes a core smaller.
    greedy_from: soft literals from which on a good state is sought first. opinion: of the second opinion that is then
    asked for, in its own units (about one a second; 0: none is asked for)."""

    calls: int = 20_000
    propagations: int = 10_000_000
    conflicts: int = 20_000
    core_conflicts: int = 200
    greedy_from: int = 40
    opinion: float = 8.0


@dataclass(frozen=True, slots=True)
class Optimum:
    """upper: no state has more. best: what `state` has. goal: holds in the states that reach `upper`; None where that
    is not known, or where a second opinion settled it: then `state` is the smallest it found."""

    upper: int
    best: int
    state: State
    goal: int | None

    @property
    def exact(self) -> bool:
        """Whether the upper bound is reached."""
        return self.upper == self.best


@dataclass
class _Counter:
    """A unary counter of failures among a core: `outputs[k]` holds where more than k fail. All weigh the same."""

    outputs: list[int]
    place: int
    weight: int


@dataclass
class _Search:
    solver: Solver
    base: tuple[int, ...]
    value: Callable[[], int]
    effort: Effort
    upper: int = 0
    weights: dict[int, int] = field(default_factory=dict)
    counters: dict[int, list[_Counter]] = field(default_factory=dict)
    best: int = -1
    state: State = ((), ())
    calls: int = 0
    until: int = 0
    must: set[int] = field(default_factory=set)

    def add(self, literal: int, weight: int) -> None:
        """A soft literal more; what can never hold costs at once."""
        if literal == FALSE:
            self.upper -= weight
        elif literal != TRUE:
            self.weights[literal] = self.weights.get(literal, 0) + weight

    def run(self) -> bool:
        """Whether the maximum was found; `upper`, `best`, `state` and the left weights say what is known."""
        stratum = max(self.weights.values(), default=0)
        while True:
            # What weighs more than lies between the bound and the best state holds in every better state.
            spare = self.upper - self.best
            self.must = {literal for literal, weight in self.weights.items() if weight > spare}
            active = [literal for literal, weight in self.weights.items() if weight >= stratum or literal in self.must]
            answer = self._solve(active)
            if answer is None:
                return False
            if not answer:
                if not self._relax(stratum):
                    return False
                continue
            self.improve()
            if self.best == self.upper or len(active) == len(self.weights):
                return self.best == self.upper
            stratum = self._next_stratum(stratum, len(active))

    def _solve(self, assumptions: Iterable[int], conflicts: int | None = None) -> bool | None:
        self.calls += 1
        if self.calls > self.effort.calls or self.solver.propagations() > self.until:
            return None
        most = self.effort.conflicts if conflicts is None else conflicts
        return self.solver.solve_within((*self.base, *assumptions), conflicts=most)

    def greedy(self, softs: Mapping[int, int]) -> None:
        """Hold one soft literal after the other, the heaviest first, where those held before allow it."""
        held: list[int] = []
        for literal in sorted(softs, key=lambda soft: (-softs[soft], abs(soft))):
            if self.solver.holds(literal) or self._solve((*held, literal), self.effort.core_conflicts):
                held.append(literal)
                self.improve()

    def improve(self, *, even: int | None = None) -> None:
        """Keep the last model if none was better; or if it comes to so much."""
        found = self.value()
        if found > self.best or found == even:
            self.best, self.state = found, self.solver.state()

    def _next_stratum(self, stratum: int, active: int) -> int:
        """The next lower weight, such that some more literals come in, a good share of the different weights."""
        lower = sorted((w for w in self.weights.values() if w < stratum), reverse=True)
        take = max(1, active // 4)
        return lower[min(take, len(lower)) - 1] if lower else 0

    def _relax(self, stratum: int) -> bool:
        must = self.must
        core = self._smaller([c for c in self.solver.core() if c in self.weights and c not in must])
        if not core:
            return False
        least = min(self.weights[c] for c in core)
        self.upper -= least
        for literal in core:
            self._lighten(literal, least)
        if len(core) > 1:
            self._count(core, least)
        return True

    def _lighten(self, literal: int, weight: int) -> None:
        self.weights[literal] -= weight
        if not self.weights[literal]:
            del self.weights[literal]
        for counter in self.counters.pop(literal, ()):
            self._raise(counter)

    def _raise(self, counter: _Counter) -> None:
        """The next place of a counter becomes soft."""
        place = counter.place + 1
        if place < len(counter.outputs):
            literal = -counter.outputs[place]
            self.add(literal, counter.weight)
            if literal not in (FALSE, TRUE):
                self.counters.setdefault(literal, []).append(_Counter(counter.outputs, place, counter.weight))

    def _count(self, core: list[int], weight: int) -> None:
        outputs = self.solver.gates.at_least([-c for c in core])
        counter = _Counter(outputs, 0, weight)
        while counter.place + 1 < len(outputs):
            # As many as surely fail are paid at once.
            answer = self._solve((*self.must, -outputs[counter.place + 1]), self.effort.core_conflicts)
            if answer is not False:
                break
            self.upper -= weight
            counter.place += 1
        self._raise(counter)

    def _smaller(self, core: list[int]) -> list[int]:
        """Leave out what the core can do without, heaviest kept: a light core costs little and says much."""
        core = sorted(core, key=lambda c: (self.weights[c], abs(c)))
        if len(core) > 40:
            return core
        kept = list(core)
        for literal in core:
            if len(kept) == 1:
                break
            without = [c for c in kept if c != literal]
            if literal in kept and self._solve((*self.must, *without), self.effort.core_conflicts) is False:
                found = self.solver.core()
                kept = [c for c in without if c in found]
        return kept


def greatest(
    solver: Solver,
    softs: Mapping[int, int],
    *,
    base: tuple[int, ...] = (),
    value: Callable[[], int],
    effort: Effort,
) -> Optimum | None:
    """The greatest sum of weights of the soft literals, over reachable states in which the literals of `base` hold.

    `value` gives the sum in the solver's last model. None where no state is reachable.
    """
    until = solver.propagations() + effort.propagations
    search = _Search(solver, base, value, effort, upper=sum(softs.values()), until=until)
    if not solver.solve(base):
        return None
    search.improve()
    if len(softs) >= effort.greedy_from:
        search.greedy(softs)
    for literal, weight in softs.items():
        search.add(literal, weight)
    # Strata from the heaviest down: the first models are already good.
    exact = search.best == search.upper or search.run()
    goal = None
    if not exact and effort.opinion > 0:
        _ask_another(search, softs)
    if exact:
        goal = solver.gates.all_of((*base, *search.weights)) if search.weights else solver.gates.all_of(base)
    return Optimum(search.upper, search.best, search.state, goal)


def _ask_another(search: _Search, softs: Mapping[int, int]) -> None:
    """A second opinion on the bound, and on the best state, which the solver itself then checks and adds up."""
    solver = search.solver
    solver.solve((*search.base, *solver.literals_of(search.state)))
    hint = [literal for literal in range(2, solver.gates.top + 1) if solver.knows(literal)]
    hint = [literal if solver.holds(literal) else -literal for literal in hint]
    found = opinion(
        solver.gates, softs, demanded=(solver.all_constraints, *search.base), hint=hint, least=solver.order(),
        effort=search.effort.opinion,
    )  # fmt: skip
    if found is None:
        return
    search.upper = min(search.upper, found.upper)
    if found.literals is not None and solver.solve((*search.base, *found.literals.intersection(solver.written()))):
        search.improve(even=search.upper)
