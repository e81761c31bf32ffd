from __future__ import annotations

from itertools import product
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rigbook.proofs.splitting import Splitter, TooMany, both, either, formula
from rigbook.switching.program import All, Any_, ConditionRef, Constant, Is, Not, Rises, Tap
from tests.proofs.programs import latching, program, slide

SIZES = {0: 2, 1: 3, 2: 2, 3: 4}
P = program(
    variables=(latching("a"), slide("b", "x", "y", "z"), latching("c"), slide("d", "1", "2", "3", "4")),
    conditions=(("named", Any_((Is(0, frozenset({1})), Is(3, frozenset({2, 3}))))),),
)


def atoms() -> st.SearchStrategy[Any]:
    values = st.sampled_from(sorted(SIZES)).flatmap(
        lambda v: st.builds(Is, st.just(v), st.frozensets(st.integers(0, SIZES[v] - 1)))
    )
    return st.one_of(values, st.builds(Constant, st.booleans()), st.just(ConditionRef(0)))


EXPRESSIONS = st.recursive(
    atoms(),
    lambda inner: st.one_of(
        st.builds(Not, inner),
        st.builds(All, st.lists(inner, max_size=3).map(tuple)),
        st.builds(Any_, st.lists(inner, max_size=3).map(tuple)),
    ),
    max_leaves=8,
)


def true_in(expression: Any, values: tuple[int, ...]) -> bool:
    match expression:
        case Constant(value):
            return bool(value)
        case Is(variable, allowed):
            return values[variable] in allowed
        case Not(of):
            return not true_in(of, values)
        case All(of):
            return all(true_in(part, values) for part in of)
        case Any_(of):
            return any(true_in(part, values) for part in of)
    return true_in(P.conditions[0][1], values)


@settings(max_examples=200, deadline=None)
@given(st.lists(EXPRESSIONS, max_size=4))
def test_counts_what_trying_all_values_counts(expressions: list[Any]) -> None:
    tried = sum(all(true_in(e, values) for e in expressions) for values in product(*(range(n) for n in SIZES.values())))
    counter = Splitter(SIZES, most_splits=1000)
    assert counter.count([formula(P, e) for e in expressions], SIZES) == tried


@settings(max_examples=100, deadline=None)
@given(EXPRESSIONS)
def test_a_formula_and_its_negation_share_all_states(expression: Any) -> None:
    counts = [Splitter(SIZES, most_splits=1000).count([formula(P, expression, wanted=w)], SIZES) for w in (True, False)]
    assert sum(counts) == 48


def test_simplifying() -> None:
    a, b = ("is", 0, frozenset({1})), ("is", 1, frozenset({0}))
    assert both([]) is True
    assert either([]) is False
    assert both([a, True, a]) == a
    assert both([a, False]) is False
    assert either([a, True]) is True
    assert both([a, both([b, a])]) == ("and", a, b)
    assert formula(P, Is(0, frozenset({0, 1}))) is True
    assert formula(P, Tap(0)) is formula(P, Rises(Is(0, frozenset({1})))) is False
    assert formula(P, Not(Tap(0))) is True


def test_equal_parts_are_counted_once() -> None:
    """A chain of 40 pairs takes a few splits a link, not 2^40."""
    sizes = dict.fromkeys(range(41), 2)
    links = [either([("is", i, frozenset({0})), ("is", i + 1, frozenset({0}))]) for i in range(40)]
    counter = Splitter(sizes, most_splits=200)
    assert counter.count(links, sizes) == 433494437  # F(43), OEIS A000045
    with pytest.raises(TooMany):
        Splitter(sizes, most_splits=5).count(links, sizes)
