"""Each constraint's literal against the constraint written out by hand, over all states and losses."""

from __future__ import annotations

from collections.abc import Callable
from importlib import import_module
from itertools import product
from typing import Any

import pytest

from rigbook.proofs.constraints import broken
from rigbook.proofs.encoding import Encoding
from rigbook.proofs.gates import FALSE, Gates
from rigbook.switching.program import All, Is, Tap, Variable
from tests.proofs.programs import latching, memory, program, signal, stepping, timer

YES = frozenset({1})
G, H = Is(0, YES), Is(1, YES)
Rule = Callable[[bool, bool, int, bool], bool]

CASES: list[tuple[str, Variable, Rule]] = [
    # g and h are signals, g may be lost; x is the variable's value.
    ("releases", latching("x", releases_when=G), lambda g, h, x, lost: bool(x) and g and not lost),
    ("cleared", memory("x", clear_when=G), lambda g, h, x, lost: bool(x) and g and not lost),
    ("set", memory("x", set_when=G), lambda g, h, x, lost: not x and g and not lost),
    ("clear wins", memory("x", set_when=H, clear_when=G),
     lambda g, h, x, lost: (x and g and not lost) if x else h and not (g and not lost)),
    ("event", memory("x", set_when=All((H, Tap(0)))), lambda g, h, x, lost: False),
    ("first", stepping("x", "a", "b", "c", first_when=G), lambda g, h, x, lost: x > 0 and g and not lost),
    ("steps alone", stepping("x", "a", "b"), lambda g, h, x, lost: False),
    ("off-delay", timer("x", "off_delay", G), lambda g, h, x, lost: not x and g and not lost),
    ("off-delay, at most", timer("x", "off_delay", G, at_most_ms=3), lambda g, h, x, lost: False),
    ("on-delay", timer("x", "on_delay", G), lambda g, h, x, lost: bool(x) and not (g and not lost)),
]  # fmt: skip


@pytest.mark.parametrize(("name", "variable", "rule"), CASES, ids=[c[0] for c in CASES])
def test_one_variable(name: str, variable: Variable, rule: Rule) -> None:
    p = program(variables=(signal("g", losable=True), signal("h"), variable))
    encoding = Encoding(p, Gates())
    (literal,) = broken(encoding)
    clauses = encoding.gates.take_clauses()
    for g, h, x, lost in product((0, 1), (0, 1), range(len(variable.values)), (False, True)):
        state = [encoding.values[0][g], encoding.values[1][h], encoding.values[2][x]]
        state.append(encoding.lost[0] if lost else -encoding.lost[0])
        assert holds(clauses, state, literal) == rule(bool(g), bool(h), x, lost), (g, h, x, lost)


def holds(clauses: Any, state: list[int], literal: int) -> bool:
    with import_module("pysat.solvers").Cadical195(bootstrap_with=clauses) as solver:
        assert solver.solve(assumptions=state)
        return literal in set(solver.get_model())


def test_impossible_goes_by_true_values_and_groups_by_pairs() -> None:
    p = program(
        variables=(signal("g", losable=True), latching("a"), latching("b"), latching("c")),
        impossible=((Is(0, YES), "t", 1),),
        exclusive=((1, 2, 3),),
    )
    encoding = Encoding(p, Gates())
    impossible, group = broken(encoding)
    clauses = encoding.gates.take_clauses()
    for g, a, b, c, lost in product((0, 1), (0, 1), (0, 1), (0, 1), (False, True)):
        state = [encoding.values[i][v] for i, v in enumerate((g, a, b, c))]
        state.append(encoding.lost[0] if lost else -encoding.lost[0])
        assert holds(clauses, state, impossible) == bool(g)
        assert holds(clauses, state, group) == (a + b + c > 1)


def test_a_pulse_and_a_plain_switch_constrain_nothing() -> None:
    p = program(variables=(latching("a"), timer("t", "pulse", Is(0, YES))))
    assert broken(Encoding(p, Gates())) == []
    assert FALSE == -1
