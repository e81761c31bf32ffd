from __future__ import annotations

from typing import Any

import pytest

from rigbook.proofs import engine
from rigbook.proofs.verdicts import Effort, prove
from rigbook.switching.program import Constant
from tests.proofs.programs import Maker, latching, program, signal


@pytest.fixture
def no_solver(monkeypatch: pytest.MonkeyPatch) -> None:
    find = engine.find_spec
    monkeypatch.setattr(engine, "find_spec", lambda name: None if name == "pysat" else find(name))


def test_the_solver_is_taken_where_there_is_one() -> None:
    assert prove(program(variables=(latching("a"),))).engine == "symbolic"


def test_every_state_is_looked_at_without_a_solver(no_solver: None) -> None:
    p = Maker(7).make()
    without = prove(p)
    assert without.engine == "brute"
    assert without.requirements == prove(p, effort=Effort(engine="symbolic")).requirements


def test_too_many_states_without_a_solver_are_told_and_still_counted(no_solver: None) -> None:
    variables: Any = (*(latching(f"s{i}") for i in range(30)), signal("g", losable=True))
    v = prove(program(variables=variables, impossible=((Constant(True), "b.yaml", 1),)))
    assert v.engine == "none"
    assert v.functions is v.requirements is v.never_lit is v.two_colours is v.dark_zones is v.dead_positions is None
    assert v.reachable_states == 0
    assert not v.rest_reachable
    assert v.unreachable_because == ("impossible, b.yaml:1",)
    assert str(2**32) in v.notes[0]
    assert prove(program(variables=variables)).reachable_states == 2**31


def test_the_bound_counts_sets_of_lost_signals() -> None:
    p = program(variables=(latching("a"), signal("g", losable=True)))
    assert prove(p, effort=Effort(engine="brute", brute_states=8)).engine == "brute"
    assert prove(p, effort=Effort(engine="brute", brute_states=7)).engine == "none"
