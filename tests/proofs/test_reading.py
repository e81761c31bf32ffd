from __future__ import annotations

from rigbook.proofs.reading import (
    inputs_of,
    losable,
    lost_sets,
    reach_devices,
    releasing,
    remembered,
    state_count,
    variables_of,
)
from rigbook.switching.program import (
    All,
    Any_,
    ConditionRef,
    Constant,
    DimEntry,
    Entry,
    Feed,
    Is,
    LitPredicate,
    Not,
    Pose,
    Rises,
    Tap,
)
from tests.proofs.programs import DARK, function, lamp, latching, memory, program, show, signal, timer

YES = frozenset({1})


def test_variables_of_an_expression() -> None:
    p = program(conditions=(("c", All((Is(4, YES), Is(5, YES)))),))
    expression = Any_((Not(Is(0, YES)), Rises(Is(1, YES)), Tap(2), ConditionRef(0), Constant(True), Is(0, YES)))
    assert variables_of(p, expression) == {0, 1, 2, 4, 5}
    assert variables_of(p, None) == frozenset()
    assert variables_of(p, LitPredicate("lit", (7,), None)) == frozenset()


def test_what_reaches_devices() -> None:
    """Through functions, poses, feeds, shedding, and on through memories, timers and releases."""
    variables = (
        latching("shown"), latching("remembered"), memory("m", set_when=Is(1, YES)), latching("lets_go"),
        latching("let_go", releases_when=Is(3, YES)), latching("idle"), timer("unread", "pulse", Is(5, YES)),
        signal("door"), signal("ignition"), signal("low"), latching("dims"), signal("brake"),
    )  # fmt: skip
    p = program(
        variables=variables,
        functions=(function("f", All((Is(0, YES), Is(2, YES)))), function("g", Is(4, YES)), function("n", Is(10, YES)),
                   function("names nothing", Is(5, YES))),
        contents=(DARK, show("blue")),
        feeds=(Feed("feed", None, Is(8, YES), None, 1),),
        shedding=((1, Is(9, YES)),),
        devices=(
            lamp("l", "blue", entries=(Entry(0, "show", 1), Entry(1, "show", 1)), dims=(DimEntry(2, 0.4),),
                 commanded_when=Is(11, YES), poses=(Pose(Is(7, YES), frozenset()), Pose(None, frozenset()))),
        ),
    )  # fmt: skip
    names = {variables[i].name for i in reach_devices(p)}
    assert names == {"shown", "remembered", "m", "lets_go", "let_go", "door", "ignition", "low", "dims", "brake"}
    assert {variables[i].name for i in remembered(p)} == {"remembered"}
    assert {variables[i].name for i in releasing(p)} == {"lets_go"}
    assert inputs_of(p, variables[6]) == {5}


def test_a_memory_that_only_lets_a_switch_go_reaches_what_the_switch_does() -> None:
    p = program(
        variables=(latching("a"), memory("m", set_when=Is(0, YES)), latching("b", releases_when=Is(1, YES))),
        functions=(function("f", Is(2, YES)),),
        contents=(DARK, show("blue")),
        devices=(lamp("l", "blue", entries=(Entry(0, "show", 1),)),),
    )
    assert remembered(p) == {0}


def test_an_exclusive_group_lets_its_members_go() -> None:
    p = program(variables=(latching("a"), latching("b"), latching("c")), exclusive=((0, 1), (2,)))
    assert releasing(p) == {0, 1}


def test_states_and_sets_of_lost_signals() -> None:
    p = program(
        variables=(latching("a"), signal("g", "p", "q", "r", losable=True), signal("h", losable=True), signal("k"))
    )
    assert state_count(p) == 24
    assert losable(p) == (1, 2)
    assert list(lost_sets(p)) == [(), (1,), (2,), (1, 2)]
