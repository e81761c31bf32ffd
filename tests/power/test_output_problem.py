"""The best outputs against every answer there is, on small problems made at random."""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Iterator
from itertools import product

import pytest

from rigbook.power.output_problem import (
    Answer,
    Bank,
    Channel,
    Load,
    Problem,
    copper_of,
    fits,
    modules_of,
    simple_answer,
    solve,
)


def partitions(items: list[int]) -> Iterator[list[tuple[int, ...]]]:
    """Every way to put items into groups."""
    if not items:
        yield []
        return
    first, rest = items[0], items[1:]
    for groups in partitions(rest):
        yield [(first,), *groups]
        for index, group in enumerate(groups):
            yield [*groups[:index], (first, *group), *groups[index + 1 :]]


def every_answer(problem: Problem) -> Iterator[tuple[tuple[tuple[int, ...], ...], ...]]:
    """Every choice of banks and every grouping on them."""
    for banks in product(*([bank for bank, _ in channel.copper] for channel in problem.channels)):
        members = [[n for n, b in enumerate(banks) if b == bank] for bank in range(len(problem.banks))]
        for groups in product(*(list(partitions(own)) for own in members)):
            yield tuple(tuple(tuple(sorted(g)) for g in own) for own in groups)


def best_by_trying(problem: Problem) -> tuple[int, int] | None:
    return min(((modules_of(problem, o), copper_of(problem, o)) for o in every_answer(problem) if fits(problem, o)),
               default=None)  # fmt: skip


def drawn(rng: random.Random, reached: Counter[str]) -> Problem:
    banks = tuple(
        Bank(module=rng.randrange(2) if n else 0, free=rng.randint(1, 3), output_ma=rng.choice([3000, 8000]),
             limit_ma=rng.choice([None, 4000, 9000])) for n in range(rng.randint(1, 3))
    )  # fmt: skip
    channels = []
    spans = [rng.randint(1, 60) for _ in range(2)]
    for _ in range(rng.randint(1, 5)):
        able = rng.sample(range(len(banks)), rng.randint(1, len(banks)))
        kind = rng.choice([-1, 0, 0, 1])
        chain = rng.choice([-1, kind]) if kind >= 0 else -1
        if chain >= 0:  # what hangs in one chain hangs in one place
            able = list(range(len(banks)))
            copper = tuple((b, 100 + spans[chain] * (b + 1)) for b in able)
        else:
            copper = tuple((b, rng.randint(1, 200)) for b in sorted(able))
        channels.append(Channel(rng.choice([500, 1500, 2500]), copper, kind, chain, 7 if chain >= 0 else 0))
        reached["kind" if kind >= 0 else "no kind"] += 1
        reached["chain"] += chain >= 0
    loads = []
    for _ in range(rng.randint(0, 2)):
        loads.append(Load(tuple(rng.choice([0, c.ma]) for c in channels), tuple(rng.choice([0, 1000]) for _ in banks)))
        reached["load"] += 1
    reached["limit"] += any(b.limit_ma for b in banks)
    return Problem(tuple(channels), banks, frozenset(rng.choice([[], [0]])), tuple(loads))


def test_no_better_answer_exists_and_none_is_missed() -> None:
    rng, reached = random.Random(8), Counter[str]()
    for _ in range(120):
        problem = drawn(rng, reached)
        expected, found = best_by_trying(problem), solve(problem)
        if expected is None:
            assert found is None
            reached["no answer"] += 1
            continue
        assert found is not None, problem
        assert fits(problem, found.outputs)
        assert (found.modules, found.copper) == expected, problem
        assert found.proven
        reached["shared"] += any(len(g) > 1 for groups in found.outputs for g in groups)
        reached["plain"] += simple_answer(problem) is not None
        reached["solved"] += simple_answer(problem) is None
    wanted = ("kind", "no kind", "chain", "load", "limit", "no answer", "shared", "plain", "solved")
    assert all(reached[name] >= 5 for name in wanted), reached


def test_a_plain_problem_does_not_wake_the_solver(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(__import__("sys").modules, "ortools", None)
    problem = Problem(
        tuple(Channel(1000 + n, ((0, 10 + n),)) for n in range(4)), (Bank(0, 4, 5000, 9000),), frozenset()
    )
    assert solve(problem) == Answer((((0,), (1,), (2,), (3,)),), 1, 46, 1, 46)


def test_equal_problems_give_equal_answers() -> None:
    rng = random.Random(3)
    for _ in range(10):
        problem = drawn(rng, Counter())
        assert solve.__wrapped__(problem) == solve.__wrapped__(problem)


def test_a_bank_that_is_too_full_already_takes_no_more() -> None:
    banks = (Bank(0, 4, 5000, 2000), Bank(1, 4, 5000, 2000))
    problem = Problem((Channel(500, ((0, 1), (1, 9))),), banks, frozenset([0]), (Load((500,), (3000, 0)),))
    found = solve(problem)
    assert found is not None
    assert found.outputs == ((), ((0,),))


def test_what_no_output_bears_has_no_answer() -> None:
    assert solve(Problem((Channel(9000, ((0, 1),)),), (Bank(0, 4, 5000, None),), frozenset())) is None
