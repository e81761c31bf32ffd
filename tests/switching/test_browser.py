"""The page's evaluator against Python's: every outcome of random programs and event sequences, in headless Chromium."""

from __future__ import annotations

import json
import random
import shutil
from collections import Counter
from importlib.resources import files
from typing import Any

import pytest

from rigbook.switching.evaluate import Evaluator, Outcome
from rigbook.switching.program import Program
from rigbook.switching.serialise import program_to_json, timeline_to_json
from rigbook.switching.stepping import StepError, Stepper
from tests.switching.generator import CONSTRUCTS, generate, random_events, random_lost, random_state, report
from tests.switching.hand_cases import hand_cases

PROGRAMS, STATES = 500, 40
SEQUENCES, EVENTS = 1000, 50
FLAGS = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)
COMPARE = """
async ([source, batch]) => {
  const page = URL.createObjectURL(new Blob([source], { type: 'text/javascript' }));
  const { load, Stepper, StepError } = await import(page);
  const apply = (stepper, [what, about]) => {
    if (what === 'measure') stepper.measure(...about);
    else stepper[what](about);
  };
  const snapshot = (stepper, error) =>
    [stepper.now_ms, stepper.state, [...stepper.lost].sort((a, b) => a - b), stepper.next_due_ms, error];
  const answers = JSON.parse(batch).map(({ json, states, sequences }) => {
    const program = load(json);
    return {
      outcomes: states.map(([state, lost]) => [
        program.evaluate(state, lost),
        json.requirements.map((_, i) => program.requirementHolds(i, state, lost)),
      ]),
      steps: sequences.map((events) => {
        const stepper = new Stepper(program);
        return events.map((event) => {
          try {
            apply(stepper, event);
            return snapshot(stepper, null);
          } catch (error) {
            if (!(error instanceof StepError)) throw error;
            return snapshot(stepper, [error.says, error.file, error.line]);
          }
        });
      }),
    };
  });
  return JSON.stringify(answers);
}
"""


def outcome_to_json(outcome: Outcome) -> dict[str, Any]:
    return {
        "active": list(outcome.active),
        "deciding": list(outcome.deciding),
        "content": list(outcome.content),
        "factor": list(outcome.factor),
        "dimmed_by": list(outcome.dimmed_by),
        "feeds_live": list(outcome.feeds_live),
        "lit": [[[colour, timeline_to_json(t)] for colour, t in lit] for lit in outcome.lit],
        "driven": list(outcome.driven),
        "zones": [sorted(z) for z in outcome.zones],
    }


def python_outcomes(program: Program, states: list[Any]) -> list[Any]:
    evaluator = Evaluator(program)
    found = []
    for state, lost in states:
        gone = frozenset(lost)
        holds = [evaluator.requirement_holds(r, tuple(state), gone) for r in program.requirements]
        found.append([outcome_to_json(evaluator.outcome(tuple(state), gone)), holds])
    return found


def python_steps(program: Program, events: list[Any]) -> list[Any]:
    stepper = Stepper(program)
    found = []
    for what, about in events:
        error = None
        try:
            getattr(stepper, what)(*about) if what == "measure" else getattr(stepper, what)(about)
        except StepError as refused:
            error = [refused.says, refused.file, refused.line]
        found.append([stepper.now_ms, list(stepper.state), sorted(stepper.lost), stepper.next_due_ms, error])
    return found


def turned(program: Program, steps: list[Any]) -> set[str]:
    """What a sequence reached: kinds of variables that turned on or off, refusals, lost signals, time that ran."""
    found = set()
    before = list(program.rest)
    for now, state, lost, due, error in steps:
        for v, old, new in zip(program.variables, before, state, strict=True):
            kind = (
                v.timer_kind or v.switch_kind or ("measured" if v.threshold else "stepping" if v.stepping else v.kind)
            )
            if new != old:
                found.add(f"{kind} {'on' if new else 'off'}")
            if v.tap_under_ms and new == 2:
                found.add("held")
            if v.springs_back and (old, new) in v.springs_back:
                found.add("sprang back")
            if v.kind == "switch" and v.releases_when and old and not new:
                found.add("released")
        before = state
        found.update(
            name for name, is_so in (("lost", lost), ("due", due), ("late", now > 5000), ("refused", error)) if is_so
        )
    return found


REACHED = (
    *(
        f"{kind} {way}"
        for kind in ("off_delay", "on_delay", "pulse", "measured", "stepping", "memory", "signal")
        for way in ("on", "off")
    ),
    *(
        "latching on",
        "latching off",
        "momentary on",
        "held",
        "sprang back",
        "released",
        "lost",
        "due",
        "late",
        "refused",
    ),
)


def in_chromium(batches: list[list[Any]]) -> list[Any]:
    from playwright.sync_api import sync_playwright

    source = files("rigbook.switching").joinpath("program.js").read_text("utf-8")
    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=shutil.which("chromium"), args=list(FLAGS))
        try:
            page = browser.new_page()
            found = []
            for batch in batches:
                found += json.loads(page.evaluate(COMPARE, [source, json.dumps(batch)]))
            return found
        finally:
            browser.close()


@pytest.mark.browser
def test_the_browser_agrees_with_python_in_every_outcome():
    assert shutil.which("chromium"), "needs Chromium"
    rng = random.Random(20)
    made = [generate(seed, "medium") for seed in range(PROGRAMS)]
    shares = report(made)
    assert set(shares) == set(CONSTRUCTS)
    assert {name: share for name, share in shares.items() if share < 0.05} == {}
    batch = []
    for number, one in enumerate(made):
        program = one.program
        states = [[random_state(program, rng), sorted(random_lost(program, rng))] for _ in range(STATES)]
        count = SEQUENCES // PROGRAMS + (number < SEQUENCES % PROGRAMS)
        sequences = [random_events(program, rng, EVENTS) for _ in range(count)]
        batch.append({"json": program_to_json(program), "states": states, "sequences": sequences})
    answers = in_chromium([batch[at : at + 50] for at in range(0, len(batch), 50)])
    looked = refused = moved = 0
    reached: Counter[str] = Counter()
    for one, given, answer in zip(made, batch, answers, strict=True):
        expected = json.loads(json.dumps(python_outcomes(one.program, given["states"])))
        assert answer["outcomes"] == expected, one.seed
        looked += len(expected)
        for events, steps in zip(given["sequences"], answer["steps"], strict=True):
            mine = json.loads(json.dumps(python_steps(one.program, events)))
            for number, (ours, theirs) in enumerate(zip(mine, steps, strict=True)):
                assert ours == theirs, (one.seed, events[: number + 1])
            refused += sum(step[4] is not None for step in mine)
            moved += len({tuple(step[1]) for step in mine})
            reached.update(turned(one.program, mine))
            looked += len(mine)
    assert looked == PROGRAMS * STATES + SEQUENCES * EVENTS
    assert refused > SEQUENCES
    assert moved > 5 * SEQUENCES
    assert {name: reached[name] for name in REACHED if reached[name] < SEQUENCES // 40} == {}


@pytest.mark.browser
def test_the_browser_agrees_on_what_was_written_by_hand():
    cases = hand_cases()
    batch = [{"json": program_to_json(p), "states": [], "sequences": [events]} for p, events, _ in cases]
    answers = in_chromium([batch])
    for (program, events, ends), answer in zip(cases, answers, strict=True):
        mine = json.loads(json.dumps(python_steps(program, events)))
        assert answer["steps"] == [mine]
        named = {v.name: v.values[at] for v, at in zip(program.variables, mine[-1][1], strict=True)}
        assert {name: named[name] for name in ends} == ends
