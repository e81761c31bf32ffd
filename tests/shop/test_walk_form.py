"""The walk on the form: every function, colour, override and interlock is expected somewhere, in words."""

from __future__ import annotations

import pytest

from rigbook.proofs.presses import Event
from rigbook.proofs.walk import WalkEffort
from rigbook.proofs.walk_goals import Goal
from rigbook.shop.final_inspection import IN_ORDER, WALK, inspection_of
from rigbook.shop.walk_form import WalkForm, event_words, goal_words, shown_words, walk_form
from rigbook.switching.stepping import Stepper
from tests.papers.example_builds import assessed, desk

GOOD = ("duty-officer-utility", "boat-crew-pickup", "flood-support-van")


def form(build: str) -> WalkForm:
    found = walk_form(desk(build).bench, WalkEffort(starts=1, moves=2_000))
    assert found is not None
    return found


@pytest.mark.parametrize("build", GOOD)
def test_nothing_is_left_out_and_moves_are_spared(build: str) -> None:
    made = form(build)
    program = desk(build).rig.program
    told = " ".join(move.shows for move in made.moves)
    assert all(function.name in told for function in program.functions)
    assert made.open == () and sum(made.shown.values()) == made.walk.shown
    assert set(made.shown) == {"functions", "lamp colours", "overrides", "interlocks"}
    assert made.one_by_one == len(program.functions)
    assert made.bound <= len(made.moves)


@pytest.mark.parametrize("build", GOOD)
def test_every_colour_is_expected_where_it_is_shown(build: str) -> None:
    made = form(build)
    bench, looked = desk(build).bench, 0
    stepper = Stepper(bench.program)
    for step, move in zip(made.walk.steps, made.moves, strict=True):
        step.event.act(stepper)
        stepper.wait(step.settles_ms)
        for goal in step.shows:
            if goal.kind == "colour":
                assert f"{goal.colour} " in move.seen
                zones = bench.outcome(stepper).zones[goal.device]
                assert all(zone in move.zones for zone in zones or {"inside"})
                assert "by eye or ear" in move.zones or "siren-amp" not in move.seen
                looked += 1
    assert looked == sum(g.kind == "colour" for s in made.walk.steps for g in s.shows) > 10


def test_the_form_walks_in_order_and_numbers_through() -> None:
    here = desk("duty-officer-utility")
    made = form("duty-officer-utility")
    steps = inspection_of(assessed("duty-officer-utility"), here.bench, made)
    walked = [s for s in steps if s.section == WALK]
    assert [s.number for s in steps] == list(range(1, len(steps) + 1))
    assert [s.expected for s in walked] == [m.seen for m in made.moves] and {s.group for s in walked} == {IN_ORDER}
    assert not any(s.section == "Functions" for s in steps)
    assert any(s.section == "Functions" for s in inspection_of(assessed("duty-officer-utility"), here.bench))


def test_a_row_says_which_way_it_runs_and_what_takes_over_stays() -> None:
    seen = {part: move.seen for move in form("flood-support-van").moves for part in move.shows.split("; ")}
    assert "stick runs from stick.8 to stick.1" in seen["Direction to the left"]
    assert "stick runs from stick.1 to stick.8" in seen["Direction to the right"]
    assert "stick runs from the middle to both ends" in seen["Direction to both sides"]
    # nothing that a move shows for the first time goes without something to look at
    for build in GOOD:
        for move in form(build).moves:
            assert move.shows == "on the way" or move.seen != "nothing changes", move


def test_words() -> None:
    program = desk("flood-support-van").rig.program
    for event, words in (
        (Event("press", (("scene_left", ""),)), "press SCENE LEFT"),
        (Event("set", (("response", "on-scene"),)), "WARN to on-scene"),
        (Event("signal", (("gear", "drive"),)), "gear to drive"),
        (Event("signal", (("rear_door", "yes"),)), "rear door: yes"),
        (Event("hold", (("horn_ring", ""),)), "hold HORN RING"),
        (Event("release", (("horn_ring", ""),)), "let HORN RING go"),
        (Event("wait", wait_ms=10_000), "wait 10 s"),
    ):
        assert event_words(program, event) == words
    assert event_words(program, Event("press", (("scene_left", ""),)), was_on=True) == "press SCENE LEFT off"
    names = [f.name for f in program.functions]
    scene, warn = names.index("Scene to the left"), names.index("Warning on every side")
    goals = (
        Goal("function", function=scene),
        Goal("override", function=scene, over=warn),
        Goal("released", switch=5),
        Goal("stopped", function=warn),
    )
    assert shown_words(program, goals) == (
        "Scene to the left; Scene to the left over Warning on every side; lets go by itself: SCENE LEFT; stopped: Warning on every side"
    )
    assert goal_words(program, Goal("colour", device=0, colour="blue")).endswith(" blue")
    assert goal_words(program, Goal("gives way", switch=2)) == "CRUISE gives way"
