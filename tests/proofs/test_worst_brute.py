"""The oracle for worst cases against evaluating each state by itself."""

from __future__ import annotations

import random
from fractions import Fraction

from rigbook.power.flowing import going_on
from rigbook.proofs.brute import Table
from rigbook.proofs.reading import lost_sets
from rigbook.proofs.witness import order_key
from rigbook.proofs.worst_brute import goes_on, greatest_sum
from rigbook.switching.evaluate import Evaluator
from tests.proofs import programs, worsts


def test_columns_and_maxima_agree_with_evaluating_every_state() -> None:
    looked = 0
    for seed in range(12):
        rng = random.Random(seed)
        program = programs.Maker(seed).make()
        acts = worsts.all_acts(program)
        weights = {act: (worsts.weight(rng),) for act in acts}
        evaluator = Evaluator(program)
        best: tuple[Fraction, object, object] | None = None
        for lost in lost_sets(program):
            table = Table(program, lost)
            columns = {act: goes_on(table, act) for act in acts}
            for row in range(0, len(table)):
                values = tuple(int(column[row]) for column in table.columns)
                going = going_on(evaluator, values, lost)
                assert {act for act, on in columns.items() if on[row]} == going & set(acts), seed
                worth = sum((weights[act][0] for act in going if act in weights), Fraction(0))
                key = (-worth, order_key(program, values, lost))
                if best is None or key < best[:2]:
                    best = (*key, (values, lost))  # type: ignore[assignment]
                looked += 1
        found = greatest_sum(program, [weights])
        assert (found is None) == (best is None)
        if found is not None and best is not None:
            assert (found.upper, found.state) == (-best[0], best[2])
    assert looked > 1_000
