"""Moves of a walk: what can be done, what settles by itself, what is remembered."""

from __future__ import annotations

from dataclasses import replace

from rigbook.proofs.presses import Event
from rigbook.proofs.walk_goals import Viewer, goals_of
from rigbook.proofs.walk_moves import LONGEST_WAIT_MS, WAIT, Moves
from rigbook.switching.program import Entry, Is
from tests.proofs.programs import DARK, function, lamp, latching, momentary, program, show, signal, slide, timer


def moves() -> Moves:
    door = Is(3, frozenset({1}))
    made = program(
        variables=(
            latching("scene"), momentary("ring", taps=True), slide("warn", "off", "on"),
            replace(signal("door"), settles_ms=150),
            timer("light", "off_delay", door), replace(timer("long", "off_delay", door), for_ms=2 * LONGEST_WAIT_MS),
        ),
        settle_order=(4, 5),
        functions=(function("Light", Is(4, frozenset({1}))),),
        contents=(DARK, show("white")),
        devices=(lamp("l", "white", entries=(Entry(0, "show", 1),)),),
    )  # fmt: skip
    return Moves(made, Viewer(made, goals_of(made)))


def test_what_can_be_done() -> None:
    here = moves()
    offered = [str(e) for e in here.open(here.start())]
    assert offered == ["press scene", "tap ring", "hold ring", "set warn on", "signal door yes"]


def test_a_wire_settles_and_nobody_waits_an_hour() -> None:
    here = moves()
    opened = here.make(here.start(), Event("signal", (("door", "yes"),)))
    assert opened is not None and opened.stepper.value("light") == "yes" and opened.mask
    closed = here.make(opened, Event("signal", (("door", "no"),)))
    assert closed is not None
    (wait,) = [e for e in here.open(closed) if e.what == "wait"]
    assert wait == WAIT and here.timed(closed, wait).wait_ms == 1000
    over = here.make(closed, wait)
    assert over is not None and over.stepper.value("light") == "no"
    assert not [e for e in here.open(over) if e.what == "wait"]


def test_what_is_the_same_is_remembered_as_one() -> None:
    here = moves()
    start = here.start()
    there = here.make(start, Event("press", (("scene", ""),)))
    assert there is not None
    back = here.make(there, Event("press", (("scene", ""),)))
    assert back is not None and back.number == start.number and here.made == 2
    assert here.make(start, Event("set", (("scene", "yes"),))) is None
    assert here.variable(Event("wait", wait_ms=5)) == -1
