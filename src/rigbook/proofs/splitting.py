"""Counting by splitting: fix a variable, simplify, part what falls apart, and never count the same part twice.

Good for the sizes that vehicles have, in whole numbers, without any library; a bound says when to give up and take a
decision diagram instead. (The idea is that of model counters with component caching: Sang, Bacchus, Beame, Kautz and
Pitassi, Combining Component Caching and Clause Learning for Effective Model Counting, SAT 2004; from memory.)
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping

from rigbook.switching.program import All, Any_, ConditionRef, Constant, Expression, Is, Not, Program

Formula = bool | tuple["object", ...]
"""True, False, ("is", variable, values), ("and", part, …) or ("or", part, …); negation only inside the values."""


def formula(program: Program, expression: Expression, *, wanted: bool = True) -> Formula:
    """The expression, or with `wanted` False its negation, over true values. Events are false."""
    if isinstance(expression, Constant):
        return expression.value == wanted
    if isinstance(expression, Is):
        everything = frozenset(range(len(program.variables[expression.variable].values)))
        return _atom(expression.variable, expression.values if wanted else everything - expression.values, everything)
    if isinstance(expression, Not):
        return formula(program, expression.of, wanted=not wanted)
    if isinstance(expression, All | Any_):
        parts = [formula(program, part, wanted=wanted) for part in expression.of]
        return both(parts) if isinstance(expression, All) == wanted else either(parts)
    if isinstance(expression, ConditionRef):
        return formula(program, program.conditions[expression.condition][1], wanted=wanted)
    return not wanted


def _atom(variable: int, values: frozenset[int], everything: frozenset[int]) -> Formula:
    return bool(values) if not values or values >= everything else ("is", variable, values)


def both(parts: Iterable[Formula]) -> Formula:
    """All of the parts."""
    return _joined("and", parts, neutral=True)


def either(parts: Iterable[Formula]) -> Formula:
    """One of the parts at least."""
    return _joined("or", parts, neutral=False)


def _joined(word: str, parts: Iterable[Formula], *, neutral: bool) -> Formula:
    kept: dict[Formula, None] = {}
    for part in parts:
        if part is (not neutral):
            return not neutral
        if part is not neutral:
            kept.update(dict.fromkeys(part[1:] if part[0] == word else (part,)))  # type: ignore[index,arg-type]
    if not kept:
        return neutral
    return next(iter(kept)) if len(kept) == 1 else (word, *kept)


class TooMany(Exception):
    """The bound on splits was met."""


class Splitter:
    """Counts values of variables that satisfy formulas. `sizes`: number of values by variable."""

    def __init__(self, sizes: Mapping[int, int], *, most_splits: int) -> None:
        self.sizes = sizes
        self.left = most_splits
        self._known: dict[frozenset[Formula], int] = {}
        self._variables: dict[Formula, frozenset[int]] = {}

    def count(self, formulas: Iterable[Formula], variables: Iterable[int]) -> int:
        """Ways to give the variables values so that all formulas hold. TooMany where the bound is met."""
        holding = both(formulas)
        if holding is False:
            return 0
        parts = () if holding is True else holding[1:] if holding[0] == "and" else (holding,)
        result, free = 1, set(variables)
        for group in self._apart(parts):  # type: ignore[arg-type]
            free -= self._read(group)
            result *= self._together(frozenset(group))
            if not result:
                return 0
        for variable in free:
            result *= self.sizes[variable]
        return result

    def _together(self, group: frozenset[Formula]) -> int:
        """Count one group of formulas that hang together, over the variables that they read."""
        known = self._known.get(group)
        if known is not None:
            return known
        if self.left <= 0:
            raise TooMany
        self.left -= 1
        uses = Counter(v for part in group for v in self.variables_of(part))
        variable = min(uses, key=lambda v: (-uses[v], v))
        rest = uses.keys() - {variable}
        ordered = sorted(group, key=repr)
        total = sum(
            self.count([self._fixed(part, variable, value) for part in ordered], rest)
            for value in range(self.sizes[variable])
        )
        self._known[group] = total
        return total

    def variables_of(self, part: Formula) -> frozenset[int]:
        """Variables that a formula reads."""
        if isinstance(part, bool):
            return frozenset()
        known = self._variables.get(part)
        if known is None:
            if part[0] == "is":
                known = frozenset((part[1],))  # type: ignore[arg-type]
            else:
                known = frozenset().union(*(self.variables_of(p) for p in part[1:]))  # type: ignore[arg-type]
            self._variables[part] = known
        return known

    def _read(self, group: Iterable[Formula]) -> frozenset[int]:
        return frozenset().union(*(self.variables_of(part) for part in group))

    def _apart(self, parts: Iterable[Formula]) -> list[list[Formula]]:
        """Formulas in groups that share no variable."""
        groups: list[tuple[set[int], list[Formula]]] = []
        for part in parts:
            read, members = set(self.variables_of(part)), [part]
            distant = []
            for group in groups:
                if group[0].isdisjoint(read):
                    distant.append(group)
                else:
                    read |= group[0]
                    members = group[1] + members
            groups = [*distant, (read, members)]
        return [members for _read, members in groups]

    def _fixed(self, part: Formula, variable: int, value: int) -> Formula:
        """The formula with the variable fixed to the value."""
        if isinstance(part, bool) or variable not in self.variables_of(part):
            return part
        if part[0] == "is":
            return value in part[2]  # type: ignore[operator]
        parts = [self._fixed(p, variable, value) for p in part[1:]]  # type: ignore[arg-type]
        return both(parts) if part[0] == "and" else either(parts)
