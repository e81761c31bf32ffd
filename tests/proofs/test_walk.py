"""Inspection walks: everything shown, nothing claimed, against every walk there is on small programs."""

from __future__ import annotations

from dataclasses import replace

import pytest

from rigbook.proofs.evidence import broken_by_rest
from rigbook.proofs.reading import variables_of
from rigbook.proofs.symbolic import Solver
from rigbook.proofs.walk import WalkEffort, inspection_walk
from rigbook.proofs.walk_goals import Viewer, goals_of, literals_of
from rigbook.proofs.walk_moves import Moves
from rigbook.switching.program import Program
from rigbook.switching.states import rest_state
from rigbook.switching.stepping import StepError, Stepper
from tests.papers.opened import example
from tests.proofs.programs import Maker
from tests.proofs.walks import shortest, state_goals

QUICK = WalkEffort(starts=3, moves=3_000)


def standing(seed: int) -> Program | None:
    """A random program whose rest state keeps to its own constraints and whose repetition ends there."""
    made = Maker(seed).make()
    made = replace(made, settle_order=tuple(i for i, v in enumerate(made.variables) if v.kind in ("memory", "timer")))
    made = replace(made, rest=rest_state(made))
    # the language lets `impossible` read signals alone
    read = [variables_of(made, expression) for expression, _file, _line in made.impossible]
    if broken_by_rest(made) or any(made.variables[i].kind != "signal" for found in read for i in found):
        return None
    try:
        Stepper(made)
    except StepError:
        return None
    return made


def against_every_walk(seeds: range) -> dict[str, int]:
    """Walks of random programs beside the shortest there is; what was looked at."""
    found = dict.fromkeys(("programs", "optimal", "moves", "over", "interlocks", "overrides", "open"), 0)
    for seed in seeds:
        program = standing(seed)
        if program is None:
            continue
        walk = inspection_walk(program, QUICK)
        goals = goals_of(program)
        moves = Moves(program, Viewer(program, goals))
        place = moves.start()
        seen = place.mask
        for step in walk.steps:
            following = moves.make(place, step.event)
            assert following is not None
            place = following
            seen |= place.mask
            state = place.stepper.state
            assert {g for g in goals if moves.viewer.bit[g] & moves.viewer.state(state)} == state_goals(program, state)
        shown = {g for g in goals if moves.viewer.bit[g] & seen}
        assert shown == set(goals) - set(walk.open) - set(walk.beyond)
        best = shortest(moves, seen, 40_000)
        if best is None:
            continue
        assert walk.bound <= best <= len(walk.steps), seed
        found["programs"] += 1
        found["optimal"] += best == len(walk.steps)
        found["moves"] += best
        found["over"] += len(walk.steps) - best
        found["open"] += len(walk.open)
        found["interlocks"] += sum(g.kind in ("released", "gives way", "stopped") for g in shown)
        found["overrides"] += sum(g.kind == "override" for g in shown)
    return found


def test_walks_are_as_short_as_any_on_small_programs() -> None:
    found = against_every_walk(range(200))
    assert found["programs"] > 100 and found["moves"] > 200, found
    assert found["interlocks"] > 50 and found["overrides"] > 30, found
    assert found["over"] <= found["moves"] // 20 and found["optimal"] > 0.9 * found["programs"], found


@pytest.mark.long
def test_walks_of_two_thousand_small_programs() -> None:
    found = against_every_walk(range(1_000, 3_000))
    assert found["programs"] > 1_000 and found["over"] <= found["moves"] // 20, found


@pytest.mark.parametrize("build", ("duty-officer-utility", "boat-crew-pickup", "flood-support-van"))
def test_the_example_builds_are_shown_whole(build: str) -> None:
    program = example(build).worked.program
    walk = inspection_walk(program, WalkEffort(starts=1, moves=4_000))
    shown = [goal for step in walk.steps for goal in step.shows] + list(walk.at_rest)
    assert not walk.open and len(shown) == len(set(shown)) == walk.shown
    assert walk.shown + len(walk.beyond) == len(goals_of(program))
    assert {g.function for g in shown if g.kind == "function"} == set(range(len(program.functions)))
    assert walk.bound <= len(walk.steps) and walk.gap == len(walk.steps) - walk.bound
    # once more through the stepper alone, as a person does it
    stepper = Stepper(program)
    seen = state_goals(program, stepper.state)
    for step in walk.steps:
        step.event.act(stepper)
        stepper.wait(step.settles_ms)
        seen |= state_goals(program, stepper.state)
    assert {g for g in shown if g.kind in ("function", "colour", "override")} == seen


def test_what_no_state_shows_is_beyond() -> None:
    program = example("planted-faults").worked.program
    walk = inspection_walk(program, QUICK)
    solver = Solver(program)
    literals = literals_of(solver.encoding, goals_of(program))
    assert walk.beyond and not any(solver.solve((literals[goal],)) for goal in walk.beyond)
    solver.close()


def test_equal_programs_give_equal_walks() -> None:
    program = example("duty-officer-utility").worked.program
    assert inspection_walk(program, QUICK) == inspection_walk(program, QUICK)
