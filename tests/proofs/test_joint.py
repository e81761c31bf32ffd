"""All joints of ways against every state, one by one; the smallest state of some; and more of them than are allowed."""

from __future__ import annotations

import random
from collections import Counter

import numpy as np
import pytest

from rigbook.proofs.acts import Act
from rigbook.proofs.brute import Table
from rigbook.proofs.enumeration import smallest
from rigbook.proofs.joint import NONE, joints, least_joints, smallest_state
from rigbook.proofs.reading import lost_sets
from rigbook.proofs.worst import Prover
from rigbook.proofs.worst_brute import goes_on
from rigbook.switching.program import Expression, Program
from tests.proofs import programs, worsts
from tests.switching import generator

REACHED = ("several joints", "one joint", "no state", "lost signals", "none of a group", "under a condition")


def made(seed: int) -> Program:
    return generator.generate(seed).program if seed % 2 else programs.Maker(seed).make()


def by_looking(
    program: Program, acts: list[Act], under: Expression | None
) -> dict[frozenset[Act], list[tuple[Table, np.ndarray]]]:
    """Which of the acts go on together, and in which states."""
    found: dict[frozenset[Act], list[tuple[Table, np.ndarray]]] = {}
    for lost in lost_sets(program):
        table = Table(program, lost)
        counts = np.ones(len(table), bool) if under is None else table.truly(under)
        columns = np.array([goes_on(table, act) for act in acts]).reshape(len(acts), len(table))
        for pattern in np.unique(columns[:, counts], axis=1).T if counts.any() else ():
            where = counts & (columns == pattern[:, None]).all(axis=0)
            together = frozenset(act for act, on in zip(acts, pattern, strict=True) if on)
            found.setdefault(together, []).append((table, where))
    return found


def agree(seed: int, reached: Counter[str]) -> None:
    rng, program = random.Random(seed), made(seed)
    devices = sorted({act.device for act in worsts.all_acts(program) if act.device >= 0})
    prover = Prover(program)
    groups: dict[object, dict[int, list[Act]]] = {}
    acts: dict[Act, None] = {}
    for device in rng.sample(devices, min(3, len(devices))):
        for way in prover.reached(device):
            groups.setdefault(way.group, {}).setdefault(way.literal, []).append(way.act)
            acts[way.act] = None
    literals = [list(group) for group in groups.values()]
    conditions = [f.when for f in program.functions]
    under = rng.choice(conditions) if conditions and rng.random() < 0.5 else None
    base = prover.base(under)
    found = joints(prover.solver, literals, base=base, most=100_000)
    known = by_looking(program, list(acts), under)
    assert found is not None and found == sorted(set(found))

    def together(joint: tuple[int, ...]) -> frozenset[Act]:
        return frozenset(
            act for group, place in zip(groups.values(), joint, strict=True) if place != NONE
            for act in list(group.values())[place]
        )  # fmt: skip

    assert {together(joint) for joint in found} == set(known), seed
    if found:
        wanted = rng.choice(list(known))
        state = smallest_state(prover.solver, literals, [j for j in found if together(j) == wanted], base=base)
        best = min(first for table, where in known[wanted] if (first := smallest(table, where)) is not None)
        assert state == best[1:], seed
        reached["lost signals"] += bool(state[1])
    reached["several joints"] += len(found) > 1
    reached["one joint"] += len(found) == 1
    reached["no state"] += not found
    reached["none of a group"] += any(NONE in joint for joint in found)
    reached["under a condition"] += under is not None
    if len(found) > 1:
        assert joints(prover.solver, literals, base=base, most=len(found) - 1) is None
        assert joints(prover.solver, literals, base=base, most=len(found)) == found
    prover.close()


def least_agree(seed: int, reached: Counter[str]) -> None:
    """The least joints are those of all joints below which no other lies, by random orders of the options."""
    rng, program = random.Random(seed), made(seed)
    devices = sorted({act.device for act in worsts.all_acts(program) if act.device >= 0})
    prover = Prover(program)
    groups: dict[object, dict[int, None]] = {}
    for device in rng.sample(devices, min(4, len(devices))):
        for way in prover.reached(device):
            groups.setdefault(way.group, {})[way.literal] = None
    literals = [list(group) for group in groups.values()]
    weights = [[*([rng.randint(0, 2) for _ in range(2)] for _ in group), [0, 0]] for group in literals]
    below = [
        [frozenset(m if m < len(own) - 1 else NONE for m in range(len(own)) if all(a <= b for a, b in zip(own[m], here, strict=True)))
         for here in own]
        for own in weights
    ]  # fmt: skip
    every = joints(prover.solver, literals, most=100_000)
    found = least_joints(prover.solver, literals, below, most=100_000)
    assert every is not None and found is not None

    def no_more(one: tuple[int, ...], other: tuple[int, ...]) -> bool:
        return all(a in below[g][b] for g, (a, b) in enumerate(zip(one, other, strict=True)))

    assert set(found) <= set(every)
    assert all(any(no_more(least, joint) for least in found) for joint in every), seed
    for least in found:
        assert not any(no_more(other, least) and not no_more(least, other) for other in every), seed
    for coordinate in range(2):

        def worth(joint: tuple[int, ...], coordinate: int = coordinate) -> int:
            return sum(weights[g][option][coordinate] for g, option in enumerate(joint))

        assert min(map(worth, found), default=0) == min(map(worth, every), default=0)
    reached["fewer"] += len(found) < len(every)
    reached["several"] += len(found) > 1
    if len(found) > 1:
        assert least_joints(prover.solver, literals, below, most=len(found) - 1) is None
    prover.close()


def test_least_joints_stand_for_all() -> None:
    reached: Counter[str] = Counter()
    for seed in range(200, 280):
        least_agree(seed, reached)
    assert reached["fewer"] > 10 and reached["several"] > 3, reached


def test_joints_are_those_of_every_state() -> None:
    reached: Counter[str] = Counter()
    for seed in range(80):
        agree(seed, reached)
    assert all(reached[name] for name in REACHED), reached


@pytest.mark.long
def test_joints_of_many_programs() -> None:
    reached: Counter[str] = Counter()
    for seed in range(1000, 1800):
        agree(seed, reached)
    assert reached["several joints"] > 200
