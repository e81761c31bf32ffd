"""Sizes saved, by hand and by the rules that choose."""

from __future__ import annotations

import itertools

import pytest

from rigbook.power import work_out
from rigbook.power.drops import own_conductors, weakest
from rigbook.power.result import ModuleFigures
from rigbook.power.saved import fuse_for_a, modules_spared, saved, wire_for
from rigbook.rig.model import Segment
from tests.power.cars import car


def test_a_fuse_is_the_smallest_in_stock_above_the_load_over_four_fifths() -> None:
    ratings = sorted({rating for fuse in car().shop.fuses for rating in fuse.ratings})
    for smaller, larger in itertools.pairwise(ratings):
        assert fuse_for_a(car(), load_a=0.8 * smaller) == smaller
        assert fuse_for_a(car(), load_a=0.8 * smaller + 1e-6) == larger
    assert fuse_for_a(car(), load_a=ratings[-1]) is None


def conductor() -> Segment:
    found = weakest([s for circuit in car().circuits.values() for s in own_conductors(car(), circuit)])
    assert found is not None
    return found


def test_a_wire_carries_load_and_fuse_and_the_next_thinner_does_not() -> None:
    gauges = sorted({wire.gauge for wire in car().shop.wires}, key=lambda gauge: gauge.area_mm2)
    last = 0.0
    for load_a in (1.0, 5.0, 10.0, 20.0, 40.0):
        gauge = wire_for(car(), conductor(), load_a=load_a, fuse_a=None)
        if gauge is None:
            break
        assert gauge in gauges
        assert gauge.area_mm2 >= last
        last = gauge.area_mm2
    assert last > 0
    assert wire_for(car(), conductor(), load_a=1e6, fuse_a=None) is None


def test_the_block_adds_up() -> None:
    result = work_out(car())
    block = saved(car(), result)
    assert block is not None
    assert block == result.saved
    assert block.spared_a == pytest.approx(result.whole.nameplate_a - result.whole.worst_peak_a)
    assert block.on
    figures = {f.id: f for f in (*result.feeds, *result.circuits)}
    for row in block.on:
        assert row.spared_a == pytest.approx(figures[row.id].nameplate_a - figures[row.id].worst_rms_a)
        assert row.spared_a > 0
        if row.fuse_by_worst_a is not None and row.fuse_by_nameplate_a is not None:
            assert row.fuse_by_worst_a <= row.fuse_by_nameplate_a
    assert block.fuse_sizes >= 0 <= block.wire_sizes


def test_modules_are_spared_where_the_limit_asks_for_more_of_them() -> None:
    def module(nameplate_a: float, worst_a: float | None, limit_a: float | None = 10.0) -> ModuleFigures:
        return ModuleFigures("m", 1, 8, nameplate_a, limit_a, worst_peak_a=worst_a)

    assert modules_spared(module(25.0, 9.0)) == 2
    assert modules_spared(module(20.0, 10.0)) == 1
    assert modules_spared(module(9.0, 0.0)) == 0
    assert modules_spared(module(25.0, None)) == 0
    assert modules_spared(module(25.0, 9.0, None)) == 0
