"""Tyres under other loads than the one on their sidewall. Plain numbers."""

from __future__ import annotations

PASSENGER_ON_TRUCK = 1.10
"""Divisor of a passenger-car tyre's load on a truck, bus or multi-purpose vehicle. Source: fmvss-120-s5."""


def passenger_tyre_on_truck_kg(*, load_kg: float) -> float:
    """Load in kg of a passenger-car tyre on a truck, bus or multi-purpose vehicle: sidewall / 1.10. Source: fmvss-120-s5."""
    return load_kg / PASSENGER_ON_TRUCK


def pressure_kpa(*, load_kg: float, rated_load_kg: float, rated_pressure_kpa: float) -> float:
    """Cold pressure in kPa for a load: P (Q/Qmax)^1.25. Source: tyre-pressure. Never go below the placard.

    Any one unit of mass and any one of pressure will do. ValueError beyond the rated load or below 0.
    """
    if not 0 <= load_kg <= rated_load_kg:
        raise ValueError("the load lies between nothing and the rated load")
    return float(rated_pressure_kpa * (load_kg / rated_load_kg) ** 1.25)
