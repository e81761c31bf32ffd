"""The shortest walk by looking at every one, and what a step shows by evaluating it with and without each function."""

from __future__ import annotations

from collections import deque
from dataclasses import replace

from rigbook.proofs.walk_goals import Goal
from rigbook.proofs.walk_moves import Moves
from rigbook.switching.evaluate import Evaluator, Outcome
from rigbook.switching.program import Program


def state_goals(program: Program, state: tuple[int, ...]) -> set[Goal]:
    """Goals of a state the slow way: each device evaluated with and without the function that decides it."""
    evaluator = Evaluator(program)
    whole = evaluator.outcome(state)
    found: set[Goal] = set()
    for i, d in enumerate(program.devices):
        if not d.entries:
            continue
        found |= {Goal("colour", device=i, colour=c) for c, t in whole.lit[i] if t.spans}
        decider, dimmer = whole.deciding[i], whole.dimmed_by[i]
        if decider is not None:
            less = (*whole.active[:decider], False, *whole.active[decider + 1 :])
            if shown(evaluator, state, i, whole.active, whole) != shown(evaluator, state, i, less, whole):
                found.add(Goal("function", function=decider))
                below = evaluator.decisions(less)[i].function
                if below is not None:
                    found.add(Goal("override", function=decider, over=below))
        if dimmer is not None and whole.factor[i] < 1 and whole.lit[i]:
            found.add(Goal("function", function=dimmer))
    return found


def shown(
    evaluator: Evaluator, state: tuple[int, ...], device: int, active: tuple[bool, ...], whole: Outcome
) -> tuple[object, object]:
    """What a device would show, dims aside, were these functions on; feeds stand as they do."""
    decision = replace(evaluator.decisions(active)[device], factor=1.0)
    lit = evaluator._lit_of(device, decision, state, whole.feeds_live)
    return sorted(lit, key=lambda pair: pair[0]), evaluator._driven_of(
        evaluator.program.devices[device], decision, whole.feeds_live
    )


def shortest(moves: Moves, wanted: int, most_nodes: int) -> int | None:
    """The fewest moves that show all that is wanted, by looking at every walk; None beyond so many nodes."""
    start = moves.start()
    seen = {(start.number, start.mask & wanted)}
    queue = deque([(start, start.mask & wanted, 0)])
    while queue:
        place, mask, length = queue.popleft()
        if mask == wanted:
            return length
        for event in moves.open(place):
            following = moves.make(place, event)
            if following is None:
                continue
            shown = mask | following.mask & wanted
            key = (following.number, shown)
            if key in seen:
                continue
            if len(seen) >= most_nodes:
                return None
            seen.add(key)
            queue.append((following, shown, length + 1))
    raise AssertionError("a walk showed what no walk shows")
