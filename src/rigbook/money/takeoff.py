"""How much of each part a rig takes, and its price in cents."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from rigbook.documents.schema.parts import PartBase
from rigbook.money import costing
from rigbook.rig.model import Rig


@dataclass(frozen=True, slots=True)
class Taken:
    """A part, how much of it (pieces, or metres of wire), and what asks for it."""

    part: PartBase
    quantity: float
    per: str
    wanted_by: tuple[str, ...]

    @property
    def listed(self) -> bool:
        """Whether the part has a list price of its own."""
        return self.part.list_price > 0


def take_off(rig: Rig) -> tuple[Taken, ...]:
    """Every part bought: installed rows in file order, batteries added, then wire by the metre.

    A lightbar counts once, its modules not; a device's own leads and the vehicle's own batteries not at all.
    """
    wanted: dict[str, list[tuple[str, float]]] = {}
    for device in rig.devices.values():
        if device.bought and device.part_id is not None:
            wanted.setdefault(device.part_id, []).append((device.id, 1.0))
    for bank in rig.banks.values():
        if not bank.own:
            wanted.setdefault(bank.part_id, []).append((bank.id, float(bank.count)))
    pieces = [_taken(rig, part_id, rows, "piece") for part_id, rows in wanted.items()]
    metres: dict[str, list[tuple[str, float]]] = {}
    for segment in rig.segments.values():
        part_id = segment.conductor.part_id
        if segment.role != "lead" and part_id is not None:
            metres.setdefault(part_id, []).append((segment.id, segment.length_m))
    return (*pieces, *(_taken(rig, part_id, metres[part_id], "m") for part_id in sorted(metres)))


def _taken(rig: Rig, part_id: str, rows: Iterable[tuple[str, float]], per: str) -> Taken:
    listed = tuple(rows)
    quantity = math.fsum(each for _, each in listed)
    return Taken(rig.parts[part_id], quantity, per, tuple(name for name, _ in listed))


def unit_price_cents(rig: Rig, taken: Taken) -> int:
    """Price of one piece or metre in cents: the list price, else cost with the shop's mark-up."""
    if taken.listed:
        return int(taken.part.list_price)
    return costing.price_cents(cost_cents=taken.part.cost, mark_up=rig.shop.mark_up.parts)


def amount_cents(rig: Rig, taken: Taken) -> int:
    """Quantity x unit price in cents, rounded once."""
    return costing.share_cents(amount_cents=unit_price_cents(rig, taken), share=taken.quantity)


def labour_min(taken: Taken) -> float:
    """Minutes to fit it all."""
    return taken.part.labour * taken.quantity


def parts_cents(rig: Rig) -> int:
    """All parts without sundries, in cents."""
    return sum(amount_cents(rig, taken) for taken in take_off(rig))


def sundries_cents(rig: Rig) -> int:
    """Small material: the shop's share on all parts, in cents."""
    return costing.share_cents(amount_cents=parts_cents(rig), share=rig.shop.mark_up.sundries)


def total_labour_min(rig: Rig) -> float:
    """Minutes to fit everything."""
    return math.fsum(labour_min(taken) for taken in take_off(rig))


def labour_cents(rig: Rig) -> int:
    """All labour in cents, rounded once."""
    return costing.labour_cents(minutes=total_labour_min(rig), rate_cents_per_h=rig.shop.labour_rate)
