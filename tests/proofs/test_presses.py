from __future__ import annotations

import random
from collections import deque

from rigbook.proofs.brute import Table
from rigbook.proofs.presses import Event, _events, concerned, find_steps
from rigbook.proofs.verdicts import THOROUGH, Effort, prove
from rigbook.switching.program import All, Is, Not, Program, Requirement, Tap
from rigbook.switching.states import Constraints
from rigbook.switching.stepping import StepError, Stepper
from tests.proofs.programs import Maker, function, latching, memory, momentary, program, signal, slide, stepping, timer
from tests.switching.generator import generate, random_events

YES = frozenset({1})


def replayed(p: Program, events: tuple[Event, ...]) -> tuple[tuple[int, ...], tuple[int, ...]]:
    stepper = Stepper(p)
    for event in events:
        event.act(stepper)
    return stepper.state, tuple(sorted(stepper.lost))


def breadth_first(p: Program, target: tuple, most_states: int) -> int | None:
    """The least number of events by plain search over the same events, without any estimate."""
    start = Stepper(p)
    seen, queue = {start.key()}, deque([(start, 0)])
    everything = frozenset(range(len(p.variables)))
    while queue:
        stepper, length = queue.popleft()
        if (stepper.state, tuple(sorted(stepper.lost))) == target:
            return length
        for event in _events(p, stepper, target, everything):
            following = stepper.copy()
            try:
                event.act(following)
            except StepError:
                continue
            if following.key() not in seen and len(seen) < most_states:
                seen.add(following.key())
                queue.append((following, length + 1))
    return None


def test_steps_lead_to_the_state_and_none_are_shorter() -> None:
    found = missed = 0
    for seed in range(40):
        p = Maker(seed).make()
        table = Table(p, ())
        picker = random.Random(seed)
        for row in picker.sample(range(len(table)), min(2, len(table))):
            target = tuple(int(c[row]) for c in table.columns), ()
            sought = find_steps(p, target, most_events=4, most_states=400)
            if sought.events is None:
                missed += 1
                continue
            assert replayed(p, sought.events) == target
            plain = breadth_first(p, target, 300)
            if plain is not None and concerned(p, target) == frozenset(range(len(p.variables))):
                assert len(sought.events) == plain
            found += 1
    assert found > 20
    assert missed > 5


def test_no_walk_leaves_the_reachable_states() -> None:
    """The set that proofs quantify over may be larger than what a crew brings about, never smaller."""
    walked = 0
    for seed in range(120):
        p = generate(seed).program
        rules = Constraints(p)
        tables: dict[frozenset[int], set[tuple[int, ...]]] = {}
        stepper = Stepper(p)
        for name, arguments in random_events(p, random.Random(seed), 25):
            try:
                getattr(stepper, name)(*(arguments if isinstance(arguments, list) else (arguments,)))
            except StepError:
                continue
            lost = stepper.lost
            if lost not in tables:
                table = Table(p, tuple(sorted(lost)))
                tables[lost] = set(zip(*(c.tolist() for c in table.columns), strict=True))
            assert stepper.state in tables[lost], (seed, name, arguments)
            assert rules.holds(stepper.state, lost)
            walked += 1
    assert walked > 2000


def steps_to(never: object, *variables: object, **more: object) -> tuple[str, ...] | None:
    p = program(variables=variables, requirements=(Requirement("r", never, "t", 1),), **more)
    return prove(p, effort=THOROUGH).requirements[0].witness.steps


def test_each_kind_of_event_by_hand() -> None:
    held = Is(0, frozenset({2}))
    assert steps_to(held, momentary("horn", taps=True)) == ("hold horn",)
    assert steps_to(Is(0, YES), momentary("horn")) == ("press horn",)
    assert steps_to(Is(0, frozenset({2})), slide("s", "a", "b", "c")) == ("set s c",)
    assert steps_to(Is(0, YES), signal("g")) == ("signal g yes",)
    assert steps_to(All((Is(0, YES), Is(1, YES))), signal("g"), signal("h")) == ("signal g yes, h yes",)
    on = {"settle_order": (1,)}
    assert steps_to(Is(1, YES), momentary("horn", taps=True), memory("m", set_when=Tap(0)), **on) == ("tap horn",)
    tone = stepping("tone", "wail", "yelp", "horn", next_on=Tap(0))
    assert steps_to(Is(1, frozenset({2})), momentary("horn", taps=True), tone, **on) == ("tap horn", "tap horn")
    run_on = timer("late", "off_delay", Is(0, YES))
    assert steps_to(All((Is(1, YES), Not(Is(0, YES)))), latching("a"), run_on, **on) == ("press a", "press a")


def test_a_state_that_no_press_leads_to_is_allowed_by_the_assumptions() -> None:
    """The memory is cleared by what it takes to set it, a moment later: constraints alone do not know that."""
    a, b = latching("a"), latching("b")
    kept = memory("m", set_when=All((Is(0, YES), Is(1, YES), Not(Is(1, YES)))))
    p = program(variables=(a, b, kept), settle_order=(2,), requirements=(Requirement("r", Is(2, YES), "t", 1),))
    witness = prove(p, effort=THOROUGH).requirements[0].witness
    assert witness.steps is None
    assert witness.set == (("m", "yes"),)
    assert witness.assumed == ("memory m taken as yes",)


def test_the_bounds_hold_and_are_told() -> None:
    never = All(tuple(Is(i, YES) for i in range(5)))
    p = program(variables=tuple(latching(f"s{i}") for i in range(5)), requirements=(Requirement("r", never, "t", 1),))
    assert len(prove(p).requirements[0].witness.steps) == 5
    assert prove(p, effort=Effort(press_events=4)).requirements[0].witness.steps is None
    few = prove(p, effort=Effort(press_states=4))
    assert few.requirements[0].witness.steps is None
    assert "not looked for beyond 4 states each" in few.notes[0]
    none_left = prove(p, effort=Effort(press_states_together=0))
    assert none_left.notes and none_left.requirements[0].witness.steps is None
    assert prove(p).notes == ()


def test_a_repetition_that_does_not_end_has_no_steps() -> None:
    flips = (
        memory("m", set_when=Not(Is(1, YES)), clear_when=Is(1, YES)),
        memory("n", set_when=Is(0, YES), clear_when=Not(Is(0, YES))),
    )
    p = program(variables=flips, settle_order=(0, 1), functions=(function("f", Is(0, YES)),))
    sought = find_steps(p, ((1, 1), ()), most_events=3, most_states=10)
    assert sought.events is None
