from __future__ import annotations

import pytest

from rigbook.proofs.brute import Table
from rigbook.proofs.witness import constraint_labels, order_key, state_of, witness_of
from rigbook.switching.program import Constant, Is
from tests.proofs.programs import latching, memory, program, signal, slide, timer

YES = frozenset({1})
P = program(
    variables=(
        slide("s", "a", "b", "c"), latching("x", releases_when=Is(2, YES)), signal("g", losable=True),
        signal("h", "p", "q", rest=1, losable=True), memory("m", set_when=Is(0, YES)), timer("t", "pulse", Is(1, YES)),
        timer("d", "off_delay", Is(1, YES), at_most_ms=5),
    ),
    impossible=((Constant(False), "b.yaml", 4),),
    exclusive=((1,),),
)  # fmt: skip


def test_the_order_of_states() -> None:
    rest = (0, 0, 0, 1, 0, 0, 0)
    in_order = [
        (rest, ()),
        ((0, 0, 0, 0, 0, 0, 0), ()),  # one signal off rest, and first by position
        ((0, 0, 0, 1, 0, 0, 1), ()),
        ((0, 0, 0, 1, 0, 1, 0), ()),
        ((0, 0, 0, 1, 1, 1, 0), ()),
        ((0, 1, 0, 1, 0, 0, 0), ()),  # one switch outweighs any number of others
        ((1, 0, 0, 1, 0, 0, 0), ()),
        ((2, 0, 0, 1, 0, 0, 0), ()),
        ((2, 1, 0, 1, 0, 0, 0), ()),
        (rest, (2,)),  # one lost signal outweighs everything
        (rest, (3,)),
        (rest, (2, 3)),
    ]
    keys = [order_key(P, *state) for state in in_order]
    assert keys == sorted(keys)
    assert len(set(keys)) == len(keys)


def test_the_record() -> None:
    witness = witness_of(P, (2, 1, 0, 1, 1, 0, 1), (3, 2))
    assert witness.set == (("s", "c"), ("x", "yes"), ("m", "yes"), ("d", "yes"))
    assert witness.lost == ("g", "h")
    assert witness.steps is None
    assert witness.assumed == ("memory m taken as yes", "timer d taken as yes")
    assert not witness.bound
    stepped = witness_of(P, (2, 1, 0, 1, 1, 0, 1), (), steps=("press x",))
    assert stepped.steps == ("press x",)
    assert stepped.assumed == ()


def test_the_state_that_a_record_names() -> None:
    for state in (((2, 1, 0, 1, 1, 0, 1), (2, 3)), ((0, 0, 0, 1, 0, 0, 0), ()), ((1, 0, 1, 0, 0, 1, 0), (3,))):
        assert state_of(P, witness_of(P, *state)) == state
    assert state_of(P, witness_of(P, (0, 0, 0, 1, 0, 0, 0), (3, 2)))[1] == (2, 3)
    with pytest.raises(KeyError):
        state_of(program(), witness_of(P, (1, 0, 0, 1, 0, 0, 0), ()))


def test_a_label_for_each_constraint() -> None:
    assert constraint_labels(P) == ("impossible, b.yaml:4", "exclusive x", "switch x releases", "memory m", "timer d")
    assert len(Table(P, (), constrained=False).broken_constraints()) == len(constraint_labels(P))
