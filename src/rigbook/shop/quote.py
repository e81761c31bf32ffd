"""The quote: what the vehicle does for its crew, what it costs, what may be added. Money in whole cents."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from rigbook.assess.assessment import Assessment
from rigbook.documents.schema.papers import QuoteOption
from rigbook.money import costing
from rigbook.rig.model import Device, Rig

GROUPS: Mapping[str, str] = {
    "Warning": "Seen from every side on the way and on scene.",
    "Light to work by": "Light where the crew works, steps and compartments included.",
    "Siren and horn": "Heard on the way.",
    "Switches and control": "One place to work it all from.",
    "Radios and data": "Talk, see and send.",
    "Power": "Charged and ready, without stranding the vehicle.",
    "Cabin, cabinets and mounts": "A place for everything, held when the vehicle brakes.",
    "Markings": "Seen by the light of others.",
}
"""Groups of equipment as a crew thinks of it, with what they are for; our words."""

_KINDS: Mapping[str, str] = {
    **dict.fromkeys(("siren-amplifier", "siren-speaker", "buzzer"), "Siren and horn"),
    **dict.fromkeys(("controller", "output-module", "switch-panel", "relay", "request"), "Switches and control"),
    **dict.fromkeys(("radio", "antenna", "modem", "speaker", "computer-dock", "display", "camera", "portable-charger"), "Radios and data"),
    **dict.fromkeys(
        (
            "battery", "isolator", "contactor", "charger", "dc-dc", "shore-inlet", "charge-display", "fuse-block", "breaker", "disconnect",
            "bus-bar", "appliance",
        ),
        "Power",
    ),
    "marking": "Markings",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class QuoteGroup:
    """One group: its parts with how many, and the functions that use them with their purpose."""

    title: str
    about: str
    parts: tuple[tuple[int, str], ...]
    does: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class OptionPrice:
    """An option with its price in cents."""

    id: str
    title: str
    does: str
    price_cents: int
    chosen: bool


@dataclass(frozen=True, slots=True)
class QuoteSheet:
    """The whole quote. `build_cents` is None where the build has no price."""

    groups: tuple[QuoteGroup, ...]
    options: tuple[OptionPrice, ...]
    parts_cents: int
    labour_h: float
    labour_cents: int
    build_cents: int
    chosen_cents: int
    discount_cents: int
    total_cents: int
    deposit_cents: int | None
    currency: str
    validity_days: float | None


def quote_of(assessment: Assessment) -> QuoteSheet | None:
    """The quote of an assessment; None where the build was not priced."""
    money, rig = assessment.money, assessment.worked
    if money is None:
        return None
    asked = rig.build.quote
    options = tuple(_option(rig, o) for o in asked.options)
    parts, labour = round(money.parts * 100), round(money.labour * 100)
    build = parts + labour
    chosen = sum(o.price_cents for o in options if o.chosen)
    discount = costing.share_cents(amount_cents=build + chosen, share=asked.discount.share) if asked.discount else 0
    total = build + chosen - discount
    deposit = None if asked.deposit is None else costing.share_cents(amount_cents=total, share=asked.deposit)
    days = None if asked.validity is None else asked.validity / 86400
    return QuoteSheet(
        _groups(rig), options, parts, money.labour_h, labour, build, chosen, discount, total, deposit, money.currency, days,
    )  # fmt: skip


def _option(rig: Rig, option: QuoteOption) -> OptionPrice:
    """Price of an option: as agreed on, else its parts with sundries and its work at the shop's rate."""
    if option.price is not None:
        return OptionPrice(option.id, option.title, option.does or "", option.price, option.chosen)
    parts = 0
    minutes = option.labour
    for line in option.parts:
        part = rig.parts[line.part]
        unit = part.list_price or costing.price_cents(cost_cents=part.cost, mark_up=rig.shop.mark_up.parts)
        parts += unit * line.count
        minutes += part.labour * line.count
    parts += costing.share_cents(amount_cents=parts, share=rig.shop.mark_up.sundries)
    labour = costing.labour_cents(minutes=minutes, rate_cents_per_h=rig.shop.labour_rate)
    return OptionPrice(option.id, option.title, option.does or "", parts + labour, option.chosen)


def group_of(device: Device) -> str:
    """The group of a device as a crew thinks of it."""
    if device.part_kind == "lightbar" or device.colours:
        if "warning" in device.tags:
            return "Warning"
        warning = device.part_kind == "lightbar" or set(device.colours) & {"blue", "red", "amber"}
        return (
            "Warning"
            if warning and not (device.placement.inside or "cabin-light" in device.tags)
            else "Light to work by"
        )
    return _KINDS.get(device.part_kind, "Cabin, cabinets and mounts")


def _groups(rig: Rig) -> tuple[QuoteGroup, ...]:
    counts: dict[str, dict[str, int]] = {}
    where: dict[str, str] = {}
    for device in rig.devices.values():
        if device.part_kind == "factory-lamp":
            continue
        title = group_of(device)
        where[device.id] = title
        if device.bought and device.part_id is not None:
            counts.setdefault(title, {}).setdefault(device.part_id, 0)
            counts[title][device.part_id] += 1
    for bank in rig.banks.values():
        if not bank.own:
            counts.setdefault("Power", {}).setdefault(bank.part_id, 0)
            counts["Power"][bank.part_id] += bank.count
    does = _functions(rig, where)
    return tuple(
        QuoteGroup(title, about, tuple((n, rig.parts[p].title) for p, n in counts[title].items()), does.get(title, ()))
        for title, about in GROUPS.items()
        if title in counts
    )


def _functions(rig: Rig, where: Mapping[str, str]) -> dict[str, tuple[tuple[str, str], ...]]:
    """Functions by the group that most of their devices belong to, with their purpose."""
    program = rig.program
    votes: list[dict[str, int]] = [{} for _ in program.functions]
    for device in program.devices:
        for number in {e.function for e in device.entries} | {d.function for d in device.dims}:
            title = where.get(device.id, "Warning")
            votes[number][title] = votes[number].get(title, 0) + 1
    found: dict[str, list[tuple[str, str]]] = {}
    for function, vote in zip(program.functions, votes, strict=True):
        if vote:
            best = max(vote, key=lambda t: vote[t])
            found.setdefault(best, []).append((function.name, function.purpose))
    return {title: tuple(rows) for title, rows in found.items()}
