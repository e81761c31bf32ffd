from __future__ import annotations

import random
from decimal import Decimal

import pytest

from rigbook.money import costing


@pytest.mark.parametrize(("value", "cents"), [("0.5", 1), ("1.5", 2), ("2.49", 2), ("-0.5", -1)])
def test_halves_round_up_away_from_nothing(value: str, cents: int) -> None:
    assert costing.rounded_cents(Decimal(value)) == cents


def test_prices_are_exact_to_the_cent() -> None:
    assert costing.price_cents(cost_cents=1000, mark_up=0.3) == 1300
    assert costing.price_cents(cost_cents=33, mark_up=0.05) == 35  # 34.65
    assert costing.share_cents(amount_cents=9999, share=0.05) == 500  # 499.95
    assert costing.labour_cents(minutes=25, rate_cents_per_h=9500) == 3958  # 3958.33
    assert costing.labour_cents(minutes=0.1 * 3, rate_cents_per_h=6000) == 30


def test_margin_and_mark_up_are_there_and_back() -> None:
    rng = random.Random(1)
    for _ in range(50):
        mark_up = rng.uniform(0, 5)
        margin = costing.margin_of_mark_up(mark_up=mark_up)
        assert costing.mark_up_of_margin(margin=margin) == pytest.approx(mark_up)
    with pytest.raises(ValueError, match="below 100"):
        costing.mark_up_of_margin(margin=1.0)


def test_each_cost_needs_its_mark_up() -> None:
    with pytest.raises(ValueError):
        costing.job_price_cents(costs_cents=[1, 2], mark_ups=[0.1])
