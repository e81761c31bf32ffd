"""Programs small enough to work out by hand, each with the answer written down; both ways of proving."""

from __future__ import annotations

from dataclasses import FrozenInstanceError
from typing import Any

import pytest

from rigbook.proofs.verdicts import Effort, Verdicts, prove
from rigbook.switching.program import (
    All,
    Any_,
    Constant,
    Content,
    DimEntry,
    DrivenPredicate,
    Entry,
    Feed,
    Is,
    LitPredicate,
    Not,
    Pose,
    Program,
    Requirement,
    SeenPredicate,
)
from tests.proofs.programs import (
    DARK,
    blink,
    device,
    function,
    lamp,
    latching,
    memory,
    momentary,
    program,
    show,
    signal,
    slide,
    timer,
)

YES = frozenset({1})
BLUE, WHITE = show("blue"), show("white", blink(100, 300))


@pytest.fixture(params=["symbolic", "brute"])
def work(request: pytest.FixtureRequest) -> Any:
    def run(p: Program, **effort: Any) -> Verdicts:
        return prove(p, effort=Effort(engine=request.param, **effort))

    return run


def test_never_on_and_always_overridden(work: Any) -> None:
    a, b = Is(0, YES), Is(1, YES)
    p = program(
        variables=(latching("a"), latching("b")),
        exclusive=((0, 1),),
        functions=(function("low", All((a, Not(b)))), function("both", All((a, b))), function("high", a, rank=1)),
        contents=(DARK, BLUE, WHITE),
        devices=(lamp("l", "blue", "white", entries=(Entry(2, "show", 2), Entry(1, "show", 1), Entry(0, "show", 1))),),
    )
    v = work(p)
    assert v.reachable_states == 3
    assert v.never_on == ("both",)
    assert v.always_overridden == ("low",)
    assert [(n.device, n.colour, n.warning) for n in v.never_lit] == [("l", "blue", True)]


def test_a_dead_feed_makes_a_function_overridden_and_a_colour_never_lit(work: Any) -> None:
    p = program(
        variables=(latching("a"), signal("ignition")),
        functions=(function("f", All((Is(0, YES), Not(Is(1, YES))))),),
        contents=(DARK, BLUE),
        feeds=(Feed("top", None, Is(1, YES), None), Feed("below", 0, None, None)),
        devices=(lamp("l", "blue", entries=(Entry(0, "show", 1),), feeds=(("blue", 1),)),),
    )
    v = work(p)
    assert v.always_overridden == ("f",)
    assert [n.colour for n in v.never_lit] == ["blue"]


def test_a_relay_carries_a_feed(work: Any) -> None:
    def made(drives: bool) -> Program:
        entries = (Entry(0, "drive", 3),) if drives else ()
        return program(
            variables=(latching("a"),),
            functions=(function("f", Is(0, YES)),),
            contents=(DARK, BLUE, Content(state="open"), Content(state="closed")),
            feeds=(Feed("through", None, None, 0),),
            devices=(
                device("relay", "open", "closed", kind="relay", rest=2, entries=entries),
                lamp("l", "blue", entries=(Entry(0, "show", 1),), feeds=(("blue", 0),)),
            ),
        )

    assert work(made(True)).never_lit == ()
    assert [n.device for n in work(made(False)).never_lit] == ["l"]


def test_a_dim_counts_as_doing_something_only_where_it_can(work: Any) -> None:
    def made(undimmed: bool) -> Program:
        return program(
            variables=(latching("a"), latching("night")),
            functions=(function("f", Is(0, YES)), function("Night", Is(1, YES)), function("Darker", Is(1, YES))),
            contents=(DARK, show("blue", undimmed=undimmed)),
            devices=(lamp("l", "blue", entries=(Entry(0, "show", 1),), dims=(DimEntry(2, 0.2), DimEntry(1, 0.4))),),
        )

    assert work(made(False)).always_overridden == ("Night",)
    assert work(made(True)).always_overridden == ("Night", "Darker")


def test_the_lowest_of_several_dims_wins_wherever_it_stands(work: Any) -> None:
    p = program(
        variables=(latching("a"), latching("night")),
        functions=(function("f", Is(0, YES)), function("Dim", Is(1, YES)), function("Darker", Is(1, YES))),
        contents=(DARK, show("blue")),
        devices=(lamp("l", "blue", entries=(Entry(0, "show", 1),), dims=(DimEntry(1, 0.4), DimEntry(2, 0.2))),),
    )
    assert work(p).always_overridden == ("Dim",)


def test_a_switch_that_only_dims_further_is_not_dead(work: Any) -> None:
    p = program(
        variables=(latching("night"), latching("spare")),
        functions=(function("f", Constant(True)), function("Dim", Constant(True)), function("Darker", Is(0, YES))),
        contents=(DARK, show("blue")),
        devices=(lamp("l", "blue", entries=(Entry(0, "show", 1),), dims=(DimEntry(1, 0.4), DimEntry(2, 0.2))),),
    )
    assert [d.switch for d in work(p).dead_positions] == ["spare"]


def test_among_lost_signals_the_first_in_the_file_is_the_witness(work: Any) -> None:
    """Either loss lets the lamp go on: the states differ in nothing but which signal is lost."""
    p = program(
        variables=(signal("g", losable=True), signal("h", losable=True)),
        functions=(function("f", Any_((Is(0, YES), Is(1, YES))), if_unknown=True),),
        contents=(DARK, BLUE),
        devices=(lamp("l", "blue", entries=(Entry(0, "show", 1),)),),
        requirements=(
            Requirement("r", All((Not(Is(0, YES)), Not(Is(1, YES)), LitPredicate("lit", (0,), None))), "t", 1),
        ),
    )
    assert work(p).requirements[0].witness.lost == ("g",)


def test_two_colours_at_once(work: Any) -> None:
    apart = Content(channels=(("blue", blink(200, 200)), ("white", blink(200, 200, shift_ms=200))))
    together = Content(channels=(("blue", blink(200, 200)), ("white", blink(200, 200, shift_ms=199))))
    p = program(
        variables=(slide("mode", "off", "apart", "together"),),
        functions=(function("Apart", Is(0, YES)), function("Together", Is(0, frozenset({2})))),
        contents=(DARK, apart, together),
        devices=(
            lamp("head", "blue", "white", one_colour_at_a_time=True,
                 entries=(Entry(0, "show", 1), Entry(1, "show", 2))),
            lamp("pair", "blue", "white", entries=(Entry(1, "show", 2),)),
        ),
    )  # fmt: skip
    (found,) = work(p).two_colours
    assert (found.device, found.colours, found.function) == ("head", ("blue", "white"), "Together")
    assert found.witness.set == (("mode", "together"),)
    assert found.witness.steps == ("set mode together",)


def test_a_requirement_breaks_only_when_a_signal_is_lost(work: Any) -> None:
    parked = Is(1, YES)
    p = program(
        variables=(latching("wail"), signal("park", losable=True)),
        functions=(function("Wail", All((Is(0, YES), Not(parked))), if_unknown=True),),
        contents=(DARK, Content(state="standby"), Content(state="wail")),
        devices=(device("siren", "standby", "wail", rest=1, entries=(Entry(0, "drive", 2),)),),
        requirements=(
            Requirement("silent", All((parked, DrivenPredicate(0, "wail"))), "t", 7),
            Requirement("nothing", Constant(False), "t", 8),
        ),
    )
    v = work(p)
    silent, nothing = v.requirements
    assert (silent.name, silent.line, silent.holds, silent.only_when_lost) == ("silent", 7, False, True)
    assert silent.witness.set == (("wail", "yes"), ("park", "yes"))
    assert silent.witness.lost == ("park",)
    assert len(silent.witness.steps) == 3
    assert nothing.holds and nothing.witness is None and nothing.leans_on == ()
    assert v.functions[0].only_when_lost == silent.witness
    assert v.lost_signal == ("Wail", "silent")


def test_off_when_unknown_keeps_the_requirement(work: Any) -> None:
    parked = Is(1, YES)
    p = program(
        variables=(latching("wail"), signal("park", losable=True)),
        functions=(function("Wail", All((Is(0, YES), Not(parked)))),),
        contents=(DARK, Content(state="standby"), Content(state="wail")),
        devices=(device("siren", "standby", "wail", rest=1, entries=(Entry(0, "drive", 2),)),),
        requirements=(Requirement("silent", All((parked, DrivenPredicate(0, "wail"))), "t", 7),),
    )
    v = work(p)
    assert v.requirements[0].holds
    assert v.lost_signal == ()


def test_a_switch_stays_on_when_the_releasing_signal_is_lost(work: Any) -> None:
    """Releases act only where their condition is known to hold."""
    drive = Is(1, YES)
    p = program(
        variables=(latching("scene", releases_when=drive), signal("drive", losable=True)),
        functions=(function("Scene", Is(0, YES)),),
        contents=(DARK, BLUE),
        devices=(lamp("l", "blue", entries=(Entry(0, "show", 1),)),),
        requirements=(Requirement("dark in motion", All((drive, LitPredicate("lit", (0,), None))), "t", 1),),
    )
    v = work(p)
    assert v.reachable_states == 3
    assert not v.requirements[0].holds
    assert v.requirements[0].only_when_lost
    assert v.requirements[0].witness.lost == ("drive",)


def test_what_a_proof_leans_on(work: Any) -> None:
    p = program(
        variables=(latching("a"), latching("b"), latching("c", releases_when=Is(0, YES)), signal("g"), signal("h")),
        exclusive=((0, 1),),
        impossible=((All((Is(3, YES), Is(4, YES))), "build.yaml", 31),),
        requirements=(
            Requirement("group", All((Is(0, YES), Is(1, YES))), "t", 1),
            Requirement("release", All((Is(0, YES), Is(2, YES))), "t", 2),
            Requirement("world", All((Is(3, YES), Is(4, YES), Is(0, YES))), "t", 3),
        ),
    )
    v = work(p)
    assert all(r.holds for r in v.requirements)
    assert [r.leans_on for r in v.requirements] == [
        ("exclusive a, b",), ("switch c releases",), ("impossible, build.yaml:31",)
    ]  # fmt: skip


def zone_program(cut_when: Any) -> Program:
    return program(
        variables=(latching("warn"), latching("rear_off"), signal("door")),
        functions=(function("Warning", Is(0, YES)), function("Cut", cut_when, rank=1)),
        contents=(DARK, BLUE),
        devices=(
            lamp("ahead", "blue", entries=(Entry(0, "show", 1),)),
            lamp("sides", "blue", zones=frozenset({"left", "right"}), entries=(Entry(0, "show", 1),)),
            lamp("gate", "blue", zones=frozenset({"rear"}), entries=(Entry(1, "cut", 0), Entry(0, "show", 1)),
                 poses=(Pose(Is(2, YES), frozenset()), Pose(None, frozenset({"rear"})))),
            lamp("work", "white", zones=frozenset({"rear"}), tags=frozenset()),
        ),
        warning_when=Is(0, YES),
    )  # fmt: skip


def test_zone_without_warning_explained_by_a_cut_or_not(work: Any) -> None:
    v = work(zone_program(Is(1, YES)))
    dark = {(d.zone, d.explained): d.witness.set for d in v.dark_zones}
    assert dark == {
        ("rear", False): (("warn", "yes"), ("door", "yes")),
        ("rear", True): (("warn", "yes"), ("rear_off", "yes")),
    }
    # The work lamp that no function names may have a switch of its own: nothing is said of it.
    assert v.never_lit == ()


def test_no_zone_is_judged_without_warning_when(work: Any) -> None:
    p = program(variables=(latching("a"),))
    assert work(p).dark_zones == ()


def test_seen_goes_by_the_present_pose(work: Any) -> None:
    p = program(
        variables=(latching("a"), signal("door")),
        functions=(function("f", Is(0, YES)),),
        contents=(DARK, BLUE),
        devices=(
            lamp("gate", "blue", zones=frozenset({"rear"}), entries=(Entry(0, "show", 1),),
                 poses=(Pose(Is(1, YES), frozenset({"left"})), Pose(None, frozenset({"rear"})))),
        ),
        requirements=(
            Requirement("left", SeenPredicate("left", "blue"), "t", 1),
            Requirement("rear while open", All((Is(1, YES), SeenPredicate("rear", None))), "t", 2),
        ),
    )  # fmt: skip
    left, rear = work(p).requirements
    assert left.witness.set == (("a", "yes"), ("door", "yes"))
    assert rear.holds


def test_steady_flashing_and_all(work: Any) -> None:
    p = program(
        variables=(slide("mode", "off", "steady", "flash", "both"),),
        functions=(function("Steady", Is(0, frozenset({1, 3}))), function("Flash", Is(0, frozenset({2, 3})))),
        contents=(DARK, BLUE, show("blue", blink(100, 100))),
        devices=(lamp("a", "blue", entries=(Entry(0, "show", 1),)), lamp("b", "blue", entries=(Entry(1, "show", 2),))),
        requirements=tuple(
            Requirement(what, LitPredicate(what, devices, colour), "t", 1)
            for what, devices, colour in (
                ("steady", (0, 1), "blue"), ("flashing", (0, 1), None), ("all_lit", (0, 1), "blue"),
                ("all_lit", (0, 1), "white"), ("steady", (1,), None),
            )
        ),
    )  # fmt: skip
    got = [None if r.holds else r.witness.set[0][1] for r in work(p).requirements]
    assert got == ["steady", "flash", "both", None, None]


def test_dead_positions_and_switches(work: Any) -> None:
    p = program(
        variables=(
            slide("response", "off", "spare", "on"), latching("forgotten"), latching("bigger", releases_when=Is(3, YES)),
            latching("frees"), momentary("horn", taps=True), memory("kept", set_when=Is(4, YES)),
        ),
        functions=(
            function("f", Any_((Is(0, frozenset({2})), Is(2, YES)))), function("g", Is(5, YES)),
        ),
        contents=(DARK, BLUE, WHITE),
        devices=(lamp("l", "blue", "white", entries=(Entry(1, "show", 2), Entry(0, "show", 1))),),
    )  # fmt: skip
    dead = {d.switch: (d.positions, d.whole_switch, d.releases_others) for d in work(p).dead_positions}
    assert dead == {
        "response": (("spare",), False, False),
        "forgotten": (("yes",), True, False),
        "frees": (("yes",), True, True),
    }


def test_a_position_that_acts_only_while_a_signal_is_lost_is_not_dead(work: Any) -> None:
    """With the signal known the guard is decided by it alone; unknown, the switch decides."""
    known = Is(1, YES)
    p = program(
        variables=(latching("a"), signal("g", losable=True)),
        functions=(function("f", Any_((known, All((Not(known), Is(0, YES), known)))), if_unknown=True),),
        contents=(DARK, BLUE),
        devices=(lamp("l", "blue", entries=(Entry(0, "show", 1),)),),
    )
    assert [d.switch for d in work(p).dead_positions] == ["a"]
    p = program(
        variables=(latching("a"), signal("g", losable=True)),
        functions=(function("f", All((known, Not(known), Is(0, YES))), if_unknown=True),),
        contents=(DARK, BLUE),
        devices=(lamp("l", "blue", entries=(Entry(0, "show", 1),)),),
    )
    v = work(p)
    assert v.dead_positions == ()
    assert v.never_on == ()
    assert v.lost_signal == ("f",)


def test_the_witness_order(work: Any) -> None:
    """Fewest lost, then fewest switches, then fewest others, then first in file order by positions."""
    a, b, c, g, h = (Is(i, YES) for i in range(5))
    variables = (latching("a"), latching("b"), latching("c"), signal("g"), signal("h", losable=True))

    def witness(never: Any) -> Any:
        p = program(variables=variables, requirements=(Requirement("r", never, "t", 1),))
        return work(p).requirements[0].witness.set

    assert witness(Any_((All((a, b)), All((c, g, h))))) == (("c", "yes"), ("g", "yes"), ("h", "yes"))
    assert witness(Any_((a, All((b, g))))) == (("a", "yes"),)
    assert witness(Any_((a, b, c))) == (("c", "yes"),)
    assert witness(Any_((All((a, g)), All((b, h))))) == (("b", "yes"), ("h", "yes"))


def test_a_signal_that_rests_elsewhere_is_compared_by_position(work: Any) -> None:
    p = program(
        variables=(signal("gear", "park", "neutral", "drive", rest=1),),
        requirements=(Requirement("r", Not(Is(0, YES)), "t", 1), Requirement("s", Is(0, YES), "t", 2)),
    )
    first, second = work(p).requirements
    assert first.witness.set == (("gear", "park"),)
    assert second.witness.set == ()
    assert second.witness.steps == ()


def test_no_reachable_state_and_an_unreachable_rest(work: Any) -> None:
    nothing = work(program(variables=(signal("g"),), impossible=((Constant(True), "build.yaml", 3),)))
    assert nothing.reachable_states == 0
    assert not nothing.rest_reachable
    assert nothing.unreachable_because == ("impossible, build.yaml:3",)
    elsewhere = work(program(variables=(signal("g"),), impossible=((Not(Is(0, YES)), "build.yaml", 4),)))
    assert elsewhere.reachable_states == 1
    assert elsewhere.unreachable_because == ("impossible, build.yaml:4",)


def test_timers_are_taken_as_free_where_no_presses_are_looked_for(work: Any) -> None:
    p = program(
        variables=(latching("a"), timer("late", "on_delay", Is(0, YES))),
        settle_order=(1,),
        requirements=(Requirement("r", Is(1, YES), "t", 1),),
    )
    (searched,) = work(p).requirements
    assert searched.witness.steps == ("press a", "wait 1000 ms")
    assert searched.witness.assumed == ()
    (assumed,) = work(p, press_events=0).requirements
    assert assumed.witness.steps is None
    assert assumed.witness.assumed == ("timer late taken as yes",)


def test_only_requirements_where_that_is_all_that_is_asked(work: Any) -> None:
    v = work(zone_program(Is(1, YES)), standing=False)
    assert v.functions is v.never_lit is v.two_colours is v.dark_zones is v.dead_positions is None
    assert v.requirements == ()
    assert v.never_on == v.always_overridden == v.lost_signal == ()


def test_an_empty_program(work: Any) -> None:
    v = work(program())
    assert v.reachable_states == 1
    assert v.rest_reachable
    assert v.functions == v.requirements == v.never_lit == v.two_colours == v.dark_zones == v.dead_positions == ()


def test_verdicts_are_frozen(work: Any) -> None:
    v = work(program())
    with pytest.raises(FrozenInstanceError):
        v.notes = ("x",)
