"""Who reads whom: which variables an expression, a function, a memory or a timer looks at; how many states there are."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import combinations
from math import prod

from rigbook.switching.program import (
    All,
    Any_,
    ConditionRef,
    Is,
    Not,
    Program,
    RequirementExpression,
    Rises,
    Tap,
    Variable,
)


def state_count(program: Program) -> int:
    """All states, reachable or not, without lost signals."""
    return prod(len(v.values) for v in program.variables)


def losable(program: Program) -> tuple[int, ...]:
    """Indexes of the signals that can be lost."""
    return tuple(i for i, v in enumerate(program.variables) if v.kind == "signal" and v.losable)


def lost_sets(program: Program) -> Iterator[tuple[int, ...]]:
    """All sets of lost signals, the smaller first, then in file order."""
    names = losable(program)
    for size in range(len(names) + 1):
        yield from combinations(names, size)


def variables_of(program: Program, expression: RequirementExpression | None) -> frozenset[int]:
    """Indexes of the variables that the expression reads, through named conditions, events included.

    Predicates of requirements read no variable here.
    """
    if isinstance(expression, Is | Tap):
        return frozenset((expression.variable,))
    if isinstance(expression, Not | Rises):
        return variables_of(program, expression.of)
    if isinstance(expression, All | Any_):
        return frozenset().union(*(variables_of(program, part) for part in expression.of))
    if isinstance(expression, ConditionRef):
        return variables_of(program, program.conditions[expression.condition][1])
    return frozenset()


def inputs_of(program: Program, variable: Variable) -> frozenset[int]:
    """Indexes of the variables that a memory or a timer reads."""
    expressions = (variable.set_when, variable.clear_when, variable.next_on, variable.first_when, variable.condition)
    return frozenset().union(*(variables_of(program, e) for e in expressions))


def reach_devices(program: Program) -> frozenset[int]:
    """Variables that some device can feel, directly or through memories, timers and releases of switches."""
    reached: set[int] = set()
    for device in program.devices:
        for function in (*(e.function for e in device.entries), *(d.function for d in device.dims)):
            reached |= variables_of(program, program.functions[function].when)
        reached |= variables_of(program, device.commanded_when)
        for pose in device.poses:
            reached |= variables_of(program, pose.when)
    for feed in program.feeds:
        reached |= variables_of(program, feed.live_when)
    for _step, when in program.shedding:
        reached |= variables_of(program, when)
    pending = list(reached)
    while pending:
        variable = program.variables[pending.pop()]
        for more in inputs_of(program, variable) | variables_of(program, variable.releases_when):
            if more not in reached:
                reached.add(more)
                pending.append(more)
    return frozenset(reached)


def remembered(program: Program) -> frozenset[int]:
    """Variables that a memory or timer reads which reaches a device."""
    reaching = reach_devices(program)
    readers: Iterable[Variable] = (v for i, v in enumerate(program.variables) if i in reaching)
    return frozenset().union(*(inputs_of(program, v) for v in readers if v.kind in ("memory", "timer")))


def releasing(program: Program) -> frozenset[int]:
    """Variables that let a switch go: read by its `releases_when`, or sharing an `exclusive` group with it."""
    result: set[int] = set()
    for index, variable in enumerate(program.variables):
        result |= variables_of(program, variable.releases_when) - {index}
    for group in program.exclusive:
        if len(group) > 1:
            result |= set(group)
    return frozenset(result)
