"""The greatest weighted sum of literals against all assignments, its goal, and what is known where it is given up."""

from __future__ import annotations

import random
from itertools import product

from rigbook.proofs.gates import FALSE, TRUE
from rigbook.proofs.optimum import Effort, Optimum, greatest
from rigbook.proofs.symbolic import Solver
from rigbook.switching.program import All, Is
from tests.proofs import programs


def solver_of(switches: int, never: list[tuple[int, int]]) -> Solver:
    """Yes/no switches of which some pairs cannot be on together."""
    program = programs.program(
        variables=tuple(programs.latching(f"s{i}") for i in range(switches)),
        impossible=tuple((All((Is(a, frozenset({1})), Is(b, frozenset({1})))), "b", 1) for a, b in never),
    )  # fmt: skip
    return Solver(program, engine="Glucose4")


def ask(solver: Solver, softs: dict[int, int], **more: int) -> Optimum | None:
    def value() -> int:
        return sum(weight for literal, weight in softs.items() if solver.holds(literal))

    return greatest(solver, softs, value=value, effort=Effort(**{"opinion": 0, **more}))


def test_random_sums_agree_with_all_assignments_and_the_goal_holds_in_the_best_alone() -> None:
    ties = deep = 0
    for seed in range(80):
        rng = random.Random(seed)
        count = rng.randint(2, 6)
        never = [tuple(rng.sample(range(count), 2)) for _ in range(rng.randint(0, 8))]
        solver = solver_of(count, never)  # type: ignore[arg-type]
        on = [solver.encoding.values[i][1] for i in range(count)]
        softs: dict[int, int] = {}
        for _ in range(rng.randint(1, 9)):
            literals = [rng.choice((1, -1)) * rng.choice(on) for _ in range(rng.randint(1, 3))]
            softs[rng.choice((solver.gates.any_of, solver.gates.all_of))(literals)] = rng.randint(1, 5)
        found = ask(solver, softs, greedy_from=rng.choice((0, 40)))
        assert found is not None
        assert found.exact
        values = {}
        for state in product((0, 1), repeat=count):
            if any(state[a] and state[b] for a, b in never):
                continue
            assert solver.solve([literal if bit else -literal for literal, bit in zip(on, state, strict=True)])
            values[state] = sum(weight for literal, weight in softs.items() if literal == TRUE or solver.holds(literal))
        most = max(values.values())
        assert found.upper == found.best == values[found.state[0]] == most
        reaching = {state for state, value in values.items() if value == most}
        assert found.goal is not None
        for state in values:
            literals = [literal if bit else -literal for literal, bit in zip(on, state, strict=True)]
            assert solver.solve((*literals, found.goal)) == (state in reaching), seed
        ties += len(reaching) > 1
        deep += most < sum(softs.values())
        solver.close()
    assert min(ties, deep) > 15


def test_a_sum_given_up_has_a_bound_above_and_a_state_below() -> None:
    never = [(a, b) for a in range(12) for b in range(a)]
    solver = solver_of(12, never)
    softs = {solver.encoding.values[i][1]: 10 + i for i in range(12)}
    for calls in (0, 1, 3, 10):
        found = ask(solver, softs, calls=calls)
        assert found is not None
        assert found.best <= 21 <= found.upper
        assert found.exact == (found.goal is not None)
    assert not ask(solver, softs, calls=0).exact  # type: ignore[union-attr]
    whole = ask(solver, softs)
    assert whole is not None
    assert (whole.upper, whole.best, whole.exact) == (21, 21, True)
    solver.close()


def test_no_state_no_sum_and_nothing_wanted_is_nothing() -> None:
    solver = solver_of(2, [])
    one = solver.encoding.values[0][1]
    assert greatest(solver, {one: 1}, base=(one, -one), value=lambda: 0, effort=Effort()) is None
    nothing = ask(solver, {})
    assert nothing is not None
    assert (nothing.upper, nothing.best) == (0, 0)
    never = greatest(solver, {FALSE: 3, one: 1}, value=lambda: int(solver.holds(one)), effort=Effort())
    assert never is not None
    assert (never.upper, never.best) == (1, 1)
    solver.close()


def test_effort_is_kept_to() -> None:
    never = [(a, b) for a in range(10) for b in range(a)]
    solver = solver_of(10, never)
    softs = {solver.encoding.values[i][1]: 10 + i for i in range(10)}
    calls = []
    solve = solver.solve_within

    def counted(*arguments: object, **more: int) -> bool | None:
        calls.append(more["conflicts"])
        return solve(*arguments, **more)  # type: ignore[arg-type]

    solver.solve_within = counted  # type: ignore[assignment, method-assign]
    given_up = ask(solver, softs, calls=2)
    assert given_up is not None
    assert not given_up.exact
    assert len(calls) == 2
    calls.clear()
    assert not ask(solver, softs, propagations=-1).exact  # type: ignore[union-attr]
    assert calls == []
    whole = ask(solver, softs, conflicts=77, core_conflicts=7)
    assert whole is not None
    assert whole.exact
    assert set(calls) == {77, 7}
    assert len(calls) < 60
    solver.close()


def test_a_good_state_is_sought_first_where_there_are_many() -> None:
    solver = solver_of(6, [(0, 1), (2, 3), (4, 5)])
    softs = {solver.encoding.values[i][1]: 1 + i for i in range(6)}
    first = ask(solver, softs, greedy_from=0, calls=6)
    assert first is not None
    assert first.best == 2 + 4 + 6
    assert first.state[0] == (0, 1, 0, 1, 0, 1)
    solver.close()
