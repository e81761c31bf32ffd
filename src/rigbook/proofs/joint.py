"""Everything that some groups of ways may be doing together, over the reachable states that meet a condition.

A **group** is a list of literals that exclude each other (the ways of equal devices, say). A **joint** gives each group
the index of its literal that holds, or -1 where none does. Whoever knows all joints knows every least, greatest and
in-between of whatever the joints decide, however it is worked out of them, and over all states at once.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from rigbook.proofs.evidence import State
from rigbook.proofs.symbolic import Solver

Joint = tuple[int, ...]
NONE = -1


def joints(
    solver: Solver, groups: Sequence[Sequence[int]], *, base: tuple[int, ...] = (), most: int
) -> list[Joint] | None:
    """All joints that some reachable state takes in which the literals of `base` hold, in ascending order.

    None where there are more than `most`: then nothing is known. An empty list: no state meets the condition.
    """
    gates = solver.gates
    asked = gates.new()  # the clauses that rule out what was found count under this question alone
    found: set[Joint] = set()
    while solver.solve((asked, *base)):
        joint = _joint(solver, groups)
        if len(found) >= most:
            return None
        found.add(joint)
        clause = [-asked]
        for place, group in zip(joint, groups, strict=True):
            clause += list(group) if place == NONE else [-group[place]]
        gates.clause(*dict.fromkeys(clause))
    return sorted(found)


def goal_of(solver: Solver, groups: Sequence[Sequence[int]], wanted: Sequence[Joint], *, base: tuple[int, ...]) -> int:
    """A literal that holds in the states that take one of the joints, and in no others."""
    gates = solver.gates
    return gates.any_of(
        [
            gates.all_of(
                [
                    *base,
                    *(
                        literal
                        for place, group in zip(joint, groups, strict=True)
                        for literal in ((group[place],) if place != NONE else tuple(-each for each in group))
                    ),
                ]
            )
            for joint in wanted
        ]
    )


def smallest_state(
    solver: Solver, groups: Sequence[Sequence[int]], wanted: Sequence[Joint], *, base: tuple[int, ...]
) -> State:
    """The smallest state by the witness order that takes one of the joints, which some reachable state takes."""
    state = solver.smallest(goal_of(solver, groups, wanted, base=base))
    assert state is not None
    return state


Below = Sequence[Sequence[frozenset[int]]]
"""For each group and each option the options that are no greater, itself among them; the last entry is for `NONE`."""


def least_joints(
    solver: Solver, groups: Sequence[Sequence[int]], below: Below, *, base: tuple[int, ...] = (), most: int
) -> list[Joint] | None:
    """Joints that some reachable state takes and below each of which no other one lies, in ascending order.

    Whatever never falls when an option gives way to a greater one has its least value at one of these, so that they stand
    for all joints where those are too many to list. None where there are more than `most` of these too.
    """
    gates = solver.gates
    asked = gates.new()
    found: list[Joint] = []
    while solver.solve((asked, *base)):
        joint = _joint(solver, groups)
        while solver.solve((_strictly_below(solver, groups, below, joint), *base)):
            joint = _joint(solver, groups)
        if len(found) >= most:
            return None
        found.append(joint)
        # what comes next is not above this one: in some group its option is not
        gates.clause(-asked, *_options(solver, groups, joint, lambda g, o, here: here not in below[g][o]))
    return sorted(found)


def _joint(solver: Solver, groups: Sequence[Sequence[int]]) -> Joint:
    return tuple(next((n for n, literal in enumerate(group) if solver.holds(literal)), NONE) for group in groups)


def _strictly_below(solver: Solver, groups: Sequence[Sequence[int]], below: Below, joint: Joint) -> int:
    """A literal under which every group has an option that is no greater, and one group a smaller one."""
    gates = solver.gates
    lower = gates.new()
    for number, here in enumerate(joint):
        allowed = _options(solver, [groups[number]], (here,), lambda _, o, at: o in below[number][at])  # noqa: B023
        gates.clause(-lower, *allowed)
    smaller = _options(solver, groups, joint, lambda g, o, here: o in below[g][here] and here not in below[g][o])
    gates.clause(-lower, *smaller)
    return lower


def _options(
    solver: Solver, groups: Sequence[Sequence[int]], joint: Joint, wanted: Callable[[int, int, int], bool]
) -> list[int]:
    """Literals of the options of all groups that are wanted, given what the joint has there."""
    found: dict[int, None] = {}
    for number, (group, here) in enumerate(zip(groups, joint, strict=True)):
        found.update((literal, None) for option, literal in enumerate(group) if wanted(number, option, here))
        if wanted(number, NONE, here):
            found[solver.gates.all_of([-literal for literal in group])] = None
    return list(found)
