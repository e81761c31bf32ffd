from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rigbook.switching.names import order_of_dependency, variables_read
from rigbook.switching.program import Constant, Is, Not
from tests.switching.sections import program_of

TEXT = """
switches:
  - {id: s, kind: slide, positions: [a, b, c, d]}
  - {id: m, kind: momentary, tap_under: 1 s}
  - {id: k, kind: latching}
conditions:
  %s
"""


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("s == b", Is(0, frozenset({1}))),
        ("s != b", Is(0, frozenset({0, 2, 3}))),
        ("s in (a, d)", Is(0, frozenset({0, 3}))),
        ("s < c", Is(0, frozenset({0, 1}))),
        ("s <= c", Is(0, frozenset({0, 1, 2}))),
        ("s > c", Is(0, frozenset({3}))),
        ("s >= c", Is(0, frozenset({2, 3}))),
        ("s < a", Is(0, frozenset())),
        ("m", Is(1, frozenset({1, 2}))),
        ("held(m)", Is(1, frozenset({2}))),
        ("m == held", Is(1, frozenset({2}))),
        ("k", Is(2, frozenset({1}))),
        ("k == no", Is(2, frozenset({0}))),
        ("k == true", Is(2, frozenset({1}))),
        ("not k", Not(Is(2, frozenset({1})))),
        ("true", Constant(True)),
        ("no", Constant(False)),
    ],
)
def test_atoms(text, expected):
    program = program_of(TEXT % f'x: "{text}"')
    assert program.conditions[0][1] == expected


def test_what_is_read_through_conditions():
    program = program_of(TEXT % "x: k and y\n  y: not z\n  z: s == a")
    assert variables_read(program.conditions[0][1], program.conditions) == {0, 2}


@given(st.dictionaries(st.integers(0, 8), st.sets(st.integers(0, 8), max_size=3), max_size=8))
def test_order_of_dependency(reads):
    """Each key after what it reads, the least ready key first; whatever is left over holds a real circle."""
    order, circle = order_of_dependency({k: set(v) for k, v in reads.items()})
    for at, key in enumerate(order):
        done = set(order[:at])
        assert all(other in done for other in reads[key] if other in reads)
        ready = [k for k in reads if k not in done and all(o in done for o in reads[k] if o in reads)]
        assert key == min(ready)
    assert bool(circle) == (len(order) < len(reads))
    for one, following in zip(circle, [*circle[1:], *circle[:1]], strict=True):
        assert following in reads[one]
