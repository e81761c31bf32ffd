from __future__ import annotations

import itertools
from collections import Counter

from rigbook.switching.logic import evaluate_expression
from rigbook.switching.states import Constraints, is_reachable_member, rest_state, saved_state, violations
from rigbook.switching.stepping import Stepper
from tests.switching.generator import generate
from tests.switching.sections import EXCERPT, program_of, state_of

TEXT = """
switches:
  - {id: a, kind: latching, releases_when: gear == drive}
  - {id: b, kind: latching}
  - {id: m, kind: momentary, tap_under: 400 ms}
exclusive: [[a, b]]
memory:
  - {id: kept, set_when: b, clear_when: rear_door}
  - {id: evented, set_when: tap(m) or gear == reverse}
  - {id: tone, steps: [x, y], next_on: tap(m), first_when: b}
timers:
  - {id: after, off_delay: rear_door, for: 1 s}
  - {id: limited, off_delay: rear_door, for: 1 s, at_most: 5 s}
  - {id: once, on_delay: rear_door, for: 1 s}
  - {id: blip, pulse: rear_door, for: 1 s}
"""


def kinds(program, **values):
    return [v.kind for v in violations(program, state_of(program, **values))]


def test_each_constraint_word_by_word():
    p = program_of(TEXT)
    assert kinds(p) == []
    assert kinds(p, gear="drive", ignition="off") == ["impossible"]
    assert kinds(p, a="yes", b="yes", kept="yes") == ["exclusive"]
    assert kinds(p, a="yes", gear="drive", ignition="run") == ["releases"]
    assert kinds(p, kept="yes", rear_door="yes", after="yes") == ["cleared"]
    assert kinds(p, b="yes") == ["set"]
    assert kinds(p, b="yes", rear_door="yes", after="yes") == []
    assert kinds(p, gear="reverse") == ["set"]
    assert kinds(p, evented="yes") == []
    assert kinds(p, tone="y", b="yes", kept="yes") == ["first"]
    assert kinds(p, rear_door="yes") == ["off_delay"]
    assert kinds(p, rear_door="yes", after="yes") == []
    assert kinds(p, once="yes") == ["on_delay"]
    assert kinds(p, once="yes", rear_door="yes", after="yes") == []
    assert kinds(p, after="yes", limited="yes", blip="yes", m="held") == []


def test_lost_signals_loosen_what_is_known():
    p = program_of(TEXT)
    state = state_of(p, a="yes", gear="drive", ignition="run")
    gear = next(i for i, v in enumerate(p.variables) if v.name == "gear")
    assert not is_reachable_member(p, state)
    assert is_reachable_member(p, state, frozenset({gear}))
    impossible = state_of(p, gear="drive", ignition="off")
    assert not is_reachable_member(p, impossible, frozenset({gear}))
    timed = program_of("timers: [{id: once, on_delay: gear == park, for: 1 s}]")
    on = state_of(timed, once="yes")
    assert is_reachable_member(timed, on)
    assert not is_reachable_member(timed, on, frozenset({0}))


def test_rest_state_is_the_fixpoint():
    p = program_of(
        """
        memory: [{id: one, set_when: gear == park}, {id: two, set_when: one}, {id: off, set_when: gear == drive, starts: yes, clear_when: two}]
        timers: [{id: run, off_delay: two, for: 1 s}, {id: late, on_delay: two, for: 1 s}, {id: blip, pulse: two, for: 1 s}]
        """
    )
    named = {v.name: v.values[p.rest[i]] for i, v in enumerate(p.variables)}
    assert (named["one"], named["two"], named["off"]) == ("yes", "yes", "no")
    assert (named["run"], named["late"], named["blip"]) == ("yes", "no", "no")
    assert rest_state(p) == p.rest


def test_saved_states():
    p = program_of(EXCERPT)
    state = saved_state(p, {"response": "responding", "gear": "drive", "ignition": "run", "night": "yes"})
    assert isinstance(state[0], int)
    named = {v.name: v.values[state[i]] for i, v in enumerate(p.variables)}
    assert named["siren_armed"] == "yes" and named["headlamps"] == "off"
    for values, says in [
        ({"respons": "off"}, "nothing is called respons"),
        ({"response": "of"}, "of is no value of response"),
        ({"parked": "yes"}, "is a condition"),
        ({"siren_armed": "yes"}, "siren_armed is on while its clear_when holds"),
        ({"gear": "drive"}, "impossible"),
        ({"scene_left": "yes", "gear": "drive", "ignition": "run"}, "releases_when"),
        ({"tone": "yelp"}, "first step"),
    ]:
        (trouble, *_) = saved_state(p, values)
        assert says in trouble.says
    assert saved_state(p, {"respons": "off"})[0].nearest == "response"


def naive(program, state):
    """The sentence on reachable states once more, read straight from the page, without closures."""

    def holds(e):
        return e is not None and evaluate_expression(program, e, state) is True

    for expression, _, _ in program.impossible:
        if holds(expression):
            return False
    if any(sum(state[m] for m in group) > 1 for group in program.exclusive):
        return False
    for value, v in zip(state, program.variables, strict=True):
        on = value > 0
        if v.kind == "switch" and on and holds(v.releases_when):
            return False
        if v.stepping and on and holds(v.first_when):
            return False
        plain = v.kind == "memory" and not v.stepping
        clears, sets = plain and holds(v.clear_when), plain and holds(v.set_when)
        if (on and clears) or (not on and sets and not clears):
            return False
        if v.timer_kind == "off_delay" and not on and holds(v.condition) and v.at_most_ms is None:
            return False
        if v.timer_kind == "on_delay" and on and not holds(v.condition):
            return False
    return True


def test_reachable_sets_of_small_programs_by_brute_force():
    looked = inside = 0
    found = Counter()
    for seed in range(60):
        program = generate(seed, "small").program
        rules = Constraints(program)
        for state in itertools.product(*(range(len(v.values)) for v in program.variables)):
            broken = rules.violations(state)
            found.update(v.kind for v in broken)
            assert rules.holds(state) == (not broken) == naive(program, state)
            looked += 1
            inside += not broken
    assert looked > 5000 and 0 < inside < looked
    assert {"impossible", "exclusive", "releases", "set", "cleared", "off_delay", "on_delay", "first"} <= set(found)


def test_no_crew_leaves_the_reachable_set():
    """Every state that stepping comes to is a member: the set is never smaller than the truth."""
    import random

    from rigbook.switching.stepping import StepError
    from tests.switching.generator import random_events

    rng = random.Random(5)
    looked = 0
    for seed in range(150):
        program = generate(seed, "medium").program
        rules = Constraints(program)
        stepper = Stepper(program)
        for what, about in random_events(program, rng, 40):
            try:
                getattr(stepper, what)(*about) if what == "measure" else getattr(stepper, what)(about)
            except StepError:
                continue
            assert rules.violations(stepper.state, stepper.lost) == (), (seed, what, about)
            looked += 1
    assert looked > 3000
