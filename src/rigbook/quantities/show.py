"""Floats back to text in the reader's units, always with the unit; what is written here can be read again."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from decimal import ROUND_HALF_EVEN, Decimal
from types import MappingProxyType
from typing import Literal

from rigbook.quantities.parse import QuantityError, parse_number, parse_quantity
from rigbook.quantities.units import DIMENSIONS, Dimension

UnitSystem = Literal["us", "metric"]


@dataclass(frozen=True, slots=True)
class _Step:
    """From this absolute base value upward a quantity is shown in this unit."""

    from_base: float
    unit: str


def _steps(*steps: tuple[float, str]) -> tuple[_Step, ...]:
    return tuple(_Step(from_base, unit) for from_base, unit in steps)


_BOTH: MappingProxyType[Dimension, tuple[_Step, ...]] = MappingProxyType(
    {
        "duration": _steps((0.0, "ms"), (1.0, "s"), (120.0, "min"), (7200.0, "h"), (259200.0, "days")),
        "angle": _steps((0.0, "deg")),
        "current": _steps((0.0, "mA"), (1.0, "A")),
        "voltage": _steps((0.0, "mV"), (0.1, "V")),
        "resistance": _steps((0.0, "mohm"), (1.0, "ohm")),
        "power": _steps((0.0, "W"), (10000.0, "kW")),
        "energy": _steps((0.0, "Wh"), (10000.0, "kWh")),
        "charge": _steps((0.0, "Ah")),
        "frequency": _steps((0.0, "Hz"), (1e3, "kHz"), (1e6, "MHz"), (1e9, "GHz")),
        "rotation": _steps((0.0, "rpm")),
        "intensity": _steps((0.0, "cd")),
        "flux": _steps((0.0, "lm")),
        "optical-power": _steps((0.0, "cd s/min")),
        "sound-level": _steps((0.0, "dB")),
        "share": _steps((0.0, "%")),
    }
)
_METRIC: MappingProxyType[Dimension, tuple[_Step, ...]] = MappingProxyType(
    {
        "length": _steps((0.0, "mm"), (1.0, "m")),
        "area": _steps((0.0, "mm2"), (0.01, "m2")),
        "volume": _steps((0.0, "L"), (1.0, "m3")),
        "mass": _steps((0.0, "g"), (0.1, "kg")),
        "density": _steps((0.0, "kg/m3")),
        "speed": _steps((0.0, "km/h")),
        "temperature": _steps((0.0, "C")),
        "force": _steps((0.0, "N"), (10000.0, "kN")),
        "torque": _steps((0.0, "N m")),
        "pressure": _steps((0.0, "kPa")),
        "flow": _steps((0.0, "m3/h")),
        "illuminance": _steps((0.0, "lx")),
    }
)
_US: MappingProxyType[Dimension, tuple[_Step, ...]] = MappingProxyType(
    {
        "length": _steps((0.0, "in"), (3.048, "ft")),
        "area": _steps((0.0, "in2"), (0.09290304, "ft2")),
        "volume": _steps((0.0, "gal")),
        "mass": _steps((0.0, "oz"), (0.2, "lb")),
        "density": _steps((0.0, "lb/gal")),
        "speed": _steps((0.0, "mph")),
        "temperature": _steps((0.0, "F")),
        "force": _steps((0.0, "lbf")),
        "torque": _steps((0.0, "lbf ft")),
        "pressure": _steps((0.0, "psi")),
        "flow": _steps((0.0, "cfm")),
        "illuminance": _steps((0.0, "fc")),
    }
)


def unit_for(value: float, dimension: Dimension, units: UnitSystem) -> str:
    """The unit a value of this size is shown in. Zero is shown in the unit of ordinary values, not the smallest."""
    steps = _BOTH.get(dimension) or (_US if units == "us" else _METRIC)[dimension]
    if value == 0.0:
        return next((step.unit for step in steps[1:2]), steps[0].unit)
    return next(step.unit for step in reversed(steps) if abs(value) >= step.from_base)


def convert(value: float, dimension: Dimension, unit: str) -> float:
    """A base value as a number of `unit`. KeyError where the dimension has no such unit."""
    made = DIMENSIONS[dimension].units[unit]
    return (value - made.offset) / made.factor


def format_number(value: float, digits: int = 4) -> str:
    """A number at `digits` significant digits, decimal, without trailing zeros; halves to even, never `-0`.

    Raises:
        ValueError: the number is not finite, or digits is below 1.
    """
    if not math.isfinite(value) or digits < 1:
        raise ValueError(f"cannot show {value} at {digits} digits")
    if value == 0.0:
        return "0"
    exact = Decimal(repr(value))
    rounded = exact.quantize(Decimal(1).scaleb(exact.adjusted() - digits + 1), rounding=ROUND_HALF_EVEN)
    text = format(rounded, "f")
    return text.rstrip("0").rstrip(".") if "." in text else text


def format_quantity(value: float, dimension: Dimension, units: UnitSystem = "us", *, digits: int = 4) -> str:
    """A base value with its unit, in the reader's units; `parse_quantity` reads it back to the digits shown.

    Raises:
        ValueError: the value is not finite.
    """
    unit = unit_for(value, dimension, units)
    return f"{format_number(convert(value, dimension, unit), digits)} {unit}"


def format_in(value: float, dimension: Dimension, unit: str, *, digits: int = 4) -> str:
    """A base value in one given unit."""
    return f"{format_number(convert(value, dimension, unit), digits)} {unit}"


def format_money(cents: int, currency: str) -> str:
    """Whole cents as an amount with its currency: `45.00 USD`, thousands not separated."""
    sign = "-" if cents < 0 else ""
    whole, part = divmod(abs(cents), 100)
    return f"{sign}{whole}.{part:02d} {currency}"


def dimension_of(unit: str) -> Dimension | None:
    """The dimension a unit measures; None for a unit this table does not know."""
    return next((dimension for dimension, units in DIMENSIONS.items() if unit in units.units), None)


def parse_in(text: str, unit: str) -> float:
    """Read a quantity as a number of `unit`: `parse_in("3 ft", "in")` is 36. The limits of rules are read so.

    For `fraction` and the empty unit a plain number or a share in per cent; for a unit that no table knows
    (`flashes/min`) the same unit must stand behind the number.

    Raises:
        QuantityError: the text is not a quantity of that unit.
    """
    stripped = text.strip()
    if unit in ("", "fraction", "1"):
        return parse_quantity(stripped, "share") if stripped.endswith("%") else parse_number(stripped)
    dimension = dimension_of(unit)
    if dimension is not None:
        return convert(parse_quantity(stripped, dimension), dimension, unit)
    match = re.fullmatch(r"(\S+)\s+(.+)", stripped)
    if match is None or match.group(2) != unit:
        raise QuantityError(
            f"{stripped[:60]!r} is not a number of {unit}", found=stripped[:60], expected=f"a number and {unit}"
        )
    return parse_number(match.group(1))
