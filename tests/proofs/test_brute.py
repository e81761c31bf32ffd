"""The columns of plain enumeration, state by state against the evaluator that everything else uses."""

from __future__ import annotations

import random

from rigbook.proofs.brute import Table
from rigbook.proofs.reading import lost_sets
from rigbook.switching.evaluate import Evaluator
from rigbook.switching.states import Constraints
from tests.proofs.programs import Maker

SEEDS = range(60)


def compare_state(table: Table, row: int, evaluator: Evaluator) -> int:
    """Compare one row with the evaluator's outcome; the number of things compared."""
    p = table.program
    values = tuple(int(c[row]) for c in table.columns)
    outcome = evaluator.outcome(values, table.lost)
    compared = 0
    for f in range(len(p.functions)):
        assert bool(table.active(f)[row]) == outcome.active[f]
        compared += 1
    for f in range(len(p.feeds)):
        assert bool(table.live(f)[row]) == outcome.feeds_live[f]
        compared += 1
    for i, d in enumerate(p.devices):
        number = int(table.decided(i)[row])
        assert (None if number < 0 else d.entries[number].function) == outcome.deciding[i]
        assert {c for c in d.colours if table.lit(i, c)[row]} == {c for c, _ in outcome.lit[i]}
        dimmed = int(table.dimming(i)[row])
        assert (d.dims[dimmed].function if dimmed >= 0 else None) == (outcome.dimmed_by[i] if outcome.lit[i] else None)
        for state in d.states:
            assert bool(table.in_state(i, state)[row]) == (outcome.driven[i] == state)
        compared += 3
    for requirement in p.requirements:
        broken = bool(table.truly(requirement.never)[row])
        assert broken == (not evaluator.requirement_holds(requirement, values, table.lost))
        compared += 1
    return compared


def test_columns_agree_with_the_evaluator() -> None:
    compared = states = 0
    for seed in SEEDS:
        p = Maker(seed).make()
        evaluator = Evaluator(p)
        picker = random.Random(seed)
        for lost in lost_sets(p):
            table = Table(p, lost, constrained=False)
            for row in picker.sample(range(len(table)), min(len(table), 25)):
                compared += compare_state(table, row, evaluator)
                states += 1
    assert states > 2000
    assert compared > 30_000


def test_reachable_states_agree_with_the_constraints() -> None:
    """Membership row by row."""
    inside = outside = 0
    for seed in SEEDS:
        p = Maker(seed).make()
        rules = Constraints(p)
        for lost in lost_sets(p):
            table = Table(p, lost, constrained=False)
            reachable = set(Table(p, lost).flat.tolist())
            picker = random.Random(seed)
            for row in picker.sample(range(len(table)), min(len(table), 60)):
                values = tuple(int(c[row]) for c in table.columns)
                assert rules.holds(values, table.lost) == (row in reachable), (seed, values, lost)
                inside += row in reachable
                outside += row not in reachable
    assert inside > 1000
    assert outside > 1000
