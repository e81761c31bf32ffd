"""The quote as a customer reads it."""

from __future__ import annotations

import re
from collections.abc import Sequence

from rigbook.papers.chapter import Desk
from rigbook.papers.pieces import Piece, column, drawing, facts, group, heading, paragraph, sign, small, table
from rigbook.quantities.show import format_money
from rigbook.shop.quote import QuoteSheet, quote_of

_NAMES = re.compile(
    r'<text [^>]*class="label"[^>]*>.*?</text>|<rect [^>]*class="label-back"[^>]*/>|<line [^>]*class="leader"[^>]*/>'
)
_KEY = re.compile(r'<g class="key">.*?</g>', re.DOTALL)


def pieces(desk: Desk) -> list[Piece]:
    """The chapter: to whom, picture, what it does, price, options, terms."""
    made = quote_of(desk.assessment)
    if made is None:
        return [heading("Quote"), paragraph("The build was not priced.")]
    rig, asked = desk.rig, desk.rig.build.quote
    head = [("From", ", ".join([rig.shop.title, *rig.shop.address]))]
    if rig.build.build.customer:
        head.append(("To", rig.build.build.customer))
    head.append(("For", f"{rig.build.build.title} on {rig.vehicle.title}"))
    if asked.number:
        head.append(("Quote", asked.number))
    if rig.build.build.date:
        head.append(("Date", rig.build.build.date))
    if made.validity_days is not None:
        head.append(
            ("Valid for", f"{made.validity_days:g} days" + (" from the date above" if rig.build.build.date else ""))
        )
    found = [heading("Quote"), facts(head)]
    if asked.introduction:
        found.append(paragraph(asked.introduction))
    found.append(drawing(picture(desk), caption="The vehicle with its lamps, to scale", max_height_mm=180))
    return [*found, *_equipment(desk, made), *_price(desk, made), *_terms(desk, made)]


def picture(desk: Desk) -> str:
    """The lamp map without its names, which say nothing to a customer."""
    return _KEY.sub("", _NAMES.sub("", desk.lamp_map))


def _equipment(desk: Desk, made: QuoteSheet) -> list[Piece]:
    rows: list[Sequence[str] | dict[str, str]] = []
    for one in made.groups:
        rows.append(group(one.title))
        does = "\n".join(f"{name}. {purpose}" if purpose else name for name, purpose in one.does)
        parts = "\n".join(f"{count} × {title}" for count, title in one.parts)
        rows.append([one.about, desk.words(parts), does or "Fitted and connected."])
    columns = [
        column("What for", share=0.4),
        column("What is fitted", share=1),
        column("What it does for the crew", share=1),
    ]
    return [table(caption="Equipment by what it does for the crew", columns=columns, rows=rows, size=8)]


def _price(desk: Desk, made: QuoteSheet) -> list[Piece]:
    def money(cents: int) -> str:
        return format_money(cents, made.currency)

    asked = desk.rig.build.quote
    rows = [
        ["Parts and small material", money(made.parts_cents)],
        [desk.words(f"Labour, {made.labour_h:.1f} h"), money(made.labour_cents)],
        ["Vehicle as described", money(made.build_cents)],
    ]
    rows += [[f"Option taken: {o.title}", money(o.price_cents)] for o in made.options if o.chosen]
    if asked.discount is not None:
        rows.append([f"Discount {asked.discount.share * 100:g} %: {asked.discount.why}", money(-made.discount_cents)])
    rows.append(["Total, without tax", money(made.total_cents)])
    if made.deposit_cents is not None and asked.deposit is not None:
        rows.append([f"Deposit with the order, {asked.deposit * 100:g} %", money(made.deposit_cents)])
    found = [table(caption="Price", columns=[column("What", share=1), column("Amount", number=True)], rows=rows)]
    left = [o for o in made.options if not o.chosen]
    if left:
        rows = [[o.title, o.does, money(o.price_cents), ""] for o in left]
        columns = [
            column("Option", share=0.7),
            column("What the crew gains", share=1),
            column("Adds", number=True),
            column("Initials", least_mm=20),
        ]
        found.append(table(caption="Options, not in the total", columns=columns, rows=rows, form=True))
    return found


def _terms(desk: Desk, made: QuoteSheet) -> list[Piece]:
    asked = desk.rig.build.quote
    found: list[Piece] = []
    if asked.delivery:
        found.append(paragraph(f"Delivery: {asked.delivery}"))
    terms = asked.terms or desk.rig.shop.terms
    if terms:
        found.append(paragraph(f"Terms: {terms}"))
    found.append(
        small(
            "Colors, modes and sirens need the authority of the place where the vehicle works; check local law."
            if desk.us
            else "Colours, modes and sirens need the authority of the place where the vehicle works; check local law."
        )
    )
    return [*found, sign("For the customer: name, date", "For the shop: name, date")]
