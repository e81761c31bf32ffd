"""Greatest mean squares: by hand, and where the search is given up. Against every state: test_worst."""

from __future__ import annotations

import random
from fractions import Fraction

from rigbook.proofs.acts import Act
from rigbook.proofs.squares import square
from rigbook.proofs.worst import Prover
from rigbook.proofs.worst_brute import greatest_square
from rigbook.switching.program import Entry, Is
from tests.proofs import programs, worsts


def two_lamps() -> Prover:
    """Two lamps, each with a switch of its own."""
    return Prover(
        programs.program(
            variables=(programs.latching("one"), programs.latching("two")),
            functions=tuple(programs.function(f"f{i}", Is(i, frozenset({1}))) for i in (0, 1)),
            devices=tuple(programs.lamp(f"l{i}", "blue", entries=(Entry(i, "show", 1),)) for i in (0, 1)),
            contents=(*programs.program().contents[:1], programs.show("blue")),
        )
    )


def acts(prover: Prover) -> list[Act]:
    return [way.act for i in (0, 1) for way in prover.ways(i) if way.act.timeline is not None]


def test_currents_that_meet_and_that_do_not() -> None:
    prover = two_lamps()
    one, two = acts(prover)
    flows = {one: [("a", Fraction(3))], two: [("b", Fraction(4))]}
    apart = square(prover, flows, lambda s, t: Fraction(1, 2) if s == t else Fraction(0))
    together = square(prover, flows, lambda s, t: Fraction(1, 2))
    assert apart is not None
    assert together is not None
    assert (apart.upper, apart.best, apart.state[0]) == (Fraction(25, 2), Fraction(25, 2), (1, 1))
    assert (together.upper, together.state[0]) == (Fraction(49, 2), (1, 1))
    prover.close()


def test_currents_of_one_shape_in_one_act_add_up() -> None:
    """Two currents that flow together count as their sum: (3 + 4)^2 / 2."""
    prover = two_lamps()
    one, _two = acts(prover)
    found = square(prover, {one: [("a", Fraction(3)), ("a", Fraction(4))]}, lambda s, t: Fraction(1, 2))
    assert found is not None
    assert (found.upper, found.best, found.state[0]) == (Fraction(49, 2), Fraction(49, 2), (1, 0))
    prover.close()


def test_a_search_given_up_at_once_still_names_a_state() -> None:
    prover = two_lamps()
    one, two = acts(prover)
    found = square(prover, {one: [("a", Fraction(3))], two: [("b", Fraction(4))]}, lambda s, t: Fraction(1, 2), calls=0)
    assert found is not None
    assert found.bound
    assert found.upper >= Fraction(49, 2) >= found.best
    assert len(found.state[0]) == 2
    prover.close()


def test_under_a_condition_and_without_a_state() -> None:
    prover = two_lamps()
    one, two = acts(prover)
    flows = {one: [("a", Fraction(3))], two: [("a", Fraction(4))]}
    only = square(prover, flows, lambda s, t: Fraction(1), under=Is(0, frozenset({0})))
    assert only is not None
    assert (only.upper, only.state[0]) == (16, (0, 1))
    assert square(prover, flows, lambda s, t: Fraction(1), under=Is(0, frozenset())) is None
    nothing = square(prover, {}, lambda s, t: Fraction(1))
    assert nothing is not None
    assert (nothing.upper, nothing.state[0]) == (0, (0, 0))
    prover.close()


def test_a_search_given_up_bounds_from_both_sides_and_takes_the_cap() -> None:
    bounds = capped = 0
    for seed in range(40):
        rng = random.Random(seed)
        program = programs.Maker(seed).make()
        every = [act for act in worsts.all_acts(program) if act.device >= 0][:14]
        if not every:
            continue
        flows, pair = worsts.flows(rng, every)
        true = greatest_square(program, flows, pair)
        prover = Prover(program)
        short = square(prover, flows, pair, calls=0)
        assert (short is None) == (true is None)
        if short is not None and true is not None:
            assert short.best <= true.upper <= short.upper
            bounds += short.bound
            with_cap = square(prover, flows, pair, calls=0, cap=true.upper)
            assert with_cap is not None
            assert with_cap.upper <= short.upper
            assert with_cap.upper >= true.upper
            capped += with_cap.upper < short.upper
        prover.close()
    assert bounds > 3
    assert capped > 0
