"""Money of the quote by hand."""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal

from rigbook.shop.quote import quote_of
from tests.papers.example_builds import assessed, desk


def cents(value: Decimal) -> int:
    return int(value.quantize(Decimal(1), rounding=ROUND_HALF_UP))


def test_the_complete_build_adds_up() -> None:
    made, money, shop = (
        quote_of(assessed("flood-support-van")),
        assessed("flood-support-van").money,
        desk("flood-support-van").rig.shop,
    )
    assert made is not None and money is not None
    assert made.build_cents == round(money.total * 100)
    parts = desk("flood-support-van").rig.parts
    lamp = parts["surface-nine-blue-white"]
    net = 2 * lamp.list_price
    spare = (
        net
        + cents(Decimal(net) * Decimal(str(shop.mark_up.sundries)))
        + cents(Decimal(2 * lamp.labour) * shop.labour_rate / 60)
    )
    by = {o.id: o for o in made.options}
    assert by["spare-lamps"].price_cents == spare and by["spare-lamps"].chosen
    assert by["training"].price_cents == 42000
    discount = cents(Decimal(made.build_cents + spare) * Decimal("0.02"))
    assert made.discount_cents == discount
    assert made.total_cents == made.build_cents + spare - discount
    assert made.deposit_cents == cents(Decimal(made.total_cents) / 2)
    assert made.validity_days == 30


def test_without_a_section_the_price_is_the_build() -> None:
    made = quote_of(assessed("boat-crew-pickup"))
    assert made is not None
    assert (made.options, made.discount_cents, made.deposit_cents) == ((), 0, None)
    assert made.total_cents == made.build_cents
