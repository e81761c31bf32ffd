from __future__ import annotations

from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rigbook.proofs.gates import FALSE, TRUE, Gates

pysat_solvers = pytest.importorskip("pysat.solvers")


def models(gates: Gates, inputs: list[int], watched: list[int]) -> dict[tuple[bool, ...], tuple[bool, ...]]:
    """For every value of the inputs, the only value of the watched literals."""
    table = {}
    with pysat_solvers.Cadical195(bootstrap_with=gates.take_clauses()) as solver:
        for values in product((False, True), repeat=len(inputs)):
            assumptions = [i if v else -i for i, v in zip(inputs, values, strict=True)]
            assert solver.solve(assumptions=assumptions)
            model = set(solver.get_model())
            table[values] = tuple(w in model for w in watched)
            # Tseitin gates are functions of their inputs: no other value is possible.
            for w, v in zip(watched, table[values], strict=True):
                assert not solver.solve(assumptions=[*assumptions, -w if v else w])
    return table


@pytest.mark.parametrize("count", range(1, 8))
def test_counter_counts(count: int) -> None:
    gates = Gates()
    inputs = [gates.new() for _ in range(count)]
    unary = gates.at_least(inputs)
    assert len(unary) == count
    for values, watched in models(gates, inputs, unary).items():
        assert watched == tuple(k < sum(values) for k in range(count))


def test_gates_mean_what_they_say() -> None:
    gates = Gates()
    a, b, c = (gates.new() for _ in range(3))
    watched = [gates.all_of((a, -b, c)), gates.any_of((a, -b, c)), gates.differ(a, c)]
    for (x, y, z), got in models(gates, [a, b, c], watched).items():
        assert got == (x and not y and z, x or not y or z, x != z)


def test_constants_and_sharing() -> None:
    gates = Gates()
    a, b = gates.new(), gates.new()
    assert gates.all_of(()) == TRUE
    assert gates.any_of(()) == FALSE
    assert gates.all_of((a, TRUE)) == a
    assert gates.all_of((a, FALSE)) == gates.all_of((a, -a)) == FALSE
    assert gates.all_of((a, b)) == gates.all_of((b, a, a))
    assert gates.any_of((a, b)) == -gates.all_of((-a, -b))
    assert gates.differ(a, a) == FALSE
    assert gates.differ(a, -a) == TRUE


@settings(max_examples=30, deadline=None)
@given(st.integers(2, 6))
def test_exactly_one(count: int) -> None:
    gates = Gates()
    literals = [gates.new() for _ in range(count)]
    gates.exactly_one(literals)
    with pysat_solvers.Cadical195(bootstrap_with=gates.take_clauses()) as solver:
        for values in product((False, True), repeat=count):
            assumptions = [i if v else -i for i, v in zip(literals, values, strict=True)]
            assert solver.solve(assumptions=assumptions) == (sum(values) == 1)


def queens(gates: Gates, size: int) -> list[int]:
    """Clauses for queens that do not attack each other, one in each row; the squares' literals."""
    square = {(r, c): gates.new() for r in range(size) for c in range(size)}
    for r in range(size):
        gates.exactly_one([square[r, c] for c in range(size)])
    places = sorted(square)
    for i, (r, c) in enumerate(places):
        for s, d in places[:i]:
            if r != s and (c == d or abs(r - s) == abs(c - d)):
                gates.clause(-square[r, c], -square[s, d])
    return [square[p] for p in places]


@pytest.mark.outside
@pytest.mark.parametrize(("size", "count"), [(4, 2), (5, 10), (6, 4), (7, 40)])
def test_queens_have_the_published_numbers_of_solutions(size: int, count: int) -> None:
    """OEIS A000170, number of ways of placing n non-attacking queens."""
    gates = Gates()
    squares = queens(gates, size)
    found = 0
    with pysat_solvers.Cadical195(bootstrap_with=gates.take_clauses()) as solver:
        while solver.solve():
            model = set(solver.get_model())
            found += 1
            solver.add_clause([-s for s in squares if s in model])
    assert found == count
