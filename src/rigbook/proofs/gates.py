"""AND gates in conjunctive normal form, each built once.

A literal is a positive or negative whole number, as in the DIMACS format; variable 1 is the constant true. Gates are
hash-consed: equal inputs give the same literal, so that shared parts of a program are shared in the formula. The
clauses are those of Tseitin's transformation in both directions: in every model each gate's literal has its meaning.
"""

from __future__ import annotations

from collections.abc import Iterable

TRUE = 1
FALSE = -1


class Gates:
    """Literals, gates and their clauses. `take_clauses` hands out what was added since the last call."""

    def __init__(self) -> None:
        self.top = 1
        self._ands: dict[tuple[int, ...], int] = {}
        self._clauses: list[list[int]] = [[TRUE]]
        self.demands: list[list[int]] = []

    def new(self) -> int:
        """A fresh variable, as its positive literal."""
        self.top += 1
        return self.top

    def clause(self, *literals: int) -> None:
        """Demand that one of the literals holds."""
        self.demands.append(list(literals))
        self._clauses.append(list(literals))

    def take_clauses(self) -> list[list[int]]:
        """The clauses added since the last call."""
        taken, self._clauses = self._clauses, []
        return taken

    def reaching(self, literals: Iterable[int]) -> tuple[dict[int, tuple[int, ...]], list[list[int]]]:
        """What bears on some literals: each gate below them with its inputs, and the demands on any of these."""
        inputs = {gate: key for key, gate in self._ands.items()}
        known, pending = {TRUE}, [abs(literal) for literal in literals]
        gates: dict[int, tuple[int, ...]] = {}
        demands, waiting = [], self.demands
        while pending:
            while pending:
                variable = pending.pop()
                if variable not in known:
                    known.add(variable)
                    if variable in inputs:
                        gates[variable] = inputs[variable]
                        pending += map(abs, inputs[variable])
            touched = [clause for clause in waiting if any(abs(literal) in known for literal in clause)]
            demands += touched
            waiting = [clause for clause in waiting if not any(abs(literal) in known for literal in clause)]
            pending = [abs(literal) for clause in touched for literal in clause]
        return gates, demands

    def all_of(self, literals: Iterable[int]) -> int:
        """A literal that is true where all are (none: true)."""
        parts = set(literals)
        parts.discard(TRUE)
        if not parts:
            return TRUE
        if FALSE in parts or any(-p in parts for p in parts if p > 0):
            return FALSE
        if len(parts) == 1:
            return parts.pop()
        key = tuple(sorted(parts))
        known = self._ands.get(key)
        if known is not None:
            return known
        gate = self.new()
        self._ands[key] = gate
        self._clauses.extend([-gate, p] for p in key)
        self._clauses.append([gate, *(-p for p in key)])
        return gate

    def any_of(self, literals: Iterable[int]) -> int:
        """A literal that is true where one is (none: false)."""
        return -self.all_of(-p for p in literals)

    def differ(self, one: int, other: int) -> int:
        """A literal that is true where the two differ."""
        if one == other:
            return FALSE
        if one == -other:
            return TRUE
        return self.any_of((self.all_of((one, -other)), self.all_of((-one, other))))

    def exactly_one(self, literals: list[int]) -> None:
        """Demand that exactly one of the literals holds (pairwise)."""
        self.clause(*literals)
        for i, one in enumerate(literals):
            for other in literals[:i]:
                self.clause(-one, -other)

    def at_least(self, literals: list[int]) -> list[int]:
        """Literals t with t[k] true where more than k of the inputs are (a totalizer: unary numbers, merged by halves).

        Source: Bailleux and Boufkhad, Efficient CNF Encoding of Boolean Cardinality Constraints, CP 2003. The clauses
        here are full gates, both directions.
        """
        if len(literals) <= 1:
            return list(literals)
        half = len(literals) // 2
        left, right = self.at_least(literals[:half]), self.at_least(literals[half:])
        merged = []
        for k in range(1, len(literals) + 1):
            ways = []
            for i in range(max(0, k - len(right)), min(k, len(left)) + 1):
                ways.append(self.all_of(([left[i - 1]] if i else []) + ([right[k - i - 1]] if k > i else [])))
            merged.append(self.any_of(ways))
        return merged
