"""A lower bound on inspection walks: what every walk has to do to each switch and signal by itself.

A move changes one switch or signal of its own accord; what else it changes are switches that go back to their first
position. So the moves that bring a switch (signal) to a value other than its first are moves of that switch (signal)
alone, and moves of different ones are different moves. Three things are counted.

- *Visits*: for each goal a solver gives the values that the switch can have while the goal holds; a walk visits one of
  them. The fewest values that meet all of these sets (a smallest hitting set, the start given) are moves.
- *Departures*: functions that one signal alone can stop, and only from one of its values, each need a move away from
  that value while they are on; functions that no state shows together need moves of their own. Between two moves away
  from a value lies one back to it.
- *Taps* that a stepping memory needs, and one *wait* where an on-delay must have run that no hold could outlast.
"""

from __future__ import annotations

from collections.abc import Mapping
from itertools import combinations

from rigbook.proofs.evidence import broken_by_rest
from rigbook.proofs.symbolic import Solver
from rigbook.proofs.walk_goals import Goal
from rigbook.switching.plain_words import depends_on
from rigbook.switching.program import Program, Tap


def lower_bound(solver: Solver, goals: Mapping[Goal, int], length: int) -> int:
    """No walk that shows all goals is shorter. `length`: of a walk already known, which bounds what holds could wait."""
    program = solver.program
    if broken_by_rest(program):
        return 0  # a walk would begin outside of what the solver speaks of
    needs = needed_values(solver, goals)
    start = program.rest
    total = 0
    leaving = departures(solver, goals)
    for index, variable in enumerate(program.variables):
        if variable.kind in ("switch", "signal"):
            total += max(fewest_visits(needs[index], start[index]), fewest_moves(leaving.get(index, {}), start[index]))
    total += sum(_taps(program, index, needs[index]) for index in range(len(program.variables)))
    return total + int(any(_waits(program, index, needs[index], length) for index in range(len(program.variables))))


def needed_values(solver: Solver, goals: Mapping[Goal, int]) -> list[set[frozenset[int]]]:
    """For each variable, the sets of values of which a walk has to visit one. Sets that allow every value are left
    out."""
    program = solver.program
    needs: list[set[frozenset[int]]] = [set() for _ in program.variables]
    for literal in dict.fromkeys(goals.values()):
        allowed = solver.strike(
            {
                (index, value): held
                for index, literals in enumerate(solver.encoding.values)
                for value, held in enumerate(literals)
            },
            under=(literal,),
        )
        for index, variable in enumerate(program.variables):
            values = frozenset(v for v in range(len(variable.values)) if (index, v) in allowed)
            if 0 < len(values) < len(variable.values):
                needs[index].add(values)
    return needs


def fewest_visits(needs: set[frozenset[int]], start: int) -> int:
    """The fewest values besides the first that meet every set, where the walk starts at `start`. Reaching the first
    value (index 0) may come for free, by a release; so it does not count, nor does the start."""
    left = [values for values in needs if start not in values and 0 not in values]
    values = sorted(frozenset().union(*left)) if left else []
    for many in range(len(values) + 1):
        for chosen in combinations(values, many):
            if all(needed.intersection(chosen) for needed in left):
                return many
    raise AssertionError("the whole of the values meets every set")


def departures(solver: Solver, goals: Mapping[Goal, int]) -> dict[int, dict[int, int]]:
    """For each signal and value, how many moves away from that value no walk is spared."""
    program = solver.program
    waiting: dict[tuple[int, int], list[int]] = {}
    for goal, literal in goals.items():
        if goal.kind != "stopped":
            continue
        about = depends_on(program, program.functions[goal.function].when)
        signals = [i for i in about if program.variables[i].kind == "signal"]
        if len(signals) != 1 or any(program.variables[i].kind == "timer" for i in about):
            continue
        (signal,) = signals
        values = solver.strike(dict(enumerate(solver.encoding.values[signal])), under=(literal,))
        if len(values) == 1:
            waiting.setdefault((signal, values.pop()), []).append(literal)
    found: dict[int, dict[int, int]] = {}
    for (signal, value), literals in waiting.items():
        apart = {(a, b) for a, b in combinations(literals, 2) if not solver.solve((a, b))}
        found.setdefault(signal, {})[value] = _largest_apart(literals, apart)
    return found


def _largest_apart(literals: list[int], apart: set[tuple[int, int]]) -> int:
    """How many of the literals exclude each other, every two of them (the largest clique, by trying)."""

    def grown(chosen: int, left: list[int]) -> int:
        most = chosen
        for number, one in enumerate(left):
            if chosen + len(left) - number <= most:
                break
            most = max(most, grown(chosen + 1, [other for other in left[number + 1 :] if (one, other) in apart]))
        return most

    return grown(0, literals)


def fewest_moves(leaving: Mapping[int, int], start: int) -> int:
    """The fewest moves of a signal that leave each value so many times: each leaving but the first from the start
    needs a coming back, and comings back leave other values."""
    whole = sum(leaving.values())
    return max((away + max(away - (value == start), whole - away) for value, away in leaving.items()), default=0)


def _taps(program: Program, index: int, needs: set[frozenset[int]]) -> int:
    """Taps that a stepping memory needs which steps on by a tap alone, or by a tap among other things."""
    variable = program.variables[index]
    if not variable.stepping or not isinstance(variable.next_on, Tap) or program.rest[index]:
        return 0
    return max((min(values) for values in needs), default=0)


def _waits(program: Program, index: int, needs: set[frozenset[int]], length: int) -> bool:
    """Whether an on-delay must have run that the waits of `length` holds and settling wires would not have covered."""
    variable = program.variables[index]
    if variable.timer_kind != "on_delay" or frozenset((1,)) not in needs or program.rest[index] == 1:
        return False
    by_the_way = max((v.tap_under_ms or 0 for v in program.variables), default=0)
    by_the_way = max(by_the_way, max((v.settles_ms for v in program.variables), default=0))
    return variable.for_ms > length * by_the_way
