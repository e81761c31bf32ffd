"""Expressions evaluated: two-valued on true values, three-valued where signals are lost.

Three-valued logic is Kleene's strong one (Introduction to Metamathematics, 1952, section 64; from memory): True,
False, and None for unknown. Conditions are compiled once to closures, since proofs ask for them a million times.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from rigbook.switching.program import (
    All,
    Any_,
    ConditionRef,
    Constant,
    Expression,
    Is,
    Not,
    Program,
    Rises,
    Tap,
)

State = tuple[int, ...]
Lost = frozenset[int]
TwoValued = Callable[[State], bool]
ThreeValued = Callable[[State, Lost], bool | None]
NONE_LOST: Lost = frozenset()


def kleene_not(a: bool | None) -> bool | None:
    """Unknown stays unknown."""
    return None if a is None else not a


def kleene_and(parts: Iterable[bool | None]) -> bool | None:
    """False if any is, else unknown if any is, else True."""
    unknown = False
    for part in parts:
        if part is False:
            return False
        unknown = unknown or part is None
    return None if unknown else True


def kleene_or(parts: Iterable[bool | None]) -> bool | None:
    """True if any is, else unknown if any is, else False."""
    unknown = False
    for part in parts:
        if part is True:
            return True
        unknown = unknown or part is None
    return None if unknown else False


@dataclass
class Closures:
    """Expressions of one program as closures; events are absent (False) in a state."""

    program: Program

    def __post_init__(self) -> None:
        self._two: dict[int, TwoValued] = {}
        self._three: dict[int, ThreeValued] = {}

    def two(self, expression: Expression) -> TwoValued:
        """The expression on true values."""
        match expression:
            case Constant(value):
                return lambda s: value
            case Is(variable, values):
                if len(values) == 1:
                    (only,) = values
                    return lambda s: s[variable] == only
                return lambda s: s[variable] in values
            case Not(of):
                inner = self.two(of)
                return lambda s: not inner(s)
            case All(of):
                every = tuple(self.two(part) for part in of)
                if len(every) == 2:
                    first, second = every
                    return lambda s: first(s) and second(s)
                return lambda s: all(part(s) for part in every)
            case Any_(of):
                some = tuple(self.two(part) for part in of)
                if len(some) == 2:
                    one, other = some
                    return lambda s: one(s) or other(s)
                return lambda s: any(part(s) for part in some)
            case ConditionRef(condition):
                if condition not in self._two:
                    self._two[condition] = self.two(self.program.conditions[condition][1])
                return self._two[condition]
            case Tap() | Rises():
                return lambda s: False

    def three(self, expression: Expression) -> ThreeValued:
        """The expression with lost signals: True, False or None."""
        match expression:
            case Constant(value):
                return lambda s, lost: value
            case Is(variable, values):
                if not self.program.variables[variable].losable:
                    return lambda s, lost: s[variable] in values
                return lambda s, lost: None if variable in lost else s[variable] in values
            case Not(of):
                inner = self.three(of)
                return lambda s, lost: kleene_not(inner(s, lost))
            case All(of):
                every = tuple(self.three(part) for part in of)
                return lambda s, lost: kleene_and(part(s, lost) for part in every)
            case Any_(of):
                some = tuple(self.three(part) for part in of)
                return lambda s, lost: kleene_or(part(s, lost) for part in some)
            case ConditionRef(condition):
                if condition not in self._three:
                    self._three[condition] = self.three(self.program.conditions[condition][1])
                return self._three[condition]
            case Tap() | Rises():
                return lambda s, lost: False

    def known(self, expression: Expression) -> Callable[[State, Lost], bool]:
        """Whether the expression is known to hold."""
        two, three = self.two(expression), self.three(expression)
        return lambda s, lost: three(s, lost) is True if lost else two(s)


def evaluate_expression(program: Program, expression: Expression, state: State, lost: Lost = NONE_LOST) -> bool | None:
    """One expression in one state, three-valued. For many states use `Closures`."""
    return Closures(program).three(expression)(state, lost)
