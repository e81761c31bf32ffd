"""Acts and their ways: of one group never two at once, and together what evaluating a state says."""

from __future__ import annotations

import random

from rigbook.power.flowing import going_on
from rigbook.proofs.acts import Act, acts_of, dim_levels, live, ways_of
from rigbook.proofs.gates import TRUE
from rigbook.proofs.symbolic import Solver
from rigbook.switching.evaluate import Evaluator
from rigbook.switching.program import DimEntry, Is
from tests.proofs import programs
from tests.switching import generator


def test_ways_of_a_group_exclude_each_other_and_agree_with_evaluating_the_state() -> None:
    looked = grouped = 0
    for seed in range(40):
        program = generator.generate(seed).program if seed % 2 else programs.Maker(seed).make()
        solver = Solver(program)
        evaluator = Evaluator(program)
        rng = random.Random(seed)
        ways = [way for i in range(len(program.devices)) for way in ways_of(solver.encoding, i)]
        solver.solve(())
        for _ in range(6):
            wanted = [rng.choice((1, -1)) * rng.choice(ways).literal for _ in range(2)] if ways else []
            if not solver.solve(wanted):
                continue
            values, lost = solver.state()
            going = going_on(evaluator, values, lost)
            on = {way.act for way in ways if solver.holds(way.literal)}
            assert on == {act for act in going if act.device >= 0}, seed
            held: dict[object, set[int]] = {}
            for way in ways:
                if solver.holds(way.literal) and way.literal != TRUE:
                    held.setdefault(way.group, set()).add(way.literal)
            assert all(len(literals) == 1 for literals in held.values()), seed
            looked += len(on)
            grouped += len(held)
        solver.close()
    assert looked > 200
    assert grouped > 100


def test_every_way_is_of_an_act_that_the_device_has() -> None:
    looked = 0
    for seed in range(20):
        program = programs.Maker(seed).make()
        solver = Solver(program)
        for i in range(len(program.devices)):
            every = set(acts_of(program, i))
            for way in ways_of(solver.encoding, i):
                assert way.act in every
                looked += 1
        solver.close()
    assert looked > 100


def test_dims_reach_shows_alone() -> None:
    lamp = programs.lamp("a", "blue", dims=(DimEntry(0, 0.4), DimEntry(1, 0.4), DimEntry(2, 0.2)))
    content = programs.show("blue")
    assert dim_levels(lamp, content, shown=True) == (1.0, 0.4, 0.2)
    assert dim_levels(lamp, content, shown=False) == (1.0,)
    assert dim_levels(lamp, programs.show("blue", undimmed=True), shown=True) == (1.0,)


def test_acts_are_equal_by_timeline_though_their_hash_leaves_it_out() -> None:
    one, other = Act(0, "blue", programs.blink(1, 1)), Act(0, "blue", programs.blink(2, 1))
    assert hash(one) == hash(other)
    assert one != other
    assert live(3) == Act(-1, feed=3)
    assert Is(0, frozenset({1})) is not None
