"""What is kept is given back for equal input only, within bounds, whatever threads ask."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

from rigbook.quantities import kept as module
from rigbook.quantities.kept import ENTRIES_AT_MOST, Kept


@dataclass(frozen=True)
class Given:
    name: str
    parts: tuple[float, ...]


def test_equal_input_is_worked_out_once() -> None:
    kept, runs = Kept(), []
    for _ in range(3):
        found = kept.recall("sum", Given("a", (1.0, 2.0)), lambda: runs.append(1) or object())
        assert found is kept.recall("sum", Given("a", (1.0, 2.0)), lambda: runs.append(1) or object())
    assert len(runs) == 1


def test_other_input_and_other_names_are_worked_out_apart() -> None:
    kept = Kept()
    assert kept.recall("sum", Given("a", (1.0,)), lambda: 1) == 1
    assert kept.recall("sum", Given("a", (1.5,)), lambda: 2) == 2
    assert kept.recall("product", Given("a", (1.0,)), lambda: 3) == 3
    assert kept.recall("sum", Given("a", (1.0,)), lambda: 4) == 1


def test_the_longest_unasked_goes_first() -> None:
    kept = Kept()
    for number in range(ENTRIES_AT_MOST):
        kept.recall("it", number, lambda number=number: number)
    kept.recall("it", 0, lambda: -1)
    kept.recall("it", "one more", lambda: 0)
    assert kept.recall("it", 0, lambda: -1) == 0
    assert kept.recall("it", 1, lambda: -1) == -1


def test_a_table_that_has_grown_too_large_is_replaced_not_emptied(monkeypatch) -> None:  # type: ignore[no-untyped-def]
    monkeypatch.setattr(module, "TABLE_AT_MOST", 2)
    kept = Kept()
    first = kept.table("rows", "program")
    first.update({1: "a", 2: "b", 3: "c"})
    second = kept.table("rows", "program")
    assert second == {} and first == {1: "a", 2: "b", 3: "c"}
    assert kept.table("rows", "program") is second
    assert kept.table("rows", "another program") is not second


def test_threads_share_it() -> None:
    kept = Kept()
    with ThreadPoolExecutor(8) as pool:
        found = list(pool.map(lambda n: kept.recall("half", n % 5, lambda: (n % 5) / 2), range(400)))
    assert found == [(n % 5) / 2 for n in range(400)]
