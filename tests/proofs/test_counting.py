from __future__ import annotations

from importlib import import_module
from math import prod
from typing import Any

import pytest

from rigbook.proofs import counting
from rigbook.proofs.brute import Table
from rigbook.proofs.counting import count_by_diagram, count_reachable, groups
from rigbook.switching.program import All, Constant, Is, Not, Tap
from tests.proofs.programs import Maker, latching, memory, program, signal, slide, stepping, timer

YES = frozenset({1})


def test_count_equals_looking_at_every_state() -> None:
    counts = set()
    for seed in range(120):
        p = Maker(seed).make()
        count = count_reachable(p)
        assert count == count_by_diagram(p) == len(Table(p, ())), seed
        counts.add(count)
    assert len(counts) > 50


def test_count_without_the_compiled_library(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(counting, "_library", lambda: import_module("dd.autoref"))
    for seed in range(40):
        p = Maker(seed).make()
        assert count_by_diagram(p) == len(Table(p, ())), seed


def test_the_fallback_is_taken_where_the_compiled_library_is_missing(monkeypatch: pytest.MonkeyPatch) -> None:
    def without(name: str) -> Any:
        if name == "dd.cudd":
            raise ImportError(name)
        return import_module(name)

    monkeypatch.setattr(counting, "import_module", without)
    assert counting._library().__name__ == "dd.autoref"


def test_independent_variables_multiply_beyond_floats() -> None:
    variables = tuple(slide(f"s{i}", "a", "b", "c") for i in range(70))
    p = program(variables=variables, impossible=())
    assert count_reachable(p) == count_by_diagram(p) == 3**70
    assert len(groups(p)) == 70


def test_a_tied_group_is_exact_beyond_floats() -> None:
    """70 latching switches, each releasing while the one before is on: words without two neighbours on."""
    variables = [latching("s0")] + [latching(f"s{i}", releases_when=Is(i - 1, YES)) for i in range(1, 70)]
    p = program(variables=tuple(variables))
    assert count_reachable(p) == count_by_diagram(p) == fibonacci(72)


def fibonacci(n: int) -> int:
    a, b = 0, 1
    for _ in range(n):
        a, b = b, a + b
    return a


@pytest.mark.outside
@pytest.mark.parametrize(("switches", "count"), [(1, 2), (2, 3), (3, 5), (4, 8), (5, 13), (10, 144), (20, 17711)])
def test_neighbours_never_on_together_are_fibonacci_numbers(switches: int, count: int) -> None:
    """OEIS A000045, binary words of length n without two adjacent ones: F(n+2)."""
    variables = [latching("s0")] + [latching(f"s{i}", releases_when=Is(i - 1, YES)) for i in range(1, switches)]
    p = program(variables=tuple(variables))
    assert count_reachable(p) == count_by_diagram(p) == count


@pytest.mark.outside
@pytest.mark.parametrize(("switches", "count"), [(3, 4), (4, 7), (5, 11), (6, 18), (10, 123), (20, 15127)])
def test_neighbours_on_a_circle_are_lucas_numbers(switches: int, count: int) -> None:
    """OEIS A000032, independent sets of a cycle of n vertices: Lucas numbers L(n)."""
    variables = tuple(latching(f"s{i}", releases_when=Is((i - 1) % switches, YES)) for i in range(switches))
    p = program(variables=variables)
    assert count_reachable(p) == count_by_diagram(p) == count


@pytest.mark.outside
@pytest.mark.parametrize(("side", "count"), [(1, 2), (2, 7), (3, 63), (4, 1234), (5, 55447), (6, 5598861)])
def test_exclusive_neighbours_on_a_grid(side: int, count: int) -> None:
    """OEIS A006506, independent sets of the n X n grid graph."""
    variables = tuple(latching(f"s{i}") for i in range(side * side))
    pairs = [(r * side + c, r * side + c + 1) for r in range(side) for c in range(side - 1)]
    pairs += [(r * side + c, r * side + c + side) for r in range(side - 1) for c in range(side)]
    p = program(variables=variables, exclusive=tuple(pairs))
    assert count_reachable(p) == count_by_diagram(p) == count


def test_much_entangled_constraints_go_to_the_diagram(monkeypatch: pytest.MonkeyPatch) -> None:
    variables = tuple(latching(f"s{i}") for i in range(25))
    pairs = [(r * 5 + c, r * 5 + c + 1) for r in range(5) for c in range(4)]
    pairs += [(r * 5 + c, r * 5 + c + 5) for r in range(4) for c in range(5)]
    p = program(variables=variables, exclusive=tuple(pairs))
    asked = []
    diagram = counting.count_by_diagram
    monkeypatch.setattr(counting, "count_by_diagram", lambda q: asked.append(q) or diagram(q))
    assert count_reachable(p) == 55447
    assert not asked
    monkeypatch.setattr(counting, "MOST_SPLITS", 20)
    assert count_reachable(p) == 55447
    assert asked == [p]


@pytest.mark.parametrize("count_reachable", [count_reachable, count_by_diagram])
def test_each_kind_of_constraint_by_hand(count_reachable: Any) -> None:
    x = latching("x")
    on = Is(0, YES)
    assert count_reachable(program(variables=(x, latching("y")), exclusive=((0, 1),))) == 3
    assert count_reachable(program(variables=(x, latching("y", releases_when=on)))) == 3
    assert count_reachable(program(variables=(signal("x"),), impossible=((on, "t", 1),))) == 1
    assert count_reachable(program(variables=(signal("x"),), impossible=((Constant(True), "t", 1),))) == 0
    assert count_reachable(program(variables=(x, memory("m", set_when=on)))) == 3
    assert count_reachable(program(variables=(x, memory("m", set_when=on, clear_when=Not(on))))) == 2
    assert count_reachable(program(variables=(x, memory("m", set_when=on, clear_when=on)))) == 3
    assert count_reachable(program(variables=(x, stepping("m", "a", "b", "c", first_when=on)))) == 4
    assert count_reachable(program(variables=(x, timer("t", "off_delay", on)))) == 3
    assert count_reachable(program(variables=(x, timer("t", "off_delay", on, at_most_ms=9)))) == 4
    assert count_reachable(program(variables=(x, timer("t", "on_delay", on)))) == 3
    assert count_reachable(program(variables=(x, timer("t", "pulse", on)))) == 4
    # Events are over when a state is looked at.
    assert count_reachable(program(variables=(x, memory("m", set_when=Tap(0))))) == 4
    assert count_reachable(program(variables=(x, memory("m", set_when=All((Tap(0), on)))))) == 4


def test_many_values_in_one_group() -> None:
    variables = (slide("a", "0", "1", "2", "3", "4"), latching("b", releases_when=Is(0, frozenset({2, 4}))))
    p = program(variables=variables)
    assert count_reachable(p) == 8
    assert count_reachable(p) <= prod(len(v.values) for v in variables)
