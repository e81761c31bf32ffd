from __future__ import annotations

import random

from rigbook.switching.evaluate import Evaluator, evaluate, requirement_holds, seen_by
from rigbook.switching.logic import evaluate_expression
from rigbook.switching.program import DeviceFacts, FeedFacts, PoseFacts
from tests.switching.generator import generate, random_lost, random_state
from tests.switching.sections import EXCERPT, lamp, program_of, state_of


def test_excerpt_in_the_states_it_was_written_for():
    program = program_of(EXCERPT)
    evaluator = Evaluator(program)
    lamps = {d.id: i for i, d in enumerate(program.devices)}
    parked = evaluator.outcome(state_of(program, response="on-scene"))
    assert [c for c, _ in parked.lit[lamps["grille-left"]]] == ["blue"]
    assert parked.lit[lamps["grille-right"]][0][1].spans[0].start_ms == 400
    moving = state_of(program, response="responding", gear="drive", ignition="run", siren="wail", siren_armed="yes")
    outcome = evaluator.outcome(moving)
    assert [c for c, _ in outcome.lit[lamps["grille-left"]]] == ["blue", "white"]
    assert outcome.driven[lamps["siren-amp"]] == "wail"
    lost = frozenset({next(i for i, v in enumerate(program.variables) if v.name == "gear")})
    blind = evaluator.outcome(moving, lost)
    assert blind.driven[lamps["siren-amp"]] == "standby"
    assert [c for c, _ in blind.lit[lamps["grille-left"]]] == ["blue"]
    assert all(evaluator.requirement_holds(r, moving, lost) for r in program.requirements)


DEVICES = [
    lamp("one", tags=["warning"], zones=["front"], half="left", colours=("blue", "white"), feeds=(("white", "aux"),)),
    lamp(
        "two", tags=["warning"], zones=["rear"], colours=("blue",), poses=(PoseFacts("rear_door", frozenset({"left"})),)
    ),
    lamp("tail", kind="factory-lamp", colours=("red",), zones=["rear"], commanded_when="headlamps == low"),
    DeviceFacts("amp", "amp", "device", states=("standby", "wail"), rest="standby", feeds=(("*", "aux"),)),
    DeviceFacts("relay", "relay", "relay", feeds=(("closed", "main"),)),
    DeviceFacts("closed-relay", "closed-relay", "relay", rest="closed", feeds=(("open", "main"),)),
]
FEEDS = [
    FeedFacts("main", live_when="ignition == run"),
    FeedFacts("aux", above="main", through="relay", sheds=3),
    FeedFacts("always", through="closed-relay"),
]
TEXT = """
ranks: [low, high]
switches:
  - {id: light, kind: latching}
  - {id: close, kind: latching}
  - {id: wail, kind: latching}
  - {id: dark, kind: latching}
  - {id: night, kind: latching}
  - {id: deep, kind: latching}
  - {id: bare, kind: latching}
  - {id: open, kind: latching}
functions:
  - {name: Light, rank: low, when: light, show: [{lamps: warning, colours: {blue: {pattern: single}, white: {intensity: 50 %}}}]}
  - {name: Close, rank: low, when: close, drive: [{device: relay, state: closed}]}
  - {name: Wail, rank: low, when: wail and gear == drive, if_unknown: on, drive: [{device: amp, state: wail}]}
  - {name: Tail, rank: low, when: light, show: [{lamps: tail, colour: red, pattern: half}]}
  - {name: Dark, rank: high, when: dark, cut: [tail, warning]}
  - {name: Night, rank: low, when: night, dim: [{lamps: warning, to: 50 %}, {lamps: tail, to: 50 %}]}
  - {name: Deep, rank: low, when: deep, dim: [{lamps: warning, to: 20 %}]}
  - {name: Bare, rank: high, when: bare, show: [{lamps: two, colour: blue, undimmed: yes}]}
  - {name: Open, rank: low, when: open, drive: [{device: closed-relay, state: open}]}
shedding:
  - {step: 2, when: gear == reverse}
  - {step: 4, when: gear == neutral}
require:
  - {name: r0, never: 'lit(warning, any)'}
  - {name: r1, never: 'all_lit(warning, blue)'}
  - {name: r2, never: 'steady(one, any)'}
  - {name: r3, never: 'flashing(one, any)'}
  - {name: r4, never: 'seen(left, blue)'}
  - {name: r5, never: 'driven(amp, standby)'}
  - {name: r6, never: 'all_lit(warning, any)'}
"""
WORLD = program_of(TEXT, devices=DEVICES, feeds=FEEDS)
EVALUATOR = Evaluator(WORLD)
AT = {d.id: i for i, d in enumerate(WORLD.devices)}


def look(lost=frozenset(), **values):
    state = state_of(WORLD, **values)
    return EVALUATOR.outcome(state, lost), [not EVALUATOR.requirement_holds(r, state, lost) for r in WORLD.requirements]


def colours(outcome, name):
    return {c: t.spans[0].intensity_from for c, t in outcome.lit[AT[name]]}


def test_a_feed_needs_its_condition_the_feed_above_and_its_relay():
    out, _ = look(light="yes")
    assert out.feeds_live == (False, False, True)
    assert colours(out, "one") == {"blue": 1.0}
    out, _ = look(light="yes", close="yes")
    assert out.driven[AT["relay"]] is None and out.feeds_live == (False, False, True)
    out, _ = look(light="yes", close="yes", ignition="run")
    assert out.feeds_live == (True, True, True)
    assert colours(out, "one") == {"blue": 1.0, "white": 0.5}
    assert out.driven[AT["amp"]] == "standby"
    out, _ = look(open="yes", ignition="run")
    assert out.feeds_live == (True, False, False)
    out, _ = look(open="yes")
    assert out.feeds_live[2] and out.driven[AT["closed-relay"]] == "closed", "without power it falls to its rest"


def test_shedding_opens_feeds_up_to_the_step_where_known():
    gear = frozenset({next(i for i, v in enumerate(WORLD.variables) if v.name == "gear")})
    assert look(close="yes", ignition="run", gear="reverse")[0].feeds_live[1]
    assert not look(close="yes", ignition="run", gear="neutral")[0].feeds_live[1]
    assert look(gear, close="yes", ignition="run", gear="neutral")[0].feeds_live[1]


def test_dims_scale_shows_alone_and_the_lowest_wins():
    out, _ = look(light="yes", night="yes", headlamps="low")
    assert colours(out, "one") == {"blue": 0.5} and out.dimmed_by[AT["one"]] == 5
    out, _ = look(light="yes", night="yes", deep="yes")
    assert out.factor[AT["one"]] == 0.2 and out.dimmed_by[AT["one"]] == 6
    out, _ = look(bare="yes", deep="yes")
    assert colours(out, "two") == {"blue": 1.0}
    out, _ = look(night="yes", headlamps="low")
    assert colours(out, "tail") == {"red": 1.0} and out.factor[AT["tail"]] == 1.0


def test_a_factory_lamp_rests_as_commanded_and_a_cut_gives_it_back():
    assert colours(look()[0], "tail") == {}
    assert colours(look(headlamps="low")[0], "tail") == {"red": 1.0}
    out, _ = look(light="yes")
    assert out.deciding[AT["tail"]] == 3 and out.lit[AT["tail"]][0][1].period_ms == 400
    out, _ = look(light="yes", dark="yes", headlamps="low")
    assert out.deciding[AT["tail"]] == 4 and out.lit[AT["tail"]][0][1].period_ms == 1
    assert colours(out, "one") == {}


def test_unknown_conditions_and_true_values():
    gear = frozenset({next(i for i, v in enumerate(WORLD.variables) if v.name == "gear")})
    ignition = frozenset({next(i for i, v in enumerate(WORLD.variables) if v.name == "ignition")})
    base = {"wail": "yes", "close": "yes", "ignition": "run"}
    assert look(**base)[0].driven[AT["amp"]] == "standby"
    assert look(gear, **base)[0].driven[AT["amp"]] == "wail"
    assert look(gear, close="yes", ignition="run")[0].driven[AT["amp"]] == "standby"
    assert look(ignition, **base)[0].feeds_live == (True, True, True)


def test_predicates():
    assert look()[1] == [False] * 7
    broken = look(light="yes", close="yes", ignition="run")[1]
    assert broken == [True, True, True, True, False, True, True]
    assert look(light="yes", rear_door="yes")[1][4]
    assert look(bare="yes")[1] == [True, False, False, False, False, False, False]
    assert seen_by(look(light="yes")[0], "rear", "blue") == (AT["two"],)
    assert seen_by(look(light="yes")[0], "rear") == (AT["two"], AT["tail"])


def test_one_state_and_many_agree():
    state = state_of(WORLD, light="yes", night="yes")
    assert evaluate(WORLD, state) == EVALUATOR.outcome(state)
    assert requirement_holds(WORLD, WORLD.requirements[1], state) == EVALUATOR.requirement_holds(
        WORLD.requirements[1], state
    )


def test_decision_lists_by_brute_force():
    """Device by device: the first of its functions in order of rank, then of the file from the end, that is active."""
    rng = random.Random(3)
    looked = 0
    for seed in range(40):
        made = generate(seed, "medium")
        program = made.program
        evaluator = Evaluator(program)
        for _ in range(20):
            state, lost = random_state(program, rng), random_lost(program, rng)
            outcome = evaluator.outcome(state, lost)
            values = [evaluate_expression(program, f.when, state, lost) for f in program.functions]
            active = [f.if_unknown if v is None else v for f, v in zip(program.functions, values, strict=True)]
            assert list(outcome.active) == active
            for index, device in enumerate(program.devices):
                named = {e.function for e in device.entries if active[e.function]}
                best = max(named, key=lambda n: (program.functions[n].rank, n), default=None)
                assert outcome.deciding[index] == best
                dims = [d.to for d in device.dims if active[d.function]]
                kind = next((e.kind for e in device.entries if e.function == best), None)
                free = kind == "show" and not program.contents[outcome.content[index]].undimmed
                assert outcome.factor[index] == (min(dims, default=1.0) if free else 1.0)
                looked += 1
    assert looked > 5000
