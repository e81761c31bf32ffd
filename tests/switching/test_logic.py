from __future__ import annotations

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rigbook.switching.logic import Closures, evaluate_expression, kleene_and, kleene_not, kleene_or
from rigbook.switching.program import All, Any_, Constant, Is, Not
from tests.switching.sections import program_of, state_of

T, F, U = True, False, None
# Kleene, Introduction to Metamathematics (1952), section 64, strong tables; from memory, as printed: rows Q, columns R.
AND = {(T, T): T, (T, F): F, (T, U): U, (F, T): F, (F, F): F, (F, U): F, (U, T): U, (U, F): F, (U, U): U}
OR = {(T, T): T, (T, F): T, (T, U): T, (F, T): T, (F, F): F, (F, U): U, (U, T): T, (U, F): U, (U, U): U}
NOT = {T: F, F: T, U: U}
SIGNALS = """
signals:
  - {id: a, source: data-bus}
  - {id: b, source: data-bus}
  - {id: c, source: data-bus}
conditions:
  named: a and not b
"""


@pytest.mark.outside
@pytest.mark.parametrize("pair", AND)
def test_strong_three_valued_tables(pair):
    assert kleene_and(pair) is AND[pair]
    assert kleene_or(pair) is OR[pair]
    assert [kleene_not(v) for v in pair] == [NOT[v] for v in pair]


def expressions():
    atoms = st.one_of(
        st.builds(Constant, st.booleans()),
        st.builds(Is, st.integers(0, 2), st.sampled_from([frozenset({0}), frozenset({1})])),
    )
    return st.recursive(
        atoms,
        lambda inner: st.one_of(
            st.builds(Not, inner),
            st.builds(lambda p: All(tuple(p)), st.lists(inner, min_size=2, max_size=3)),
            st.builds(lambda p: Any_(tuple(p)), st.lists(inner, min_size=2, max_size=3)),
        ),
        max_leaves=8,
    )


PROGRAM = program_of(SIGNALS, vehicle_signals=[], vehicle_impossible=[], devices=[], feeds=[])


@given(expressions(), st.tuples(*[st.integers(0, 1)] * 3), st.frozensets(st.integers(0, 2)))
def test_a_known_value_holds_for_every_value_of_what_is_lost(expression, state, lost):
    """Kleene's logic is sound: True or False with lost signals stands whatever their true values are."""
    value = evaluate_expression(PROGRAM, expression, state, lost)
    two = Closures(PROGRAM).two(expression)
    every = [
        two(tuple(v if i not in lost else other[i] for i, v in enumerate(state)))
        for other in itertools.product((0, 1), repeat=3)
    ]
    if value is not None:
        assert set(every) == {value}
    if not lost:
        assert value == two(state)


def test_conditions_are_unknown_with_what_they_read():
    state = state_of(PROGRAM, a="yes")
    named = Closures(PROGRAM).three(PROGRAM.conditions[0][1])
    assert named(state, frozenset()) is True
    assert named(state, frozenset({1})) is None
    assert named(state_of(PROGRAM), frozenset({1})) is False
