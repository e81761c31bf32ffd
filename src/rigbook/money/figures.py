"""The entry of the money engine: parts, labour and total."""

from __future__ import annotations

from rigbook.money import takeoff
from rigbook.money.result import MoneyResult, PriceLine
from rigbook.rig.model import Rig, RigNote


def work_out(rig: Rig) -> MoneyResult:
    """Price of a decided rig at the shop's rates, without tax. Pure."""
    taken = takeoff.take_off(rig)
    sundries = takeoff.sundries_cents(rig)
    parts, labour = takeoff.parts_cents(rig) + sundries, takeoff.labour_cents(rig)
    return MoneyResult(
        parts=parts / 100,
        sundries=sundries / 100,
        labour_h=takeoff.total_labour_min(rig) / 60,
        labour=labour / 100,
        total=(parts + labour) / 100,
        currency=rig.shop.currency,
        lines=tuple(
            PriceLine(
                id=row.part.id,
                title=row.part.title,
                quantity=row.quantity,
                per=row.per,
                unit_price=takeoff.unit_price_cents(rig, row) / 100,
                amount=takeoff.amount_cents(rig, row) / 100,
                labour_h=takeoff.labour_min(row) / 60,
            )
            for row in taken
        ),
        notes=tuple(_notes(rig, taken)),
    )


def _notes(rig: Rig, taken: tuple[takeoff.Taken, ...]) -> list[RigNote]:
    notes = []
    for row in taken:
        where = row.part.where
        missing = [
            what
            for what, absent in (
                ("a price", takeoff.unit_price_cents(rig, row) == 0),
                ("a time to fit it", row.part.labour == 0 and row.per == "piece"),
            )
            if absent
        ]
        if missing:
            says = f"{row.part.id} has not {' or '.join(missing)}: it counts as 0 in the total"
            notes.append(RigNote("price-missing", row.part.id, "note", says, where.file, where.line))
    return notes
