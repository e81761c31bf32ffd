"""The heart of stepping: the values at an instant, and the repetition that follows every event.

An instant runs in rounds. A round does the releases in file order, then memories and timers in order of dependency;
rounds repeat until nothing changes. Then the instant's events are over (a tap is seen once, something turned true
once) and rounds go on without them, until nothing changes and nothing more has turned true.
"""

from __future__ import annotations

import copy
from collections.abc import Iterator
from dataclasses import dataclass, field

from rigbook.switching.logic import kleene_and, kleene_not, kleene_or
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
    Variable,
)
from rigbook.switching.states import repetition_limit

RUN_OUT, AT_MOST = 0, 1
"""Two ends of an off-delay: after its condition, and at most."""
Due = tuple[int, int, int]
"""What falls due: class (0 switch held, 1 signal settled or measured, 2 timer), place in order, which end."""


class StepError(Exception):
    """An event that cannot be: refused, or against what the thing is. File and line name the rule, where one does."""

    def __init__(self, says: str, file: str = "", line: int = 0) -> None:
        super().__init__(says)
        self.says = says
        self.file = file
        self.line = line


@dataclass
class Settling:
    """Values, lost signals, running times and what was true before; owned by one Stepper."""

    program: Program
    values: list[int]
    lost: set[int] = field(default_factory=set)
    now_ms: int = 0
    due: dict[Due, int] = field(default_factory=dict)
    blocked: set[int] = field(default_factory=set)
    pause_until: dict[int, int] = field(default_factory=dict)
    last: dict[int, bool] = field(default_factory=dict)
    before: dict[Expression, bool] = field(default_factory=dict)
    taps: set[int] = field(default_factory=set)

    def __post_init__(self) -> None:
        self.place = {v: n for n, v in enumerate(self.program.settle_order)}
        self.rising = tuple(dict.fromkeys(e for v in self.program.variables for e in _rises_of(v)))
        self.releasing = tuple(
            i for i, v in enumerate(self.program.variables) if v.kind == "switch" and v.releases_when is not None
        )

    def copied(self) -> Settling:
        """One that goes on from here on its own; what follows from the program alone is shared."""
        other = copy.copy(self)
        other.values, other.lost, other.due = list(self.values), set(self.lost), dict(self.due)
        other.blocked, other.pause_until = set(self.blocked), dict(self.pause_until)
        other.last, other.before, other.taps = dict(self.last), dict(self.before), set()
        return other

    # -- values of expressions at this instant, events among them

    def value(self, expression: Expression) -> bool | None:
        """Three-valued, with the instant's events."""
        match expression:
            case Constant(value):
                return value
            case Is(variable, values):
                return None if variable in self.lost else self.values[variable] in values
            case Not(of):
                return kleene_not(self.value(of))
            case All(of):
                return kleene_and(self.value(part) for part in of)
            case Any_(of):
                return kleene_or(self.value(part) for part in of)
            case ConditionRef(condition):
                return self.value(self.program.conditions[condition][1])
            case Tap(variable):
                return variable in self.taps
            case Rises(of):
                return not self.before[of] and self.known(of)

    def known(self, expression: Expression | None) -> bool:
        """Whether it is known to hold."""
        return expression is not None and self.value(expression) is True

    # -- the repetition

    def start(self) -> None:
        """Take the values as they are as what was before: nothing has turned true, delays begin now."""
        for expression in self.rising:
            self.before[expression] = self.known(expression)
        for index in self.program.settle_order:
            v = self.program.variables[index]
            edge = v.next_on if v.stepping else v.condition if v.timer_kind == "pulse" else None
            if edge is not None:
                self.last[index] = self.known(edge)
            if v.timer_kind and self.values[index]:
                self._resume(index, v)
            if v.timer_kind == "off_delay" and not self.values[index] and self.known(v.condition):
                self.blocked.add(index) if v.at_most_ms is not None else None
        self.settle()

    def _resume(self, index: int, v: Variable) -> None:
        """A timer found running at the start runs as if it had begun now."""
        if v.timer_kind == "pulse":
            self._set_due(index, RUN_OUT, v.for_ms)
        elif v.timer_kind == "off_delay" and v.at_most_ms is not None:
            self._set_due(index, AT_MOST, v.at_most_ms)

    def settle(self, taps: frozenset[int] = frozenset()) -> None:
        """Repeat until nothing changes; StepError where that does not end."""
        self.taps = set(taps)
        limit = repetition_limit(self.program)
        for _ in range(limit):
            rounds = 0
            while self._round():
                rounds += 1
                if rounds > limit:
                    raise self._endless()
            turned = bool(self.taps) or any(not self.before[e] and self.known(e) for e in self.rising)
            for expression in self.rising:
                self.before[expression] = self.known(expression)
            self.taps = set()
            if not turned:
                return
        raise self._endless()

    def _endless(self) -> StepError:
        self.taps = set()
        return StepError("the repetition of releases, memories and timers does not end")

    def _round(self) -> bool:
        changed = False
        for index in self.releasing:
            if self.values[index] and self.known(self.program.variables[index].releases_when):
                self.values[index] = 0
                changed = True
        for index in self.program.settle_order:
            before = self.values[index]
            v = self.program.variables[index]
            if v.kind == "memory":
                self._memory(index, v)
            else:
                self._timer(index, v)
            changed = changed or self.values[index] != before
        return changed

    def _edge(self, index: int, expression: Expression | None) -> bool:
        """Whether an expression has turned true since it was last asked."""
        now = self.known(expression)
        turned = now and not self.last[index]
        self.last[index] = now
        return turned

    def _memory(self, index: int, v: Variable) -> None:
        if v.stepping:
            turned = self._edge(index, v.next_on)
            if self.known(v.first_when):
                self.values[index] = 0
            elif turned:
                self.values[index] = (self.values[index] + 1) % len(v.values)
        elif self.known(v.clear_when):
            self.values[index] = 0
        elif self.known(v.set_when):
            self.values[index] = 1

    # -- timers

    def _set_due(self, index: int, end: int, after_ms: int) -> None:
        self.due[(2, self.place[index], end)] = self.now_ms + after_ms

    def _running(self, index: int, end: int = RUN_OUT) -> bool:
        return (2, self.place[index], end) in self.due

    def _cancel(self, index: int, end: int = RUN_OUT) -> None:
        self.due.pop((2, self.place[index], end), None)

    def _timer(self, index: int, v: Variable) -> None:
        if v.timer_kind == "pulse":
            turned = self._edge(index, v.condition)
            if turned and not self.values[index] and self.now_ms >= self.pause_until.get(index, 0):
                self.values[index] = 1
                self._set_due(index, RUN_OUT, v.for_ms)
        elif v.timer_kind == "on_delay":
            if not self.known(v.condition):
                self.values[index] = 0
                self._cancel(index)
            elif not self.values[index] and not self._running(index):
                self._set_due(index, RUN_OUT, v.for_ms)
        elif self.known(v.condition):
            self._cancel(index)
            if not self.values[index] and index not in self.blocked:
                self.values[index] = 1
                if v.at_most_ms is not None:
                    self._set_due(index, AT_MOST, v.at_most_ms)
        else:
            self.blocked.discard(index)
            if self.values[index] and not self._running(index):
                self._set_due(index, RUN_OUT, v.for_ms)

    def timer_due(self, place: int, end: int) -> None:
        """A timer's time has come."""
        index = self.program.settle_order[place]
        v = self.program.variables[index]
        if v.timer_kind == "on_delay":
            self.values[index] = 1
            return
        self.values[index] = 0
        if v.timer_kind == "pulse":
            self.pause_until[index] = self.now_ms + v.again_after_ms
            return
        self._cancel(index, RUN_OUT)
        self._cancel(index, AT_MOST)
        if end == AT_MOST:
            self.blocked.add(index)


def _rises_of(variable: Variable) -> Iterator[Expression]:
    for expression in (variable.set_when, variable.clear_when, variable.next_on, variable.condition):
        if expression is not None:
            yield from _rises_in(expression)


def _rises_in(expression: Expression) -> Iterator[Expression]:
    match expression:
        case Rises(of):
            yield of
        case Not(of):
            yield from _rises_in(of)
        case All(of) | Any_(of):
            for part in of:
                yield from _rises_in(part)
