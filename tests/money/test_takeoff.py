"""What a rig takes: pieces, batteries added, metres of wire."""

from __future__ import annotations

import math
from functools import cache

import pytest

from rigbook.money import takeoff
from rigbook.rig.model import Rig
from tests.rig.small import FEEDS, PARTS, SHOP, build_text, worked

PRICED = (
    PARTS.replace(
        "mass: 0.15 kg, colours: {amber", "mass: 0.15 kg, list_price: 40 USD, labour: 15 min, colours: {amber"
    )
    .replace("mass: 20 kg, chemistry", "mass: 20 kg, cost: 100 USD, labour: 30 min, chemistry")
    .replace("mass: 0.012 kg, gauge", "mass: 0.012 kg, cost: 0.31 USD, gauge")
)
MARKED = SHOP.replace("  drop_from", "  mark_up: {parts: 30 %, sundries: 5 %}\n  drop_from")
ROWS = """\
  - id: stick
    part: single
    along: {from: [3 m, -0.4 m, 1.5 m], to: [3 m, 0.4 m, 1.5 m], count: 4}
    facing: 180 deg
    outputs: auto
  - {id: bar, part: bar, at: [2.5 m, 0 m, 1.4 m], node: rear, feed: box-feed, controller: control}
"""
BANK = "batteries:\n  - {id: second, part: battery-70, count: 2, at: [2.9 m, 0.2 m, 0.5 m]}\n"


@cache
def priced() -> Rig:
    return worked(build_text(install=ROWS, feeds=BANK + FEEDS), parts=PRICED, shop=MARKED)


def rows() -> dict[str, takeoff.Taken]:
    return {taken.part.id: taken for taken in takeoff.take_off(priced())}


def test_a_row_counts_each_lamp_a_bar_counts_once_and_its_modules_not() -> None:
    found = rows()
    assert (found["single"].quantity, found["single"].per) == (4, "piece")
    assert found["bar"].quantity == 1
    assert "linked" not in found


def test_the_vehicles_own_battery_is_not_bought() -> None:
    assert rows()["battery-70"].quantity == 2
    assert rows()["battery-70"].wanted_by == ("second",)


def test_wire_is_taken_by_the_metre_without_own_leads() -> None:
    rig = priced()
    metres = math.fsum(
        s.length_m for s in rig.segments.values() if s.role != "lead" and s.conductor.part_id == "wire-18"
    )
    assert rows()["wire-18"].quantity == pytest.approx(metres) and metres > 1
    assert rows()["wire-18"].per == "m"


def test_list_price_stands_before_cost_with_mark_up() -> None:
    rig, found = priced(), rows()
    assert takeoff.unit_price_cents(rig, found["single"]) == 4000
    assert takeoff.unit_price_cents(rig, found["battery-70"]) == 13000
    assert takeoff.amount_cents(rig, found["battery-70"]) == 26000


def test_sums() -> None:
    rig = priced()
    parts = takeoff.parts_cents(rig)
    assert parts == sum(takeoff.amount_cents(rig, taken) for taken in takeoff.take_off(rig))
    assert takeoff.sundries_cents(rig) == pytest.approx(0.05 * parts, abs=0.51)
    assert takeoff.total_labour_min(rig) == 4 * 15 + 2 * 30
    assert takeoff.labour_cents(rig) == 2 * 9500
