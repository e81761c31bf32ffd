"""The second opinion against every state: values, bounds, and the smallest state among those that reach the greatest."""

from __future__ import annotations

import random
from collections import Counter
from itertools import product

from rigbook.proofs.gates import FALSE, TRUE, Gates
from rigbook.proofs.optimum import Effort
from rigbook.proofs.second_opinion import GREATEST_WEIGHT, opinion
from rigbook.proofs.worst import Prover
from rigbook.proofs.worst_brute import greatest_sum
from tests.proofs import worsts
from tests.proofs.programs import Maker


def test_alone_it_agrees_with_every_state_on_values_and_smallest_witnesses() -> None:
    reached: Counter[str] = Counter()
    alone = Effort(propagations=-1, opinion=50.0)
    for seed in range(60):
        rng = random.Random(seed)
        program = Maker(seed).make()
        acts = worsts.some(rng, worsts.all_acts(program))
        prover = Prover(program, effort=alone)
        for parts in (worsts.parts(rng, acts), worsts.parts(rng, acts)):
            found, known = prover.sum(parts), greatest_sum(program, parts)
            assert found == known, seed
            if found is not None:
                reached["sum"] += 1
                reached["lost"] += bool(found.state[1])
                reached["above none"] += found.upper > 0
                reached["several off rest"] += sum(map(bool, found.state[0])) > 1
                reached["alternatives"] += any(len(ws) > 1 for part in parts for ws in part.values())
        prover.close()
    assert min(reached[name] for name in ("sum", "lost", "above none", "several off rest", "alternatives")) >= 5, (
        reached
    )


def test_a_formula_against_all_assignments() -> None:
    for seed in range(15):
        rng = random.Random(seed)
        gates = Gates()
        inputs = [gates.new() for _ in range(5)]
        gates.exactly_one(inputs[:3])
        made = list(inputs)
        for _ in range(6):
            gate = rng.choice((gates.all_of, gates.any_of))(rng.choice((1, -1)) * v for v in rng.sample(made, 2))
            if abs(gate) != TRUE:
                made.append(gate)
        demanded = rng.choice(made)
        softs = {v: rng.randint(1, 9) * 4 for v in rng.sample(made, 3)} | {TRUE: 4}
        clauses = gates.take_clauses()
        sums = []
        for bits in product((False, True), repeat=gates.top - 1):
            holds = dict(zip(range(2, gates.top + 1), bits, strict=True)) | {TRUE: True}
            if all(any(holds[abs(v)] == (v > 0) for v in clause) for clause in (*clauses, [demanded])):
                sums.append(sum(weight for v, weight in softs.items() if holds[abs(v)] == (v > 0)))
        found = opinion(gates, softs, demanded=(demanded,), hint=inputs, effort=10.0)
        if not sums:
            assert found is None
            continue
        assert found is not None
        assert found.literals is not None
        assert found.upper == max(sums)
        assert sum(weight for v, weight in softs.items() if v == TRUE or v in found.literals) == found.upper


def test_what_cannot_be_asked() -> None:
    gates = Gates()
    one, two = gates.new(), gates.new()
    assert opinion(gates, {FALSE: 3, TRUE: 2}, demanded=(one,), effort=1.0) is None
    assert opinion(gates, {one: GREATEST_WEIGHT, two: 3}, demanded=(), effort=1.0) is None
    assert opinion(gates, {one: 3}, demanded=(one, -one), effort=1.0) is None
    assert opinion(gates, {one: 3, two: 4}, demanded=(), effort=0.0) is None
    large = opinion(gates, {one: GREATEST_WEIGHT * 6, two: 6}, demanded=(), effort=1.0)
    assert large is None
    shared = opinion(gates, {one: 3 * GREATEST_WEIGHT // 4, two: GREATEST_WEIGHT // 4}, demanded=(-two,), effort=1.0)
    assert shared is not None
    assert shared.upper == 3 * GREATEST_WEIGHT // 4


def test_it_answers_equally_each_time() -> None:
    rng = random.Random(3)
    program = Maker(3).make()
    parts = worsts.parts(rng, worsts.all_acts(program))
    answers = set()
    for _ in range(2):
        prover = Prover(program, effort=Effort(propagations=-1, opinion=50.0))
        found = prover.sum(parts)
        assert found is not None
        answers.add((found.upper, found.state))
        prover.close()
    assert len(answers) == 1
