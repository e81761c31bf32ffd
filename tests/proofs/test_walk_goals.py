"""What a walk must show: literals and looking agree in every state of small programs."""

from __future__ import annotations

from itertools import product

from rigbook.proofs.symbolic import Solver
from rigbook.proofs.walk_goals import Goal, Viewer, goals_of, literals_of
from rigbook.switching.program import All, Entry, Is, Program
from tests.proofs.programs import DARK, Maker, function, lamp, latching, program, show, signal


def test_literals_mean_what_is_seen() -> None:
    looked = shown = 0
    for seed in range(40):
        made = Maker(seed).make()
        goals = tuple(g for g in goals_of(made) if g.kind in ("function", "colour", "override"))
        viewer, solver = Viewer(made, goals), Solver(made)
        literals = literals_of(solver.encoding, goals)
        states = list(product(*(range(len(v.values)) for v in made.variables)))
        for state in states[:: max(1, len(states) // 25)]:
            fixed = [solver.encoding.values[i][v] for i, v in enumerate(state)]
            fixed += [-literal for literal in solver.encoding.lost]
            assert solver.solve(fixed, constrained=False)
            seen = viewer.state(state)
            for goal in goals:
                assert solver.solve((*fixed, literals[goal]), constrained=False) == bool(viewer.bit[goal] & seen)
                looked += 1
                shown += bool(viewer.bit[goal] & seen)
        solver.close()
    assert looked > 8_000 and shown > 1_500


def small() -> Program:
    """Two switches that exclude each other, one of which a signal lets go; one lamp, two colours."""
    on, drive = frozenset({1}), Is(2, frozenset({1}))
    return program(
        variables=(latching("scene", releases_when=drive), latching("command"), signal("gear", "park", "drive")),
        exclusive=((0, 1),),
        functions=(function("White", Is(0, on)), function("Green", Is(1, on), rank=1), function("Red", drive)),
        contents=(DARK, show("white"), show("green"), show("red")),
        devices=(
            lamp("l", "white", "green", "red", entries=(Entry(1, "show", 2), Entry(2, "show", 3), Entry(0, "show", 1))),
        ),
    )


def test_goals_by_hand() -> None:
    goals = goals_of(small())
    assert [g.function for g in goals if g.kind == "function"] == [0, 1, 2]
    assert {(g.function, g.over) for g in goals if g.kind == "override"} == {(1, 2), (1, 0), (2, 0)}
    assert [g.switch for g in goals if g.kind == "released"] == [0]
    assert [g.switch for g in goals if g.kind == "gives way"] == [0, 1]
    assert [g for g in goals if g.kind == "stopped"] == []  # no function needs a switch and a signal


def test_a_step_shows_what_lets_go() -> None:
    made = small()
    viewer = Viewer(made, goals_of(made))
    released = viewer.bit[Goal("released", switch=0)]
    gives = viewer.bit[Goal("gives way", switch=0)]
    assert viewer.step((1, 0, 0), (0, 0, 1), moved=-1) & released  # the gear does it
    assert not viewer.step((1, 0, 0), (0, 0, 0), moved=0) & released  # a hand does it
    assert viewer.step((1, 0, 0), (0, 1, 0), moved=1) & gives
    assert not viewer.step((1, 0, 0), (0, 0, 0), moved=0) & gives


def test_a_function_that_a_signal_stops() -> None:
    when = Is(1, frozenset({0}))
    both = function("Scene", All((Is(0, frozenset({1})), when)))
    made = program(
        variables=(latching("scene"), signal("gear", "park", "drive")),
        functions=(both,),
        contents=(DARK, show("white")),
        devices=(lamp("l", "white", entries=(Entry(0, "show", 1),)),),
    )
    viewer = Viewer(made, goals_of(made))
    stopped = viewer.bit[Goal("stopped", function=0)]
    assert viewer.step((1, 0), (1, 1), moved=-1) & stopped
    assert not viewer.step((1, 0), (0, 0), moved=0) & stopped
