"""Ways from rest to a state that need not be shortest: each is stepped through again, and none is missed that is near."""

from __future__ import annotations

import random

from rigbook.proofs.brute import Table
from rigbook.proofs.presses import find_steps
from rigbook.proofs.quick_presses import QuickSearch
from rigbook.switching.program import All, Is, Not, Program
from rigbook.switching.stepping import Stepper
from tests.proofs.programs import Maker, latching, memory, program, signal, slide, timer

YES = frozenset({1})


def replayed(p: Program, events: tuple) -> tuple:
    stepper = Stepper(p)
    for event in events:
        event.act(stepper)
    return stepper.state, tuple(sorted(stepper.lost))


def test_every_way_leads_to_its_state_and_none_is_shorter_than_the_shortest() -> None:
    found = longer = lost = not_found = 0
    for seed in range(40):
        p = Maker(seed).make()
        search = QuickSearch(p, most_states=80)
        losable = [i for i, v in enumerate(p.variables) if v.losable][:1]
        for gone in ((), tuple(losable)):
            table = Table(p, gone)
            for row in random.Random(seed).sample(range(len(table)), min(2, len(table))):
                target = tuple(int(c[row]) for c in table.columns), gone
                way = search.find(target).events
                shortest = find_steps(p, target, most_events=6, most_states=80).events
                if way is None:
                    not_found += shortest is not None
                    continue
                assert replayed(p, way) == target
                if shortest is not None:
                    assert len(way) >= len(shortest)
                    longer += len(way) > len(shortest)
                found += 1
                lost += bool(gone)
    assert found > 40
    assert lost > 10
    assert not_found <= 1
    assert longer < found / 4


def test_many_switches_are_found_where_the_shortest_is_too_long_to_look_for() -> None:
    """Ten switches in any order, then a pause: every set of them pressed looks as near as any other to the other search."""
    switches = tuple(latching(f"s{i}") for i in range(10))
    late = timer("late", "on_delay", All(tuple(Is(i, YES) for i in range(10))))
    p = program(variables=(*switches, late), settle_order=(10,))
    target = (1,) * 11, ()
    assert find_steps(p, target, most_events=12, most_states=900).events is None
    sought = QuickSearch(p).find(target)
    assert [str(event) for event in sought.events] == [*(f"press s{i}" for i in range(10)), "wait 1000 ms"]
    assert sought.states < 40


def test_rest_and_the_straight_way() -> None:
    p = program(variables=(slide("s", "a", "b", "c"), signal("g", losable=True)))
    search = QuickSearch(p)
    assert search.find(((0, 0), ())).events == ()
    assert [str(e) for e in search.find(((2, 1), (1,))).events] == ["set s c", "signal g yes", "lose g"]


def test_bounds_and_what_cannot_be_reached() -> None:
    p = program(variables=tuple(latching(f"s{i}") for i in range(5)))
    every = (1,) * 5, ()
    assert QuickSearch(p, most_events=4).find(every).events is None
    few = QuickSearch(p, most_states=3).find(every)
    assert (few.events, few.cut_short) == (None, True)
    search = QuickSearch(p, together=20)
    assert search.find(every).events is not None
    assert search.left < 20
    search.left = 0
    assert search.find(every).cut_short
    never = memory("m", set_when=All((Is(0, YES), Not(Is(0, YES)))))
    unreachable = QuickSearch(program(variables=(latching("a"), never), settle_order=(1,))).find(((0, 1), ()))
    assert (unreachable.events, unreachable.cut_short) == (None, False)


def test_a_repetition_that_does_not_end_has_no_steps() -> None:
    flips = (
        memory("m", set_when=Not(Is(1, YES)), clear_when=Is(1, YES)),
        memory("n", set_when=Is(0, YES), clear_when=Not(Is(0, YES))),
    )
    assert QuickSearch(program(variables=flips, settle_order=(0, 1))).find(((1, 1), ())).events is None
