"""What the money engine returns: the `money` block of the results, keys as printed."""

from __future__ import annotations

from dataclasses import dataclass

from rigbook.rig.model import RigNote


@dataclass(frozen=True, slots=True)
class PriceLine:
    """One part: how much of it, its price and the time to fit it. Amounts in currency, exact to the cent."""

    id: str
    title: str
    quantity: float
    per: str
    """piece or m."""
    unit_price: float
    amount: float
    labour_h: float


@dataclass(frozen=True, slots=True)
class MoneyResult:
    """Parts with sundries, labour and their sum, in currency, exact to the cent; no tax."""

    parts: float
    sundries: float
    """What of `parts` is sundries."""
    labour_h: float
    labour: float
    total: float
    currency: str
    lines: tuple[PriceLine, ...]
    notes: tuple[RigNote, ...] = ()
