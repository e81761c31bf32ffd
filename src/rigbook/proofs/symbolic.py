"""Verdicts by incremental satisfiability: one formula, one solver, every question a literal under assumptions.

Each model strikes every open question that is true in it, so that hundreds of calls do for thousands of questions.
Smallest witnesses come from unary counters over what is off rest, then from the order of positions, one variable
after the other. Models are checked by nothing here: the tests compare every verdict with plain enumeration.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping
from importlib import import_module
from typing import Any, TypeVar

from rigbook.proofs.constraints import broken
from rigbook.proofs.counting import count_reachable
from rigbook.proofs.encoding import Encoding
from rigbook.proofs.evidence import Evidence, Goal, State, broken_by_rest, lit_goals
from rigbook.proofs.gates import FALSE, TRUE, Gates
from rigbook.proofs.reading import remembered
from rigbook.proofs.verdicts import Effort
from rigbook.proofs.witness import ZONES, constraint_labels
from rigbook.switching.program import Program

Name = TypeVar("Name", bound=Hashable)
LARGEST_ORDER = 1 << 40
"""Weights of one sum of the witness order stay below this, so that sums are whole numbers everywhere."""


class Solver:
    """A program's formula in an incremental solver. Questions are literals of `encoding`."""

    def __init__(self, program: Program, *, engine: str = "Cadical195") -> None:
        self.program = program
        self.gates = Gates()
        self.encoding = Encoding(program, self.gates)
        self.selectors: list[int] = []
        self.all_constraints = self.gates.new()
        for literal in broken(self.encoding):
            selector = self.gates.new()
            self.gates.clause(-selector, -literal)
            self.gates.clause(-self.all_constraints, selector)
            self.selectors.append(selector)
        self._sat: Any = getattr(import_module("pysat.solvers"), engine)()
        self._counters: list[list[int]] | None = None
        self._model: list[int] = []

    def close(self) -> None:
        """Free the solver's memory."""
        self._sat.delete()

    def solve(self, assumptions: Iterable[int], *, constrained: bool = True) -> bool:
        """Whether some state (reachable, unless not `constrained`) satisfies the literals."""
        for clause in self.gates.take_clauses():
            self._sat.add_clause(clause)
        assumed = [self.all_constraints, *assumptions] if constrained else list(assumptions)
        if self._sat.solve(assumptions=assumed):
            self._model = self._sat.get_model()
            return True
        return False

    def solve_within(self, assumptions: Iterable[int], *, conflicts: int) -> bool | None:
        """As `solve`, but given up after so many conflicts: then None. Only for engines that keep to a budget."""
        for clause in self.gates.take_clauses():
            self._sat.add_clause(clause)
        self._sat.conf_budget(conflicts)
        answer = self._sat.solve_limited(assumptions=[self.all_constraints, *assumptions])
        if answer:
            self._model = self._sat.get_model()
        return None if answer is None else bool(answer)

    def propagations(self) -> int:
        """How many literals the solver has propagated so far: effort that is the same on every machine."""
        return int(self._sat.accum_stats()["propagations"])

    def core(self) -> set[int]:
        """Assumptions of the last unsatisfiable call that were needed."""
        return set(self._sat.get_core() or ())

    def holds(self, literal: int) -> bool:
        """Whether the literal holds in the last model."""
        return self._model[abs(literal) - 1] == literal

    def state(self) -> State:
        """The last model's values and lost signals."""
        values = tuple(
            next(i for i, literal in enumerate(literals) if self.holds(literal)) for literals in self.encoding.values
        )
        return values, tuple(i for i, literal in enumerate(self.encoding.lost) if self.holds(literal))

    def knows(self, variable: int) -> bool:
        """Whether the last model gives the variable a value: a gate made since has none."""
        return variable <= len(self._model)

    def written(self) -> set[int]:
        """All literals, either way, that values and lost signals are written in."""
        literals = {abs(v) for v in (*(v for values in self.encoding.values for v in values), *self.encoding.lost)}
        return {sign * literal for literal in literals - {TRUE} for sign in (1, -1)}

    def order(self) -> list[dict[int, int]]:
        """The witness order as weights of literals whose sums are to be least, one sum after the other."""
        variables, encoding = self.program.variables, self.encoding
        many = len(variables) + 1
        counts = dict.fromkeys(encoding.lost, many**2)
        for variable, literals in zip(variables, encoding.values, strict=True):
            counts[-literals[variable.rest]] = many if variable.kind == "switch" else 1
        places = [dict(zip(literals, range(len(literals)), strict=True)) for literals in encoding.values]
        places += [{-literal: 1} for literal in encoding.lost]
        sums: list[dict[int, int]] = []
        base = LARGEST_ORDER
        for place in reversed(places):
            if base * (len(place) + 1) > LARGEST_ORDER:
                sums.append({})
                base = 1
            sums[-1].update({literal: weight * base for literal, weight in place.items()})
            base *= len(place) + (len(place) == 1)
        ordered = [counts, *reversed(sums)]
        return [{v: w for v, w in each.items() if v not in (TRUE, FALSE) and w} for each in ordered]

    def literals_of(self, state: State) -> list[int]:
        """The literals that hold in a state's values and lost signals."""
        values, lost = state
        held = [literals[value] for literals, value in zip(self.encoding.values, values, strict=True)]
        gone = [literal if i in lost else -literal for i, literal in enumerate(self.encoding.lost)]
        return [literal for literal in (*held, *gone) if literal != TRUE]

    def strike(self, goals: Mapping[Name, int], *, under: tuple[int, ...] = ()) -> set[Name]:
        """Names of the goals that some reachable state satisfies."""
        reached: set[Name] = set()
        waiting = {name: literal for name, literal in goals.items() if literal != FALSE}
        while waiting:
            literal = next(iter(waiting.values()))
            if not self.solve((*under, literal)):
                waiting = {n: other for n, other in waiting.items() if other != literal}
                continue
            struck = {n for n, other in waiting.items() if self.holds(other)}
            reached |= struck
            waiting = {n: other for n, other in waiting.items() if n not in struck}
        return reached

    # --- smallest witness -------------------------------------------------------------------------

    def counters(self) -> list[list[int]]:
        """Unary counters of lost signals, of switches off rest, and of all else off rest."""
        if self._counters is None:
            variables, values = self.program.variables, self.encoding.values
            off = [-values[i][v.rest] for i, v in enumerate(variables)]
            switches = [o for o, v in zip(off, variables, strict=True) if v.kind == "switch" and o != FALSE]
            others = [o for o, v in zip(off, variables, strict=True) if v.kind != "switch" and o != FALSE]
            lost = [literal for literal in self.encoding.lost if literal != FALSE]
            self._counters = [self.gates.at_least(group) for group in (lost, switches, others)]
        return self._counters

    def smallest(self, goal: int) -> State | None:
        """The first reachable state by the witness order that satisfies the goal."""
        counters = self.counters()
        if not self.solve((goal,)):
            return None
        fixed = [goal]
        for counter in counters:
            # The last model shows how many are enough; try fewer, from none upwards.
            enough = sum(1 for literal in counter if self.holds(literal))
            for bound in range(enough):
                if self.solve((*fixed, -counter[bound])):
                    enough = bound
                    break
            else:
                self.solve(fixed if enough == len(counter) else (*fixed, -counter[enough]))
            if enough < len(counter):
                fixed.append(-counter[enough])
        for literals in self.encoding.values:
            self._first(fixed, literals)
        for literal in self.encoding.lost:
            if literal != FALSE:
                self._first(fixed, (literal, -literal))
        return self.state()

    def _first(self, fixed: list[int], choices: Iterable[int]) -> None:
        """Fix the first of the choices that can hold; the last model holds before and after."""
        for literal in choices:
            if self.holds(literal):
                fixed.append(literal)
                return
            model = self._model
            if self.solve((*fixed, literal)):
                fixed.append(literal)
                return
            self._model = model

    # --- what a proof leans on ----------------------------------------------------------------------

    def leans_on(self, goal: int) -> tuple[str, ...]:
        """For a goal that no reachable state satisfies: drop constraint after constraint as long as none does."""
        kept = list(self.selectors)
        if self.solve((goal, *kept), constrained=False):
            raise ValueError("the goal can be reached")
        core = self.core()
        for selector in self.selectors:
            without = [s for s in kept if s != selector]
            if selector in core:
                if self.solve((goal, *without), constrained=False):
                    continue
                core = self.core()
            kept = without
        return tuple(
            label
            for label, selector in zip(constraint_labels(self.program), self.selectors, strict=True)
            if selector in kept
        )


def symbolic_evidence(program: Program, effort: Effort) -> Evidence:
    """All evidence by the solver."""
    solver = Solver(program)
    try:
        return _evidence(program, effort, solver)
    finally:
        solver.close()


def _evidence(program: Program, effort: Effort, solver: Solver) -> Evidence:
    encoding = solver.encoding
    evidence = Evidence("symbolic", effort.standing, count=count_reachable(program))
    evidence.because = broken_by_rest(program)
    evidence.rest_reachable = not evidence.because
    goals: dict[Goal, int] = {("require", n): encoding.truth(r.never) for n, r in enumerate(program.requirements)}
    if effort.standing:
        functions = range(len(program.functions))
        evidence.on = solver.strike({f: encoding.active(f) for f in functions})
        effects = encoding.effects()
        evidence.works = solver.strike({f: effects[f] for f in functions if f in evidence.on})
        evidence.lit = solver.strike({(i, c): encoding.shows(i, c) for i, c in lit_goals(program)})
        goals |= _lost_goals(program, solver)
        goals |= _fault_goals(program, encoding)
    _witnesses(solver, goals, evidence, effort)
    if effort.standing and effort.dead_positions:
        evidence.told_apart = _told_apart(program, solver)
    return evidence


def _fault_goals(program: Program, encoding: Encoding) -> dict[Goal, int]:
    """Two colours at once, and zones without warning."""
    goals: dict[Goal, int] = {
        ("two", i): encoding.two_colours(d) for i, d in enumerate(program.devices) if d.one_colour_at_a_time
    }
    if program.warning_when is not None:
        for zone in ZONES:
            goals["dark", zone], goals["explained", zone] = encoding.dark(zone)
    return goals


def _witnesses(solver: Solver, goals: dict[Goal, int], evidence: Evidence, effort: Effort) -> None:
    """The smallest state of each goal that has one; what the proof leans on of each requirement that holds."""
    shared: dict[int, State | None] = {FALSE: None}
    for goal, literal in goals.items():
        if literal not in shared:
            shared[literal] = solver.smallest(literal)
        state = shared[literal]
        if state is not None:
            evidence.found[goal] = state
        elif goal[0] == "require" and effort.leaning:
            evidence.leaning[int(goal[1])] = solver.leans_on(literal)


def _lost_goals(program: Program, solver: Solver) -> dict[Goal, int]:
    """For each function, that it is on only because signals are lost."""
    encoding, gates = solver.encoding, solver.gates
    lost = [literal for literal in encoding.lost if literal != FALSE]
    if not lost:
        return {}
    nothing_lost = gates.all_of([-literal for literal in lost])
    functions = range(len(program.functions))
    unlost_on = solver.strike({f: encoding.active(f) for f in functions}, under=(nothing_lost,))
    goals: dict[Goal, int] = {}
    for f in functions:
        wrongly = [encoding.active(f), -nothing_lost]
        if f in unlost_on:
            wrongly.append(-encoding.truth(program.functions[f].when))
        goals["lost", f] = gates.all_of(wrongly)
    return goals


def _told_apart(program: Program, solver: Solver) -> set[tuple[int, int]]:
    """Each (switch, position) that some device can tell from rest, in two reachable states else alike."""
    encoding, gates = solver.encoding, solver.gates
    read = remembered(program)
    goals: dict[tuple[int, int], int] = {}
    for index, variable in enumerate(program.variables):
        if variable.kind != "switch" or index in read:
            continue
        at_rest = encoding.with_fixed(index, variable.rest)
        allowed = [-literal for literal in broken(at_rest)]
        differ = gates.any_of(
            gates.differ(a, b)
            for i in at_rest.affected()
            for a, b in zip(encoding.doings(i), at_rest.doings(i), strict=True)
        )
        for position, literal in enumerate(encoding.values[index]):
            if position != variable.rest:
                goals[index, position] = gates.all_of((literal, differ, *allowed))
    return solver.strike(goals)
