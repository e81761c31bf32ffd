"""Strips on a roll: exact on puzzles with a known answer, against every order on small cases, and never overlapping."""

from __future__ import annotations

import itertools

import numpy as np
import pytest

from rigbook.documents.schema.marking import MarkingArea
from rigbook.light.markings import bands
from rigbook.light.nesting import DoesNotFit, Laid, Nest, Strip, extent_m, lower_bound_mm, nest, shelves


def strips(*sizes: tuple[int, int]) -> list[Strip]:
    return [Strip(id=f"s{n}", length_mm=length, width_mm=width) for n, (length, width) in enumerate(sizes)]


def check(found: Nest, wanted: list[Strip]) -> None:
    """Every strip once, inside the roll, none over another."""
    assert sorted(one.strip.id for one in found.laid) == sorted(s.id for s in wanted)
    for one in found.laid:
        assert one.along_mm >= 0 <= one.across_mm and one.across_mm + one.size_mm[1] <= found.roll_width_mm
        assert one.along_mm + one.size_mm[0] <= found.used_mm
    for a, b in itertools.combinations(found.laid, 2):
        apart_along = a.along_mm + a.size_mm[0] <= b.along_mm or b.along_mm + b.size_mm[0] <= a.along_mm
        apart_across = a.across_mm + a.size_mm[1] <= b.across_mm or b.across_mm + b.size_mm[1] <= a.across_mm
        assert apart_along or apart_across, (a, b)
    assert found.bound_mm <= found.used_mm and 0 <= found.waste_share < 1


def test_a_cut_up_rectangle_is_put_together_again() -> None:
    """Known answer: 600 by 1100 mm cut into seven strips leaves nothing over."""
    wanted = strips((400, 300), (400, 300), (600, 200), (250, 400), (350, 400), (300, 100), (300, 100))
    assert sum(s.length_mm * s.width_mm for s in wanted) == 600 * 1100
    found = nest("p", wanted, width_mm=600, length_mm=5000)
    check(found, wanted)
    assert found.used_mm == found.bound_mm == 1100 and found.waste_share == pytest.approx(0.0, abs=1e-9)


@pytest.mark.outside
@pytest.mark.parametrize("seed", range(5))
def test_small_cases_agree_with_every_order(seed: int) -> None:
    """Brute force: every order and turning of four strips, each slid down to the lowest place it fits, left to right."""
    rng = np.random.default_rng(seed)
    wanted = strips(*((int(a), int(b)) for a, b in rng.integers(2, 9, (4, 2))))
    found = nest("p", wanted, width_mm=10, length_mm=100)
    check(found, wanted)
    best = min(
        _slid([s if not turned else (s[1], s[0]) for s, turned in zip(order, turns, strict=True)], 10)
        for order in itertools.permutations([(s.length_mm, s.width_mm) for s in wanted])
        for turns in itertools.product((False, True), repeat=4)
    )
    assert found.used_mm == best == found.bound_mm


def _slid(sizes: list[tuple[int, int]], width: int) -> int:
    """Length used when each goes to the first free place, along first, on a grid of whole units."""
    taken = np.zeros((60, width), bool)
    used = 0
    for along, across in sizes:
        if across > width:
            return 10_000
        place = next(
            (x, y)
            for x in range(60 - along)
            for y in range(width - across + 1)
            if not taken[x : x + along, y : y + across].any()
        )
        taken[place[0] : place[0] + along, place[1] : place[1] + across] = True
        used = max(used, place[0] + along)
    return used


def test_shelves_are_a_packing_and_the_exact_one_is_no_longer() -> None:
    rng = np.random.default_rng(9)
    wanted = strips(*((int(a), int(b)) for a, b in rng.integers(80, 700, (14, 2))))
    plain = shelves(wanted, width_mm=1220)
    length = max(one.along_mm + one.size_mm[0] for one in plain)
    check(Nest(part="p", roll_width_mm=1220, laid=plain, used_mm=length, bound_mm=0), wanted)
    found = nest("p", wanted, width_mm=1220, length_mm=20_000, effort_s=2)
    check(found, wanted)
    assert lower_bound_mm(wanted, width_mm=1220) <= found.bound_mm <= found.used_mm <= length
    assert nest("p", wanted, width_mm=1220, length_mm=20_000, effort_s=2) == found  # equal input, equal nest


def test_long_strips_lie_along_the_roll_and_what_does_not_fit_is_said() -> None:
    wanted = strips((3000, 100), (200, 1300))
    found = nest("p", wanted, width_mm=1220, length_mm=4000)
    check(found, wanted)
    assert {one.strip.id: one.turned for one in found.laid} == {"s0": False, "s1": True}
    for bad in (strips((5000, 1300)), strips((4500, 100))):
        with pytest.raises(DoesNotFit, match="split the marking"):
            nest("p", bad, width_mm=1220, length_mm=4000)
    with pytest.raises(DoesNotFit, match="a roll holds"):
        nest("p", strips(*[(1220, 1000)] * 5), width_mm=1220, length_mm=4000)


def test_strips_are_as_long_as_their_bands() -> None:
    marking = MarkingArea(id="m", side="rear", kind="chevrons", from_=(-0.9, 0.4), to=(0.9, 1.6), parts=["a", "b"])
    lengths = [extent_m(band, angle_deg=45.0) for band in bands(marking)]
    assert all(width <= 0.1524 + 1e-9 for _, width in lengths) and max(length for length, _ in lengths) < 2.1
    (plain,) = bands(MarkingArea(id="s", side="left", kind="stripe", from_=(0, 0.5), to=(4, 0.6), parts=["a"]))
    assert extent_m(plain, angle_deg=0.0) == pytest.approx((4.0, 0.1))


def test_a_laid_strip_knows_its_extent() -> None:
    (one,) = strips((300, 50))
    assert Laid(strip=one, along_mm=0, across_mm=0, turned=True).size_mm == (50, 300)
