"""Worst cases against every state, one by one: values, witnesses; and that each construct was met."""

from __future__ import annotations

import random
from collections import Counter

import pytest

from rigbook.proofs.squares import square
from rigbook.proofs.worst import Prover, Worst
from rigbook.proofs.worst_brute import greatest_square, greatest_sum
from rigbook.switching.program import Program
from tests.proofs import programs, worsts
from tests.switching import generator

REACHED = (
    "sum", "alternatives", "several parts", "square", "square of several devices", "under a condition", "lost signals",
    "no state", "rest", "tie between states", "dimmed", "taken", "feed", "state", "value above none",
)  # fmt: skip


def made(seed: int) -> Program:
    """Programs of both generators in turn."""
    return generator.generate(seed).program if seed % 2 else programs.Maker(seed).make()


def agree(seed: int, reached: Counter[str]) -> None:
    """Ask a few questions of one program by both ways."""
    rng = random.Random(seed)
    program = made(seed)
    every = worsts.all_acts(program)
    prover = Prover(program)
    conditions = [f.when for f in program.functions]
    for _ in range(3):
        acts = worsts.some(rng, every)
        under = rng.choice(conditions) if conditions and rng.random() < 0.25 else None
        parts = worsts.parts(rng, acts)
        found = prover.sum(parts, under=under)
        known = greatest_sum(program, parts, under=under)
        assert found == known, seed
        tell(reached, acts, found, under)
        reached["sum"] += 1
        reached["alternatives"] += any(len(ws) > 1 for part in parts for ws in part.values())
        reached["several parts"] += len(parts) > 1
    acts = worsts.some(rng, every)[:12]
    flows, pair = worsts.flows(rng, acts)
    squared = square(prover, flows, pair, calls=100_000)
    assert squared == greatest_square(program, flows, pair), seed
    reached["square"] += 1
    reached["square of several devices"] += len({act.device for act in acts}) > 1
    prover.close()


def tell(reached: Counter[str], acts: list, found: Worst | None, under: object) -> None:
    """Count what one question was about."""
    reached["under a condition"] += under is not None
    reached["no state"] += found is None
    reached["dimmed"] += any(act.timeline and any(s.intensity_from < 1 for s in act.timeline.spans) for act in acts)
    reached["taken"] += any(act.taken for act in acts)
    reached["feed"] += any(act.device < 0 and act.feed is not None for act in acts)
    reached["state"] += any(act.device >= 0 and act.timeline is None for act in acts)
    if found is not None:
        reached["lost signals"] += bool(found.state[1])
        reached["rest"] += not found.state[1] and not any(found.state[0])
        reached["value above none"] += found.upper > 0
        reached["tie between states"] += found.upper == 0


def check_reached(reached: Counter[str]) -> None:
    missing = [name for name in REACHED if not reached[name]]
    assert not missing, (missing, reached)


def test_random_programs_agree_with_every_state() -> None:
    reached: Counter[str] = Counter()
    for seed in range(60):
        agree(seed, reached)
    check_reached(reached)


@pytest.mark.long
def test_five_thousand_random_programs_agree_with_every_state() -> None:
    reached: Counter[str] = Counter()
    for seed in range(1_000, 6_000):
        agree(seed, reached)
    check_reached(reached)
    assert reached["sum"] == 15_000
