"""Prices from costs: mark-up, margin, labour. Money in whole cents, rounded half up once a line."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import ROUND_HALF_UP, Decimal


def rounded_cents(value: Decimal) -> int:
    """Whole cents, halves up."""
    return int(value.quantize(Decimal(1), rounding=ROUND_HALF_UP))


def _decimal(value: float) -> Decimal:
    return Decimal(str(value))


def price_cents(*, cost_cents: int, mark_up: float) -> int:
    """Price in cents of a cost: cost x (1 + mark-up). Source: trade-costing."""
    return rounded_cents(Decimal(cost_cents) * (1 + _decimal(mark_up)))


def share_cents(*, amount_cents: int, share: float) -> int:
    """A share of an amount, in cents."""
    return rounded_cents(Decimal(amount_cents) * _decimal(share))


def labour_cents(*, minutes: float, rate_cents_per_h: int) -> int:
    """Labour in cents: minutes/60 x the rate per hour."""
    return rounded_cents(_decimal(minutes) * rate_cents_per_h / 60)


def margin_of_mark_up(*, mark_up: float) -> float:
    """Margin on the price from a mark-up on the cost: m/(1 + m). Source: trade-costing."""
    return mark_up / (1.0 + mark_up)


def mark_up_of_margin(*, margin: float) -> float:
    """Mark-up on the cost from a margin on the price: m/(1 - m). Source: trade-costing. ValueError at 1 or above."""
    if margin >= 1.0:
        raise ValueError("a margin lies below 100 %")
    return margin / (1.0 - margin)


def job_price_cents(*, costs_cents: Sequence[int], mark_ups: Sequence[float]) -> int:
    """Price in cents of costs with a mark-up each. Source: trade-costing. ValueError for unequal lengths."""
    return sum(price_cents(cost_cents=c, mark_up=m) for c, m in zip(costs_cents, mark_ups, strict=True))
