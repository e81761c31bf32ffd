"""Random questions for worst cases: weights, alternatives and products over the acts of a program."""

from __future__ import annotations

import random
from collections.abc import Hashable
from fractions import Fraction
from typing import Any

from rigbook.proofs.acts import Act, acts_of, live
from rigbook.switching.program import Program


def all_acts(program: Program) -> list[Act]:
    """Every act of every device, and every feed's."""
    acts = [act for i in range(len(program.devices)) for act in acts_of(program, i)]
    return [*acts, live(None), *(live(i) for i in range(len(program.feeds)))]


def some(rng: random.Random, acts: list[Act]) -> list[Act]:
    """All of them, those of a few devices, or a few."""
    if rng.random() < 0.3:
        return acts
    devices = {act.device for act in acts}
    chosen = set(rng.sample(sorted(devices), min(len(devices), rng.randint(1, 3))))
    return [act for act in acts if act.device in chosen and rng.random() < 0.9]


def weight(rng: random.Random) -> Fraction:
    """Often equal ones, so that ties are met; sometimes none."""
    return Fraction(rng.choice((0, 1, 1, 2, 3, 5, 7, 20)), rng.choice((1, 1, 2, 3, 10)))


def parts(rng: random.Random, acts: list[Act]) -> list[dict[Act, tuple[Fraction, ...]]]:
    """One part without a choice, or some with alternatives."""
    if rng.random() < 0.4:
        return [{act: (weight(rng),) for act in acts}]
    made = []
    for _ in range(rng.randint(1, 3)):
        count = rng.randint(1, 4)
        own = [act for act in acts if rng.random() < 0.6]
        made.append({act: tuple(weight(rng) for _ in range(count)) for act in own})
    return [part for part in made if part]


def flows(rng: random.Random, acts: list[Act]) -> tuple[dict[Act, list[tuple[Hashable, Fraction]]], Any]:
    """What flows under each act, and mean products of shapes, none above what two shapes can have together."""
    shapes = list(range(rng.randint(1, 4)))
    vectors = {shape: [Fraction(rng.randint(0, 1)) for _ in range(6)] for shape in shapes}
    vectors[0] = [Fraction(1)] * 6

    def pair(a: int, b: int) -> Fraction:
        return sum((x * y for x, y in zip(vectors[a], vectors[b], strict=True)), Fraction(0)) / 6

    made: dict[Act, list[tuple[Hashable, Fraction]]] = {}
    for act in acts:
        amounts = [
            (rng.choice(shapes), Fraction(rng.randint(1, 6), rng.choice((1, 2)))) for _ in range(rng.choice((1, 1, 2)))
        ]
        made[act] = list(amounts)
    return made, pair
