"""What the shop has in stock to choose from: wires and fuse ratings."""

from __future__ import annotations

from dataclasses import dataclass

from rigbook.power.conductors import conductor_resistance_ohm_per_m, temperature_factor
from rigbook.power.fuses import MOST_AMBIENT_C, rerating_share
from rigbook.quantities.gauge import Gauge
from rigbook.rig.open_model import OpenRig


@dataclass(frozen=True, slots=True)
class Stock:
    """A wire one may choose."""

    gauge: Gauge
    part_id: str | None
    insulation_c: float
    resistance_ohm_per_m: float | None


def stock_of(open_rig: OpenRig) -> tuple[Stock, ...]:
    """The shop's wires, thinnest first."""
    found = [
        Stock(wire.gauge, wire.part, wire.insulation, open_rig.parts[wire.part].resistance_per_metre)
        for wire in open_rig.shop.wires
    ]
    return tuple(sorted(found, key=lambda stock: stock.gauge.area_mm2))


def metre_resistance_ohm(*, stock: Stock, temperature_c: float) -> float:
    """Ohm per metre at a conductor temperature, from the part's own figure where it states one."""
    if stock.resistance_ohm_per_m is not None:
        return stock.resistance_ohm_per_m * temperature_factor(temperature_c=temperature_c)
    return conductor_resistance_ohm_per_m(gauge=stock.gauge, temperature_c=temperature_c)


def kept_share(ambient_c: float | None) -> float:
    """Share of its rating that a fuse keeps at an ambient in C; 1 where none is known. Source: iso-8820-3.

    Above the last printed ambient that of the last, 125 C: nothing lower is printed.
    """
    return 1.0 if ambient_c is None else rerating_share(ambient_c=min(ambient_c, MOST_AMBIENT_C))


def stock_ratings_a(open_rig: OpenRig, form: str | None) -> list[float]:
    """Fuse ratings in stock, of one form or of all, smallest first."""
    ratings = {rating for fuse in open_rig.shop.fuses if form in (None, fuse.form) for rating in fuse.ratings}
    return sorted(ratings)
