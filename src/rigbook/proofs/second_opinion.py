"""A second opinion on a greatest sum, by constraint programming with linear relaxation, where cores do not settle it.

The formula goes over as it is: gates, demands, and the weights of soft literals as a linear sum. One worker, a fixed
seed and an effort counted in deterministic units make it answer equally on every machine. What it finds is not
believed: the state is set in the caller's own solver, which checks it and adds its weights up anew; only the bound is
the library's word (OR-Tools CP-SAT).
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from rigbook.proofs.gates import FALSE, TRUE, Gates

GREATEST_WEIGHT = 1 << 50
"""Sums beyond this are not asked: the library's numbers for them would not be whole any more."""


@dataclass(frozen=True, slots=True)
class Opinion:
    """upper: no assignment has more, by the library. literals: those that hold in the best one found, if any; the
    least by the order asked for, where that was settled too."""

    upper: int
    literals: frozenset[int] | None


def opinion(
    gates: Gates,
    softs: Mapping[int, int],
    *,
    demanded: Iterable[int],
    hint: Iterable[int] = (),
    least: Sequence[Mapping[int, int]] = (),
    effort: float,
) -> Opinion | None:
    """The greatest sum of weights of soft literals where the demanded ones hold.

    hint: literals of a good assignment. least: sums that are made as small as can be, one after the other, among the
    assignments that reach the greatest, once it is proven. effort: of all together in the library's deterministic
    units, about one a second. None where the weights are too large to ask, where nothing meets the demands, or where
    it came to nothing.
    """
    demanded = list(demanded)
    share = math.gcd(*softs.values()) or 1
    fixed = softs.get(TRUE, 0)
    weights = {literal: weight // share for literal, weight in softs.items() if literal not in (TRUE, FALSE) and weight}
    if not weights or sum(weights.values()) > GREATEST_WEIGHT:
        return None
    asked = _Question(gates, [*weights, *demanded, *(literal for sums in least for literal in sums)], demanded, effort)
    asked.hint(hint)
    proven = asked.optimise(weights, greatest=True)
    for sums in least:
        proven = proven and asked.optimise(sums, greatest=False)
    if asked.upper is None:
        return None
    return Opinion(min(asked.upper, sum(weights.values())) * share + fixed, asked.held)


class _Question:
    """The formula in the library, asked for one optimum after the other, each kept for the next."""

    def __init__(self, gates: Gates, literals: Iterable[int], demanded: Iterable[int], effort: float) -> None:
        from ortools.sat.python import cp_model

        self._library: Any = cp_model
        self._model: Any = cp_model.CpModel()
        self._variables = _formula(self._model, gates, literals, demanded)
        self._effort = effort
        self.upper: int | None = None
        self.held: frozenset[int] | None = None

    def hint(self, literals: Iterable[int]) -> None:
        """Literals of an assignment to begin with."""
        self._model.clear_hints()
        for literal in literals:
            if abs(literal) in self._variables:
                self._model.add_hint(self._variables[abs(literal)], literal > 0)

    def optimise(self, sums: Mapping[int, int], *, greatest: bool) -> bool:
        """Find the greatest or least of a sum and hold it from now on; whether it was proven."""
        total = sum(weight * _literal(self._variables, literal) for literal, weight in sums.items())
        if self._effort <= 0:
            return False
        self._model.maximize(total) if greatest else self._model.minimize(total)
        solver = self._library.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.random_seed = 0
        solver.parameters.linearization_level = 2
        solver.parameters.max_deterministic_time = self._effort
        status = solver.solve(self._model)
        self._effort -= solver.response_proto.deterministic_time
        if status == self._library.INFEASIBLE:
            return False
        if greatest:
            self.upper = math.floor(solver.best_objective_bound + 1e-6)
        if status not in (self._library.OPTIMAL, self._library.FEASIBLE):
            return False
        self.held = frozenset(v if solver.boolean_value(known) else -v for v, known in self._variables.items())
        reached = sum(weight for literal, weight in sums.items() if literal in self.held)
        self._model.add(total >= reached if greatest else total <= reached)
        self.hint(self.held)
        return bool(status == self._library.OPTIMAL)


def _formula(model: Any, gates: Gates, literals: Iterable[int], demanded: Iterable[int]) -> dict[int, Any]:
    """The gates below the literals and the demands on them, put into a model; its variables by number."""
    inputs, demands = gates.reaching(literals)
    numbers = {abs(literal) for literal in literals} | inputs.keys()
    numbers.update(abs(literal) for parts in (*inputs.values(), *demands) for literal in parts)
    variables = {number: model.new_bool_var(f"v{number}") for number in sorted(numbers)}
    for gate, parts in inputs.items():
        held = [_literal(variables, part) for part in parts]
        model.add_bool_and(held).only_enforce_if(variables[gate])
        model.add_bool_or([variables[gate], *(~part for part in held)])
    for clause in demands:
        model.add_bool_or([_literal(variables, literal) for literal in clause])
    for literal in demanded:
        model.add_bool_or([_literal(variables, literal)])
    if TRUE in variables:
        model.add_bool_or([variables[TRUE]])
    return variables


def _literal(variables: Mapping[int, Any], literal: int) -> Any:
    return variables[literal] if literal > 0 else ~variables[-literal]
