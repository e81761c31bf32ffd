"""Values in the sentences of findings, in the shop's units."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import cast

from rigbook.quantities.show import UnitSystem, format_in, format_number, format_quantity
from rigbook.quantities.units import Dimension

DIMENSIONS: Mapping[str, Dimension] = MappingProxyType(
    {
        "A": "current",
        "V": "voltage",
        "kg": "mass",
        "m": "length",
        "share": "share",
        "s": "duration",
        "C": "temperature",
        "mm2": "area",
        "N": "force",
        "N m": "torque",
        "deg": "angle",
        "cd": "intensity",
        "cd s/min": "optical-power",
        "Hz": "frequency",
        "lx": "illuminance",
    }
)
"""The units a measure may have beside `count`, and the dimension a limit is read in."""


def shown(value: float, unit: str, units: str) -> str:
    """A value of a measure as a person reads it: four figures and the unit of the shop's choice."""
    if unit == "count":
        return format_number(value)
    if unit == "mm2":
        return f"{format_number(value)} mm2"
    if unit in ("A", "V"):  # one unit for value and limit, so that they can be compared at a glance
        return format_in(value, DIMENSIONS[unit], unit)
    return format_quantity(value, DIMENSIONS[unit], cast(UnitSystem, units))
