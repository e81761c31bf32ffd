"""Everything that some groups of ways may be doing together, over the reachable states that meet a condition.

A **group** is a list of literals that exclude each other (the ways of equal devices, say). A **joint** gives each group
the index of its literal that holds, or -1 where none does. Whoever knows all joints knows every least, greatest and
in-between of whatever the joints decide, however it is worked out of them, and over all states at once.
"""

from __future__ import annotations

from collections.abc import Sequence

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
        joint = tuple(
            next((place for place, literal in enumerate(group) if solver.holds(literal)), NONE) for group in groups
        )
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
