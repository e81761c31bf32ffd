"""The search for walks: what a detour costs, and moves that shorten."""

from __future__ import annotations

from rigbook.proofs.presses import Event
from rigbook.proofs.walk import WalkEffort, inspection_walk
from rigbook.proofs.walk_goals import Viewer, goals_of
from rigbook.proofs.walk_moves import Moves
from rigbook.proofs.walk_search import Improver
from rigbook.switching.program import All, Entry, Is, Tap
from tests.proofs.programs import DARK, function, lamp, latching, momentary, program, show, stepping


def on(variable: int, value: int = 1) -> Is:
    return Is(variable, frozenset({value}))


def test_a_goal_several_moves_away_is_found() -> None:
    made = program(
        variables=(latching("a"), latching("b"), momentary("ring", taps=True),
                   stepping("tone", "one", "two", "three", next_on=Tap(2))),
        settle_order=(3,),
        functions=(function("Third", All((on(0), on(1), on(3, 2)))),),
        contents=(DARK, show("white")),
        devices=(lamp("l", "white", entries=(Entry(0, "show", 1),)),),
    )  # fmt: skip
    walk = inspection_walk(made, WalkEffort(1, 200))
    assert sorted(str(s.event) for s in walk.steps) == ["press a", "press b", "tap ring", "tap ring"]
    assert walk.bound == 4 and walk.gap == 0 and not walk.open


def test_needless_moves_are_left_out() -> None:
    made = program(
        variables=(latching("a"), latching("b")),
        functions=(function("A", on(0)), function("B", on(1))),
        contents=(DARK, show("white"), show("blue")),
        devices=(lamp("l", "white", entries=(Entry(0, "show", 1),)), lamp("m", "blue", entries=(Entry(1, "show", 2),))),
    )
    moves = Moves(made, Viewer(made, goals_of(made)))
    a, b = Event("press", (("a", ""),)), Event("press", (("b", ""),))
    assert sorted(str(e) for e in Improver(moves, (a, a, b, b, a, a, a, b)).improve(500)) == ["press a", "press b"]
