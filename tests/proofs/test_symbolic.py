"""The solver against plain enumeration on random programs, and the solver's own parts."""

from __future__ import annotations

from collections import Counter
from dataclasses import fields

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rigbook.proofs.symbolic import Solver
from rigbook.proofs.verdicts import Effort, Verdicts, prove
from rigbook.proofs.witness import order_key
from rigbook.switching.program import All, Is, Program, Requirement
from tests.proofs.programs import CONSTRUCTS, Maker, latching, program, signal, slide

YES = frozenset({1})

FINDINGS = frozenset(
    ("never on", "always overridden", "never lit", "two colours", "requirement broken", "requirement holds",
     "broken only when lost", "leans on something", "on only when lost", "zone dark", "zone dark, explained",
     "dead position", "dead switch", "frees others", "rest unreachable", "no state", "steps found", "no steps found")
)  # fmt: skip


def findings(v: Verdicts) -> set[str]:
    """Which kinds of verdicts a program led to."""
    witnesses = [r.witness for r in v.requirements if r.witness]
    seen = {
        "never on": v.never_on,
        "always overridden": v.always_overridden,
        "never lit": v.never_lit,
        "two colours": v.two_colours,
        "requirement broken": not all(r.holds for r in v.requirements),
        "requirement holds": any(r.holds for r in v.requirements),
        "broken only when lost": any(r.only_when_lost for r in v.requirements),
        "leans on something": any(r.leans_on for r in v.requirements),
        "on only when lost": any(f.only_when_lost for f in v.functions),
        "zone dark": any(not d.explained for d in v.dark_zones),
        "zone dark, explained": any(d.explained for d in v.dark_zones),
        "dead position": any(not d.whole_switch for d in v.dead_positions),
        "dead switch": any(d.whole_switch for d in v.dead_positions),
        "frees others": any(d.releases_others for d in v.dead_positions),
        "rest unreachable": not v.rest_reachable,
        "no state": v.reachable_states == 0,
        "steps found": any(w.steps is not None for w in witnesses),
        "no steps found": any(w.steps is None for w in witnesses),
    }
    return {name for name, there in seen.items() if there}


def agree(seeds: range, *, press_states: int) -> None:
    """Both ways of proving give the same verdicts, witness for witness, and every construct and finding was met."""
    constructs: Counter[str] = Counter()
    met: Counter[str] = Counter()
    for seed in seeds:
        maker = Maker(seed)
        p = maker.make()
        by_all, by_solver = (
            prove(p, effort=Effort(engine=engine, press_states=press_states)) for engine in ("brute", "symbolic")
        )
        for name in (f.name for f in fields(Verdicts) if f.name != "engine"):
            assert getattr(by_solver, name) == getattr(by_all, name), (seed, name)
        constructs.update(set(maker.reached))
        met.update(findings(by_solver))
    print(f"{len(seeds)} programs; constructs {dict(constructs)}; findings {dict(met)}")
    assert set(constructs) >= CONSTRUCTS
    assert set(met) >= FINDINGS


def test_agrees_with_every_state_looked_at() -> None:
    agree(range(150), press_states=40)


@pytest.mark.long
def test_agrees_with_every_state_looked_at_five_thousand_times() -> None:
    agree(range(1000, 6000), press_states=40)


def with_requirement(variables: tuple, never: object, **more: object) -> Program:
    return program(variables=variables, requirements=(Requirement("r", never, "t", 1),), **more)


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 10_000), st.integers(0, 2))
def test_one_more_constraint_never_adds_states_and_never_breaks_a_requirement(seed: int, which: int) -> None:
    maker = Maker(seed)
    p = maker.make()
    signals = [i for i, v in enumerate(p.variables) if v.kind == "signal"]
    more = maker.expression(signals, depth=which)
    tighter = Program(
        **{f: getattr(p, f) for f in p.__slots__ if f != "impossible"}, impossible=(*p.impossible, (more, "t", 9))
    )
    before, after = (prove(x, effort=Effort(press_events=0)) for x in (p, tighter))
    assert after.reachable_states <= before.reachable_states
    for old, new in zip(before.requirements, after.requirements, strict=True):
        assert new.holds or not old.holds
        if old.witness and new.witness:
            assert len(new.witness.lost) >= len(old.witness.lost)
    for old, new in zip(before.functions, after.functions, strict=True):
        assert old.reachable or not new.reachable
        assert old.effective or not new.effective
    assert set(before.never_lit) <= set(after.never_lit)


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 10_000))
def test_a_witness_broken_once_more_is_the_same(seed: int) -> None:
    """Forbidding a witness's own state leads to a later one by the order, never an earlier."""
    p = Maker(seed).make()
    solver = Solver(p)
    try:
        for requirement in p.requirements:
            goal = solver.encoding.truth(requirement.never)
            first = solver.smallest(goal)
            if first is None:
                continue
            values, lost = first
            literals = [solver.encoding.values[i][v] for i, v in enumerate(values)]
            literals += [x if i in lost else -x for i, x in enumerate(solver.encoding.lost) if x != -1]
            second = solver.smallest(solver.gates.all_of((goal, -solver.gates.all_of(literals))))
            assert second is None or order_key(p, *first) < order_key(p, *second)
    finally:
        solver.close()


def test_strike_gives_exactly_the_goals_that_some_state_satisfies() -> None:
    p = program(variables=(latching("a"), latching("b"), slide("s", "x", "y", "z")), exclusive=((0, 1),))
    solver = Solver(p)
    a, b = solver.encoding.values[0][1], solver.encoding.values[1][1]
    goals = {"a": a, "both": solver.gates.all_of((a, b)), "none": -1, "z": solver.encoding.values[2][2], "all": 1}
    assert solver.strike(goals) == {"a", "z", "all"}
    assert solver.strike(goals, under=(-a,)) == {"z", "all"}
    solver.close()


def test_leaning_refuses_a_goal_that_can_be_reached() -> None:
    solver = Solver(program(variables=(latching("a"),)))
    with pytest.raises(ValueError, match="can be reached"):
        solver.leans_on(solver.encoding.values[0][1])
    solver.close()


def test_leaning_is_smallest_by_removal() -> None:
    """Two constraints that each suffice: the later is kept, since the earlier is dropped first."""
    g, h = Is(0, YES), Is(1, YES)
    p = with_requirement(
        (signal("g"), signal("h")), All((g, h)), impossible=((g, "t", 1), (h, "t", 2), (All((g, h)), "t", 3))
    )
    for engine in ("brute", "symbolic"):
        assert prove(p, effort=Effort(engine=engine)).requirements[0].leans_on == ("impossible, t:3",)


def test_equal_programs_give_equal_verdicts() -> None:
    for seed in (3, 4, 5):
        assert prove(Maker(seed).make()) == prove(Maker(seed).make())
