from __future__ import annotations

import pytest

from rigbook.switching.plain_words import depends_on, value_of, variables_in, words_of
from rigbook.switching.program import (
    All,
    Any_,
    ConditionRef,
    Constant,
    Is,
    Not,
    Program,
    Rises,
    SeenPredicate,
    Tap,
    Variable,
)


def variable(name: str, kind: str, values: tuple[str, ...] = ("no", "yes"), **more: object) -> Variable:
    return Variable(name=name, kind=kind, values=values, rest=0, ordered=False, line=1, file="f", **more)  # type: ignore[arg-type]


MEMORY = variable("armed", "memory", set_when=Is(0, frozenset({0})), clear_when=Is(1, frozenset({0})))
PROGRAM = Program(
    variables=(
        variable("response", "switch", ("off", "scene", "go"), label="WARN", switch_kind="slide"),
        variable("gear", "signal", ("park", "drive")), variable("parking_brake", "signal"),
        variable("ring", "switch", ("no", "pressed", "held"), label="RING", switch_kind="momentary"), MEMORY,
    ),
    conditions=(("on_the_way", All((Is(0, frozenset({2})), Not(Is(1, frozenset({0})))))),),
    functions=(), devices=(), contents=(), feeds=(), exclusive=(), impossible=(), settle_order=(), requirements=(), modes=(),
    warning_when=None, shedding=(), ranks=(), rest=(0, 0, 0, 0, 0),
)  # fmt: skip


@pytest.mark.parametrize(
    ("expression", "words"),
    [
        (Is(0, frozenset({1})), "WARN at scene"), (Is(0, frozenset({1, 2})), "WARN not off"), (Is(1, frozenset({0})), "gear park"),
        (Not(Is(1, frozenset({0}))), "gear drive"), (Is(2, frozenset({1})), "parking brake"), (Is(2, frozenset({0})), "not parking brake"),
        (Is(3, frozenset({2})), "RING held"), (ConditionRef(0), "on the way"), (Constant(True), "always"), (Tap(3), "RING tapped"),
        (Rises(Is(2, frozenset({1}))), "as parking brake turns true"), (SeenPredicate("rear", None), "any colour seen from the rear"),
        (All((Any_((Is(1, frozenset({0})), Is(2, frozenset({1})))), Is(0, frozenset({1})))), "(gear park or parking brake) and WARN at scene"),
        (Not(All((Is(1, frozenset({0})), Is(2, frozenset({1}))))), "not (gear park and parking brake)"),
    ],
)  # fmt: skip
def test_words(expression: object, words: str) -> None:
    assert words_of(PROGRAM, expression) == words  # type: ignore[arg-type]


def test_values() -> None:
    assert value_of(PROGRAM.variables[0], 2) == "WARN at go"
    assert value_of(PROGRAM.variables[3], 2) == "RING held"
    assert value_of(PROGRAM.variables[1], 1) == "gear drive"


def test_dependence_goes_through_conditions_and_memories() -> None:
    assert variables_in(PROGRAM, ConditionRef(0)) == {0, 1}
    assert variables_in(PROGRAM, Is(4, frozenset({1}))) == {4}
    assert depends_on(PROGRAM, Is(4, frozenset({1}))) == {0, 1, 4}
