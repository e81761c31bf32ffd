"""Lower bounds by hand; that none lies above the shortest walk is in `test_walk`."""

from __future__ import annotations

from itertools import pairwise, product

from rigbook.proofs.walk_bound import fewest_moves, fewest_visits


def test_fewest_values_that_meet_every_set() -> None:
    assert fewest_visits(set(), 0) == 0
    assert fewest_visits({frozenset({1}), frozenset({2})}, 0) == 2
    assert fewest_visits({frozenset({1, 2}), frozenset({2, 3})}, 0) == 1
    assert fewest_visits({frozenset({0, 1}), frozenset({2})}, 2) == 0  # the first for free, the start stands there


def test_fewest_moves_against_every_short_list() -> None:
    """A signal of three values: the fewest moves that leave each value so often, by trying every list of values."""
    looked = 0
    for wanted in product(range(3), repeat=3):
        if sum(wanted) == 0:
            continue
        bound = fewest_moves({v: n for v, n in enumerate(wanted) if n}, 0)
        for length in range(8):
            lists = (values for values in product(range(3), repeat=length) if _leaves(values, wanted))
            if next(lists, None) is not None:
                assert bound <= length, (wanted, bound, length)
                looked += 1
                break
    assert looked > 20
    assert fewest_moves({0: 3}, 0) == 5  # away, back, away, back, away
    assert fewest_moves({0: 2, 1: 1}, 0) == 3


def _leaves(values: tuple[int, ...], wanted: tuple[int, ...]) -> bool:
    way = (0, *values)
    if any(a == b for a, b in pairwise(way)):
        return False
    return all(way[:-1].count(v) >= n for v, n in enumerate(wanted))
