"""The smallest inspection walk that we find: the shortest list of moves that shows every goal at least once.

A walk starts at rest. It grows greedily by the move, then the two moves, that show most anew; where none does, by the
fewest moves to a goal that is still open, sought through the stepping rules; where even that search would be long,
toward the nearest state that a satisfiability solver gives. Then moves are left out, moved, and joined, as long as
everything is still shown. Beside it stands a lower bound: no walk at all can be shorter.

Effort is counted in moves made, never in seconds: equal programs give equal walks.
"""

from __future__ import annotations

from dataclasses import dataclass

from rigbook.proofs.presses import Event
from rigbook.proofs.walk_goals import Goal, Viewer, goals_of, literals_of
from rigbook.proofs.walk_moves import Moves
from rigbook.switching.program import Program


@dataclass(frozen=True, slots=True)
class WalkEffort:
    """How far the search goes. starts: greedy walks begun with another order among equals, the two best of which are
    improved; small programs get more of them, as long as all take less than a fifth of `moves`. moves: most moves made
    while improving."""

    starts: int = 3
    moves: int = 100_000


@dataclass(frozen=True, slots=True)
class WalkStep:
    """One move. settles_ms: what a wire signal takes until it counts. shows: goals shown here for the first time."""

    event: Event
    settles_ms: int
    shows: tuple[Goal, ...]


@dataclass(frozen=True, slots=True)
class Walk:
    """A walk and what is known of it.

    at_rest: goals that the vehicle shows before anything is done. shown: how many goals in all are shown. open: goals
    that some state would show, but to which no moves were found. beyond: goals that no reachable state shows (the
    findings speak of these). bound: no walk that shows the same can be shorter. moves_made: the effort it took.
    """

    steps: tuple[WalkStep, ...]
    at_rest: tuple[Goal, ...]
    shown: int
    open: tuple[Goal, ...]
    beyond: tuple[Goal, ...]
    bound: int
    moves_made: int

    @property
    def gap(self) -> int:
        """How many moves the walk may be longer than the shortest there is."""
        return len(self.steps) - self.bound


def inspection_walk(program: Program, effort: WalkEffort = WalkEffort()) -> Walk:
    """The shortest walk found, with its bound. Needs the solver (python-sat)."""
    from rigbook.proofs.symbolic import Solver
    from rigbook.proofs.walk_bound import lower_bound
    from rigbook.proofs.walk_search import Search

    goals = goals_of(program)
    solver = Solver(program)
    try:
        literals = literals_of(solver.encoding, goals)
        reachable = solver.strike(literals)
        within = tuple(goal for goal in goals if goal in reachable)
        moves = Moves(program, Viewer(program, within))
        search = Search(moves, {moves.viewer.bit[g]: literals[g] for g in within}, solver)
        events = search.best(effort)
        walked = _walked(moves, events)
        shown = {goal for goal in within if moves.viewer.bit[goal] & walked[1]}
        bound = lower_bound(solver, {g: literals[g] for g in within if g in shown}, len(events))
    finally:
        solver.close()
    steps, _mask, at_rest = walked
    return Walk(
        steps=steps,
        at_rest=at_rest,
        shown=len(shown),
        open=tuple(goal for goal in within if goal not in shown),
        beyond=tuple(goal for goal in goals if goal not in reachable),
        bound=bound,
        moves_made=moves.made,
    )


def _walked(moves: Moves, events: tuple[Event, ...]) -> tuple[tuple[WalkStep, ...], int, tuple[Goal, ...]]:
    """The events as steps with what each shows anew, all that was shown, and what rest shows."""
    place = moves.start()
    seen = place.mask
    at_rest = _named(moves, seen)
    steps = []
    for event in events:
        following = moves.make(place, event)
        assert following is not None, event
        timed, place = moves.timed(place, event), following
        steps.append(WalkStep(timed, moves.settles_ms(event), _named(moves, place.mask & ~seen)))
        seen |= place.mask
    return tuple(steps), seen, at_rest


def _named(moves: Moves, mask: int) -> tuple[Goal, ...]:
    return tuple(goal for goal in moves.viewer.goals if moves.viewer.bit[goal] & mask)
