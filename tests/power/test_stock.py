"""What is in stock."""

from __future__ import annotations

from rigbook.power.stock import stock_of, stock_ratings_a
from tests.rig.small import build_text, opened


def test_wires_stand_thinnest_first_and_ratings_smallest_first() -> None:
    rig = opened(build_text())
    areas = [stock.gauge.area_mm2 for stock in stock_of(rig)]
    assert areas == sorted(areas) and len(areas) == len(rig.shop.wires)
    assert stock_ratings_a(rig, "blade")[:2] == [3.0, 5.0]
    assert stock_ratings_a(rig, None) == sorted({*stock_ratings_a(rig, "blade"), *stock_ratings_a(rig, "strip")})
    assert stock_ratings_a(rig, "none") == []
