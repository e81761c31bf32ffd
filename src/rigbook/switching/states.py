"""Rest state, reachable states and saved states."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from rigbook.switching.language import nearest
from rigbook.switching.logic import NONE_LOST, Closures, Lost, State
from rigbook.switching.program import Expression, Program, Variable


@dataclass(frozen=True, slots=True)
class Violation:
    """A constraint of the reachable states that a state breaks, with the place that says so."""

    kind: str
    says: str
    file: str
    line: int
    variable: int | None = None


@dataclass(frozen=True, slots=True)
class StateTrouble:
    """Why a saved state cannot be: what is wrong, at which name, and the nearest one where a name is unknown."""

    says: str
    name: str = ""
    nearest: str = ""


class Constraints:
    """The constraints of the reachable states, compiled for many questions."""

    def __init__(self, program: Program) -> None:
        self.program = program
        closures = Closures(program)
        self.impossible = tuple((closures.two(e), file, line) for e, file, line in program.impossible)
        self._known = {
            e: closures.known(e)
            for v in program.variables
            for e in (v.releases_when, v.set_when, v.clear_when, v.first_when, v.condition)
            if e is not None
        }

    def known(self, expression: Expression | None, state: State, lost: Lost) -> bool:
        """Whether an expression of a variable is known to hold; events never do in a state."""
        return expression is not None and self._known[expression](state, lost)

    def holds(self, state: State, lost: Lost = NONE_LOST) -> bool:
        """Whether the state is among the reachable ones (the set of switching.md: never smaller than the truth)."""
        return not self.violations(state, lost, first_only=True)

    def violations(self, state: State, lost: Lost = NONE_LOST, *, first_only: bool = False) -> tuple[Violation, ...]:
        """Every constraint that the state breaks."""
        found: list[Violation] = []
        for holds, file, line in self.impossible:
            if holds(state):
                found.append(
                    Violation("impossible", f"line {line} calls this combination of signals impossible", file, line)
                )
        for group in self.program.exclusive:
            on = [m for m in group if state[m]]
            if len(on) > 1:
                names = " and ".join(self.program.variables[m].name for m in on)
                second = self.program.variables[on[1]]
                says = f"{names} are exclusive: at most one is on"
                found.append(Violation("exclusive", says, second.file, second.line, on[1]))
        if first_only and found:
            return tuple(found)
        for index, variable in enumerate(self.program.variables):
            broken = self._own(index, variable, state, lost)
            if broken:
                found.append(Violation(broken[0], broken[1], variable.file, variable.line, index))
                if first_only:
                    break
        return tuple(found)

    def _own(self, index: int, v: Variable, state: State, lost: Lost) -> tuple[str, str] | None:
        """The constraint of one variable that the state breaks."""
        value = state[index]
        if v.kind == "switch":
            if value and self.known(v.releases_when, state, lost):
                return "releases", f"{v.name} is on while its releases_when holds"
        elif v.stepping:
            if value and self.known(v.first_when, state, lost):
                return "first", f"{v.name} is not at its first step while its first_when holds"
        elif v.kind == "memory":
            clears = self.known(v.clear_when, state, lost)
            if value and clears:
                return "cleared", f"{v.name} is on while its clear_when holds"
            if not value and not clears and self.known(v.set_when, state, lost):
                return "set", f"{v.name} is off while its set_when holds and its clear_when does not"
        elif v.timer_kind == "off_delay":
            if not value and v.at_most_ms is None and self.known(v.condition, state, lost):
                return "off_delay", f"{v.name} is off while its condition holds"
        elif v.timer_kind == "on_delay" and value and not self.known(v.condition, state, lost):
            return "on_delay", f"{v.name} is on while its condition does not hold"
        return None


def violations(program: Program, state: State, lost: Lost = NONE_LOST) -> tuple[Violation, ...]:
    """Every constraint that a state breaks; for many states make one `Constraints`."""
    return Constraints(program).violations(state, lost)


def is_reachable_member(program: Program, state: State, lost: Lost = NONE_LOST) -> bool:
    """Whether a state is among the reachable ones; for many states make one `Constraints`."""
    return Constraints(program).holds(state, lost)


def fixpoint(program: Program, start: Sequence[int], pinned: frozenset[int] = frozenset()) -> State:
    """Releases, memories and timers repeated until nothing changes, at time zero: no event happens, nothing turns true,
    no delay ends. `pinned` variables stay as given."""
    rules = Constraints(program)
    values = list(start)
    for _ in range(repetition_limit(program)):
        before = tuple(values)
        for index, variable in enumerate(program.variables):
            free = variable.kind == "switch" and index not in pinned
            if free and values[index] and rules.known(variable.releases_when, tuple(values), NONE_LOST):
                values[index] = 0
        for index in program.settle_order:
            if index not in pinned:
                values[index] = _at_rest(rules, index, tuple(values))
        if tuple(values) == before:
            break
    return tuple(values)


def _at_rest(rules: Constraints, index: int, state: State) -> int:
    v = rules.program.variables[index]
    if v.stepping:
        return 0 if rules.known(v.first_when, state, NONE_LOST) else state[index]
    if v.kind == "memory":
        if rules.known(v.clear_when, state, NONE_LOST):
            return 0
        return 1 if rules.known(v.set_when, state, NONE_LOST) else state[index]
    if v.timer_kind == "off_delay" and rules.known(v.condition, state, NONE_LOST):
        return 1
    return state[index]


def repetition_limit(program: Program) -> int:
    """More rounds than any repetition needs that ends (docs/switching-decisions.md)."""
    return 3 * (len(program.variables) + 2)


def rest_state(program: Program) -> State:
    """Everything at rest, memories as at start, timers false, then the fixpoint."""
    return fixpoint(program, [v.rest for v in program.variables])


def saved_state(program: Program, values: Mapping[str, str]) -> State | tuple[StateTrouble, ...]:
    """The state that sets some values by name; the rest as switching.md says. Troubles where it cannot be."""
    index = {v.name: i for i, v in enumerate(program.variables)}
    start = [v.rest for v in program.variables]
    troubles: list[StateTrouble] = []
    pinned: set[int] = set()
    for name, text in values.items():
        at = index.get(name)
        if at is None:
            conditions = [c for c, _ in program.conditions]
            says = f"nothing is called {name}"
            if name in conditions:
                says = f"{name} is a condition: it follows from the others and cannot be set"
            troubles.append(StateTrouble(says, name, nearest(name, index)))
            continue
        value = value_index(program.variables[at], text)
        if value is None:
            shown = ", ".join(program.variables[at].values)
            near = nearest(text, program.variables[at].values)
            troubles.append(StateTrouble(f"{text} is no value of {name}; it has {shown}", name, near))
            continue
        start[at] = value
        pinned.add(at)
    if troubles:
        return tuple(troubles)
    state = fixpoint(program, start, frozenset(pinned))
    broken = violations(program, state)
    if broken:
        return tuple(
            StateTrouble(b.says, program.variables[b.variable].name if b.variable is not None else "") for b in broken
        )
    return state


def value_index(variable: Variable, text: str) -> int | None:
    """The index of a value by its name; `true` and `false` stand for yes and no. A tapped switch: yes is pressed."""
    if text in variable.values:
        return variable.values.index(text)
    if variable.values == ("no", "yes") and text in ("true", "false"):
        return int(text == "true")
    if variable.switch_kind == "momentary" and text in ("yes", "true"):
        return 1
    return None
