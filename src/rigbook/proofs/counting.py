"""The exact number of reachable states.

First by splitting (`rigbook.proofs.splitting`); where that would take long, by a decision diagram. Constraints tie
variables together; variables that no constraint ties multiply. The others stand in a binary decision diagram, in which each connected group stands in one piece so that the diagram is no larger than the groups'
own together, with whole-number arithmetic of our own: the library's count is a float and exact only up to 2^53.
"""

from __future__ import annotations

from collections.abc import Iterable
from importlib import import_module
from typing import Any

from rigbook.proofs.reading import inputs_of, variables_of
from rigbook.proofs.splitting import Formula, Splitter, TooMany, either, formula
from rigbook.switching.program import All, Any_, ConditionRef, Constant, Expression, Is, Not, Program

MOST_SPLITS = 2_000
"""Splits before a decision diagram is taken: about as long as it takes to load that library."""


def groups(program: Program) -> list[list[int]]:
    """Variables that constraints tie together, each group in file order."""
    leader = list(range(len(program.variables)))

    def first(variable: int) -> int:
        while leader[variable] != variable:
            variable = leader[variable]
        return variable

    def tie(variables: Iterable[int]) -> None:
        leaders = sorted({first(v) for v in variables})
        for other in leaders[1:]:
            leader[other] = leaders[0]

    for expression, _file, _line in program.impossible:
        tie(variables_of(program, expression))
    for group in program.exclusive:
        tie(group)
    for index, variable in enumerate(program.variables):
        if variable.kind == "switch":
            tie(variables_of(program, variable.releases_when) | {index})
        elif variable.kind in ("memory", "timer"):
            tie(inputs_of(program, variable) | {index})
    found: dict[int, list[int]] = {}
    for number in range(len(program.variables)):
        found.setdefault(first(number), []).append(number)
    return list(found.values())


def _library() -> Any:
    """The compiled library where it is there, else the slower one in plain Python."""
    try:
        return import_module("dd.cudd")
    except ImportError:
        return import_module("dd.autoref")


class _Diagram:
    """The constraints of a program over some variables, as a decision diagram; values in binary code."""

    def __init__(self, program: Program, group: list[int]) -> None:
        self.program = program
        self.bdd: Any = _library().BDD()
        self.bdd.configure(reordering=True)
        self.bits: dict[int, list[str]] = {}
        for index in group:
            width = max(1, (len(program.variables[index].values) - 1).bit_length())
            self.bits[index] = [f"v{index}_{bit}" for bit in range(width)]
            for name in self.bits[index]:
                self.bdd.declare(name)
        self.conditions: dict[int, Any] = {}

    def value(self, index: int, value: int) -> Any:
        result = self.bdd.true
        for bit, name in enumerate(self.bits[index]):
            literal = self.bdd.var(name)
            result = result & (literal if value >> bit & 1 else ~literal)
        return result

    def one_of(self, index: int, values: Iterable[int]) -> Any:
        result = self.bdd.false
        for value in values:
            result = result | self.value(index, value)
        return result

    def worth(self, expression: Expression | None) -> Any:
        """Where it holds. Events hold in no state, and None never does."""
        true, false = self.bdd.true, self.bdd.false
        if expression is None:
            return false
        if isinstance(expression, Constant):
            return true if expression.value else false
        if isinstance(expression, Is):
            return self.one_of(expression.variable, expression.values)
        if isinstance(expression, Not):
            return ~self.worth(expression.of)
        if isinstance(expression, All | Any_):
            conjunction = isinstance(expression, All)
            holds = true if conjunction else false
            for part in expression.of:
                holds = holds & self.worth(part) if conjunction else holds | self.worth(part)
            return holds
        if isinstance(expression, ConditionRef):
            index = expression.condition
            if index not in self.conditions:
                self.conditions[index] = self.worth(self.program.conditions[index][1])
            return self.conditions[index]
        return false

    def reachable(self) -> Any:
        """The set of the variables' values that the constraints allow, nothing lost."""
        program = self.program
        allowed = self.bdd.true
        for index in self.bits:
            allowed &= self.one_of(index, range(len(program.variables[index].values)))
        for expression, _file, _line in program.impossible:
            read = variables_of(program, expression)
            if not read or read & self.bits.keys():
                allowed &= ~self.worth(expression)
        for group in program.exclusive:
            on = [self.value(i, 1) for i in group if i in self.bits]
            for k, one in enumerate(on):
                for other in on[:k]:
                    allowed &= ~(one & other)
        for index in self.bits:
            allowed &= ~self.broken(index)
        return allowed

    def broken(self, index: int) -> Any:
        """Where the variable's own constraint is broken."""
        variable = self.program.variables[index]
        if variable.kind == "switch" and variable.releases_when is not None:
            return self.value(index, 1) & self.worth(variable.releases_when)
        if variable.kind == "memory" and variable.stepping:
            return ~self.value(index, 0) & self.worth(variable.first_when)
        if variable.kind == "memory":
            clears, sets = self.worth(variable.clear_when), self.worth(variable.set_when)
            return (self.value(index, 1) & clears) | (self.value(index, 0) & sets & ~clears)
        if variable.timer_kind == "on_delay" and variable.condition is not None:
            return self.value(index, 1) & ~self.worth(variable.condition)
        if variable.timer_kind == "off_delay" and variable.condition is not None and variable.at_most_ms is None:
            return self.value(index, 0) & self.worth(variable.condition)
        return self.bdd.false

    def count(self) -> int:
        """Whole number of satisfying assignments of all declared bits."""
        top = self.reachable()
        result = self._below(top, {}) << self._depth(top)
        self.conditions.clear()  # the plain-Python library wants all references gone before the diagram goes
        return result

    def _depth(self, node: Any) -> int:
        """Level of a node; constants lie below all variables."""
        constant = node in (self.bdd.true, self.bdd.false)
        return len(self.bdd.vars) if constant else int(self.bdd.succ(node)[0])

    def _below(self, node: Any, known: dict[int, int]) -> int:
        """Assignments of the levels from the node's own downwards."""
        if node == self.bdd.true:
            return 1
        if node == self.bdd.false:
            return 0
        key = int(node)
        if key not in known:
            level, low, high = self.bdd.succ(node)
            if node.negated:  # the library hands out the successors of the plain node
                low, high = ~low, ~high
            known[key] = sum(self._below(child, known) << (self._depth(child) - level - 1) for child in (low, high))
        return known[key]


def allowed(program: Program) -> list[Formula]:
    """What the constraints demand, nothing lost, as formulas."""

    def is_(index: int, *values: int) -> Formula:
        return formula(program, Is(index, frozenset(values)))

    def not_(expression: Expression | None) -> Formula:
        return True if expression is None else formula(program, expression, wanted=False)

    found = [not_(expression) for expression, _file, _line in program.impossible]
    for group in program.exclusive:
        found += [either((is_(a, 0), is_(b, 0))) for k, a in enumerate(group) for b in group[:k]]
    for index, v in enumerate(program.variables):
        if v.kind == "switch":
            found.append(either((is_(index, 0), not_(v.releases_when))))
        elif v.kind == "memory":
            found.append(either((is_(index, 0), not_(v.first_when if v.stepping else v.clear_when))))
            if not v.stepping and v.set_when is not None:
                cleared = False if v.clear_when is None else formula(program, v.clear_when)
                found.append(either((is_(index, 1), not_(v.set_when), cleared)))
        elif v.timer_kind == "on_delay" and v.condition is not None:
            found.append(either((is_(index, 0), formula(program, v.condition))))
        elif v.timer_kind == "off_delay" and v.at_most_ms is None:
            found.append(either((is_(index, 1), not_(v.condition))))
    return found


def count_reachable(program: Program) -> int:
    """States that satisfy all constraints, nothing lost. Exact."""
    sizes = {i: len(v.values) for i, v in enumerate(program.variables)}
    try:
        return Splitter(sizes, most_splits=MOST_SPLITS).count(allowed(program), sizes)
    except TooMany:
        return count_by_diagram(program)


def count_by_diagram(program: Program) -> int:
    """The same by a decision diagram, for programs whose constraints are much entangled."""
    free = 1
    tied: list[int] = []
    for group in groups(program):
        if len(group) == 1 and not _constrained(program, group[0]):
            free *= len(program.variables[group[0]].values)
        else:
            tied += group
    return free * _Diagram(program, tied).count() if tied else free


def _constrained(program: Program, index: int) -> bool:
    variable = program.variables[index]
    if variable.kind in ("memory", "timer") or variable.releases_when is not None:
        return True
    # An impossible line without any variable is everybody's.
    read = [variables_of(program, e) for e, _file, _line in program.impossible]
    return any(index in r or not r for r in read)
