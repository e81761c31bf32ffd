"""Each figure of the price worked through, by the functions that gave it."""

from __future__ import annotations

import re

from rigbook.money import takeoff
from rigbook.quantities.working import Input, Working
from rigbook.rig.model import Rig

_LINE = re.compile(r"money\.lines\[([^\]]+)\]\.(quantity|unit_price|amount|labour_h)")


def explain(rig: Rig, figure_id: str) -> Working:
    """How a figure of the `money` block was worked out. KeyError for an id the block does not give."""
    if match := _LINE.fullmatch(figure_id):
        for row in takeoff.take_off(rig):
            if row.part.id == match.group(1):
                return _line(rig, figure_id, row, match.group(2))
        raise KeyError(figure_id)
    key = figure_id.removeprefix("money.")
    if key == "parts":
        return _parts(rig, figure_id)
    if key == "sundries":
        return _sundries(rig, figure_id)
    if key in ("labour_h", "labour"):
        return _labour_h(rig, figure_id) if key == "labour_h" else _labour(rig, figure_id)
    if key == "total":
        return _total(rig, figure_id)
    raise KeyError(figure_id)


def _at(row: takeoff.Taken) -> str:
    return f"{row.part.where.file}:{row.part.where.line}"


def _money(rig: Rig) -> str:
    return rig.shop.currency


def _line(rig: Rig, figure_id: str, row: takeoff.Taken, key: str) -> Working:
    quantity = Input(symbol="n", meaning=f"of {row.part.id}: {', '.join(row.wanted_by)}", value=row.quantity,
                     unit="m" if row.per == "m" else "")  # fmt: skip
    if key == "quantity":
        return Working(
            figure_id=figure_id, title=f"Quantity of {row.part.title}",
            formula="as installed" if row.per == "piece" else "sum of the lengths cut, service loops included",
            inputs=(quantity,), result=row.quantity, unit=quantity.unit,
        )  # fmt: skip
    if key == "labour_h":
        return Working(
            figure_id=figure_id, title=f"Time to fit {row.part.title}", formula="n x t / 60",
            inputs=(quantity, Input(symbol="t", meaning="to fit one", value=row.part.labour, unit="min",
                                    source=_at(row))),
            result=takeoff.labour_min(row) / 60, unit="h",
        )  # fmt: skip
    price = _unit_price(rig, figure_id if key == "unit_price" else "", row)
    if key == "unit_price":
        return price
    return Working(
        figure_id=figure_id, title=f"Amount for {row.part.title}", formula="n x price, to the cent",
        inputs=(quantity,), result=takeoff.amount_cents(rig, row) / 100, unit=_money(rig), steps=(price,),
    )  # fmt: skip


def _unit_price(rig: Rig, figure_id: str, row: takeoff.Taken) -> Working:
    title = f"Price of {row.part.title}, one {row.per}"
    result = takeoff.unit_price_cents(rig, row) / 100
    if row.listed:
        return Working(figure_id=figure_id, title=title, formula="list price as entered", result=result,
                       unit=_money(rig), source=_at(row))  # fmt: skip
    return Working(
        figure_id=figure_id, title=title, formula="cost x (1 + mark-up), to the cent",
        inputs=(
            Input(symbol="cost", meaning="what we pay", value=row.part.cost / 100, unit=_money(rig), source=_at(row)),
            Input(symbol="mark-up", meaning="of the shop, on parts", value=rig.shop.mark_up.parts,
                  source=str(rig.shop.where_of("mark_up"))),
        ),
        result=result, unit=_money(rig), source="trade-costing", sourced="published",
    )  # fmt: skip


def _amounts(rig: Rig) -> tuple[Input, ...]:
    return tuple(
        Input(symbol="amount", meaning=f"{row.quantity:g} {row.per} {row.part.id}",
              value=takeoff.amount_cents(rig, row) / 100, unit=_money(rig), source=_at(row))
        for row in takeoff.take_off(rig)
    )  # fmt: skip


def _sundries(rig: Rig, figure_id: str) -> Working:
    return Working(
        figure_id=figure_id, title="Sundries", formula="share x sum of the parts, to the cent",
        inputs=(
            Input(symbol="share", meaning="of the shop, on parts", value=rig.shop.mark_up.sundries,
                  source=str(rig.shop.where_of("mark_up"))),
            Input(symbol="parts", meaning="sum of the amounts", value=takeoff.parts_cents(rig) / 100,
                  unit=_money(rig)),
        ),
        result=takeoff.sundries_cents(rig) / 100, unit=_money(rig),
    )  # fmt: skip


def _parts(rig: Rig, figure_id: str) -> Working:
    return Working(
        figure_id=figure_id, title="Parts with sundries", formula="sum of the amounts + sundries",
        inputs=_amounts(rig), result=(takeoff.parts_cents(rig) + takeoff.sundries_cents(rig)) / 100,
        unit=_money(rig), steps=(_sundries(rig, "money.sundries"),),
    )  # fmt: skip


def _labour_h(rig: Rig, figure_id: str) -> Working:
    return Working(
        figure_id=figure_id, title="Labour", formula="sum of n t / 60",
        inputs=tuple(
            Input(symbol="n t", meaning=f"{row.quantity:g} {row.per} {row.part.id}", value=takeoff.labour_min(row),
                  unit="min", source=_at(row))
            for row in takeoff.take_off(rig)
        ),
        result=takeoff.total_labour_min(rig) / 60, unit="h",
    )  # fmt: skip


def _labour(rig: Rig, figure_id: str) -> Working:
    return Working(
        figure_id=figure_id, title="Labour", formula="hours x rate, to the cent",
        inputs=(Input(symbol="rate", meaning="of the shop, per hour", value=rig.shop.labour_rate / 100,
                      unit=_money(rig), source=str(rig.shop.where_of("labour_rate"))),),
        result=takeoff.labour_cents(rig) / 100, unit=_money(rig), steps=(_labour_h(rig, "money.labour_h"),),
    )  # fmt: skip


def _total(rig: Rig, figure_id: str) -> Working:
    parts, labour = _parts(rig, "money.parts"), _labour(rig, "money.labour")
    cents = takeoff.parts_cents(rig) + takeoff.sundries_cents(rig) + takeoff.labour_cents(rig)
    return Working(
        figure_id=figure_id, title="Total without tax", formula="parts + labour", result=cents / 100,
        unit=_money(rig), steps=(parts, labour),
    )  # fmt: skip
