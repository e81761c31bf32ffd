"""Colours by mode and zone: the prover's answers against every state."""

from __future__ import annotations

import itertools
from pathlib import Path

import pytest

from rigbook.assess.assessment import decide_rig, packs_of
from rigbook.assess.colours import mode_colours, questions, warning_alone
from rigbook.documents.loader import load_build
from rigbook.rig.model import Rig
from rigbook.rules.judge import Pack
from rigbook.switching.evaluate import Evaluator, seen_by
from rigbook.switching.logic import evaluate_expression
from rigbook.switching.states import is_reachable_member

SMALL = Path(__file__).parents[1] / "rules" / "shop"
PACK = """rigbook: 1
pack: {id: all, title: All}
rules:
  - {id: ever, measure: mode_zone_colour, per: pair, limit: {at_most: 0}, severity: note, sourced: memory, says: a, remedy: b}
  - {id: always, measure: mode_zone_always, per: pair, limit: {at_least: 1}, severity: note, sourced: memory, says: a, remedy: b}
"""


@pytest.fixture(scope="module")
def case() -> tuple[Rig, tuple[Pack, ...]]:
    texts = {
        "rules/all.yaml": PACK.encode(),
        "shop.yaml": (SMALL / "shop.yaml").read_bytes().replace(b"[wiring, altered-vehicle]", b"[all]"),
        "builds/small.yaml": (SMALL / "builds/small.yaml")
        .read_bytes()
        .replace(b"when: warn\n", b"when: warn and engine_running\n"),
    }
    loaded = load_build(SMALL, Path("builds/small.yaml"), texts)
    rig, errors = decide_rig(loaded)
    assert rig is not None, errors
    return rig, packs_of(loaded)[0]


def test_answers_agree_with_every_state(case: tuple[Rig, tuple[Pack, ...]]) -> None:
    rig, packs = case
    program = warning_alone(rig.program)
    evaluator = Evaluator(program)
    states = [
        s for s in itertools.product(*(range(len(v.values)) for v in program.variables))
        if is_reachable_member(program, s)
    ]  # fmt: skip
    assert len(states) == 8
    answers = mode_colours(rig, packs)
    assert len(answers) == 2 * 4 * 2
    for answer in answers:
        mode = next(m for m in program.modes if m.id == answer.mode)
        inside = [s for s in states if evaluate_expression(program, mode.when, s)]
        shows = [bool(seen_by(evaluator.outcome(s, frozenset()), answer.zone, answer.colour)) for s in inside]
        assert answer.ever is any(shows), answer
        assert answer.always is all(shows), answer
    assert {(a.ever, a.always) for a in answers} == {(True, False), (False, False)}


def test_only_what_the_rows_ask_is_asked(case: tuple[Rig, tuple[Pack, ...]]) -> None:
    rig, packs = case
    assert questions(rig.program, ()) == ()
    assert mode_colours(rig, ()) == ()
    assert len(questions(rig.program, packs)) == 2 * 4 * 2 * 2
