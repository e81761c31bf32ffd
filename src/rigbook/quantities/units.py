"""The units a reader may write, by dimension, and what one of each is worth inside the program.

Inside the program every quantity is a float in the dimension's base unit: SI, with angles in degrees, temperature in
degrees Celsius, charge in ampere-hours, energy in watt-hours and money in whole cents.

Exact factors: inch 25.4 mm, pound 0.45359237 kg (international yard and pound agreement, 1959), US gallon
231 cubic inches, standard gravity 9.80665 m/s2.
"""

from __future__ import annotations

from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

INCH_M = 0.0254
POUND_KG = 0.45359237
GALLON_M3 = 231 * INCH_M**3
LITRE_M3 = 1e-3
STANDARD_GRAVITY_M_S2 = 9.80665
POUND_FORCE_N = POUND_KG * STANDARD_GRAVITY_M_S2

Dimension = Literal[
    "length",
    "area",
    "volume",
    "mass",
    "density",
    "duration",
    "speed",
    "angle",
    "temperature",
    "force",
    "torque",
    "pressure",
    "flow",
    "current",
    "voltage",
    "resistance",
    "power",
    "energy",
    "charge",
    "frequency",
    "rotation",
    "intensity",
    "flux",
    "illuminance",
    "optical-power",
    "sound-level",
    "share",
]


@dataclass(frozen=True, slots=True)
class Unit:
    """One way to write a dimension: base value = number * factor + offset."""

    factor: float
    offset: float = 0.0


@dataclass(frozen=True, slots=True)
class DimensionUnits:
    """The units of one dimension, the base unit first, and what its quantities may be."""

    noun: str
    """What a message calls it, with its article."""
    units: MappingProxyType[str, Unit]
    """Units by spelling; the first is the base unit."""
    offered: tuple[str, ...]
    """Units that a message offers."""
    negative: bool = False
    """Whether values below zero make sense."""


def _dimension(noun: str, units: dict[str, float | Unit], offered: str, negative: bool = False) -> DimensionUnits:
    made = {name: unit if isinstance(unit, Unit) else Unit(unit) for name, unit in units.items()}
    return DimensionUnits(noun, MappingProxyType(made), tuple(offered.split(", ")), negative)


DIMENSIONS: MappingProxyType[Dimension, DimensionUnits] = MappingProxyType(
    {
        "length": _dimension(
            "a length",
            {
                "m": 1.0,
                "mm": 1e-3,
                "cm": 1e-2,
                "km": 1e3,
                "in": INCH_M,
                '"': INCH_M,
                "ft": 12 * INCH_M,
                "'": 12 * INCH_M,
                "yd": 36 * INCH_M,
                "mi": 63360 * INCH_M,
            },
            "mm, cm, m, in, ft",
            negative=True,
        ),
        "area": _dimension(
            "an area",
            {
                "m2": 1.0,
                "m²": 1.0,
                "mm2": 1e-6,
                "mm²": 1e-6,
                "cm2": 1e-4,
                "cm²": 1e-4,
                "in2": INCH_M**2,
                "ft2": (12 * INCH_M) ** 2,
            },
            "mm2, cm2, m2, in2, ft2",
        ),
        "volume": _dimension(
            "a volume",
            {
                "m3": 1.0,
                "m³": 1.0,
                "L": LITRE_M3,
                "l": LITRE_M3,
                "mL": 1e-6,
                "ml": 1e-6,
                "cm3": 1e-6,
                "cm³": 1e-6,
                "gal": GALLON_M3,
                "ft3": (12 * INCH_M) ** 3,
                "in3": INCH_M**3,
            },
            "L, m3, gal (US gallons), ft3",
        ),
        "mass": _dimension(
            "a mass",
            {"kg": 1.0, "g": 1e-3, "t": 1e3, "lb": POUND_KG, "lbs": POUND_KG, "oz": POUND_KG / 16},
            "kg, g, lb, oz",
        ),
        "density": _dimension(
            "a density",
            {
                "kg/m3": 1.0,
                "kg/m³": 1.0,
                "kg/L": 1e3,
                "kg/l": 1e3,
                "g/cm3": 1e3,
                "lb/gal": POUND_KG / GALLON_M3,
                "lb/ft3": POUND_KG / (12 * INCH_M) ** 3,
            },
            "kg/m3, kg/L, lb/gal",
        ),
        "duration": _dimension(
            "a time",
            {
                "s": 1.0,
                "ms": 1e-3,
                "min": 60.0,
                "h": 3600.0,
                "hr": 3600.0,
                "d": 86400.0,
                "day": 86400.0,
                "days": 86400.0,
                "week": 604800.0,
                "weeks": 604800.0,
            },
            "ms, s, min, h, days",
        ),
        "speed": _dimension(
            "a speed",
            {"m/s": 1.0, "km/h": 1 / 3.6, "mph": 63360 * INCH_M / 3600},
            "km/h, mph, m/s",
        ),
        "angle": _dimension("an angle", {"deg": 1.0, "°": 1.0}, "deg", negative=True),
        "temperature": _dimension(
            "a temperature",
            {
                "C": 1.0,
                "°C": 1.0,
                "degC": 1.0,
                "F": Unit(5 / 9, -160 / 9),
                "°F": Unit(5 / 9, -160 / 9),
                "degF": Unit(5 / 9, -160 / 9),
            },
            "C, F",
            negative=True,
        ),
        "force": _dimension("a force", {"N": 1.0, "kN": 1e3, "lbf": POUND_FORCE_N}, "N, kN, lbf"),
        "torque": _dimension(
            "a torque",
            {
                "N m": 1.0,
                "Nm": 1.0,
                "lbf ft": POUND_FORCE_N * 12 * INCH_M,
                "ft lbf": POUND_FORCE_N * 12 * INCH_M,
                "lbf in": POUND_FORCE_N * INCH_M,
                "in lbf": POUND_FORCE_N * INCH_M,
            },
            "N m, lbf ft, lbf in",
        ),
        "pressure": _dimension(
            "a pressure",
            {"Pa": 1.0, "kPa": 1e3, "MPa": 1e6, "bar": 1e5, "psi": POUND_FORCE_N / INCH_M**2},
            "kPa, bar, psi",
        ),
        "flow": _dimension(
            "an air flow",
            {"m3/s": 1.0, "m3/h": 1 / 3600, "L/s": LITRE_M3, "cfm": (12 * INCH_M) ** 3 / 60},
            "m3/h, L/s, cfm",
        ),
        "current": _dimension("a current", {"A": 1.0, "mA": 1e-3, "kA": 1e3, "uA": 1e-6}, "A, mA"),
        "voltage": _dimension("a voltage", {"V": 1.0, "mV": 1e-3, "kV": 1e3}, "V, mV"),
        "resistance": _dimension(
            "a resistance", {"ohm": 1.0, "Ω": 1.0, "mohm": 1e-3, "mΩ": 1e-3, "kohm": 1e3, "kΩ": 1e3}, "mohm, ohm"
        ),
        "power": _dimension("a power", {"W": 1.0, "mW": 1e-3, "kW": 1e3}, "W, kW"),
        "energy": _dimension(
            "an energy", {"Wh": 1.0, "kWh": 1e3, "J": 1 / 3600, "kJ": 1 / 3.6, "MJ": 1e3 / 3.6}, "Wh, kWh"
        ),
        "charge": _dimension("a charge", {"Ah": 1.0, "mAh": 1e-3}, "Ah"),
        "frequency": _dimension("a frequency", {"Hz": 1.0, "kHz": 1e3, "MHz": 1e6, "GHz": 1e9}, "Hz, kHz, MHz"),
        "rotation": _dimension("a speed of rotation", {"rpm": 1.0}, "rpm"),
        "intensity": _dimension("a luminous intensity", {"cd": 1.0, "kcd": 1e3}, "cd"),
        "flux": _dimension("a luminous flux", {"lm": 1.0, "klm": 1e3}, "lm"),
        "illuminance": _dimension("an illuminance", {"lx": 1.0, "fc": 1 / (12 * INCH_M) ** 2}, "lx, fc"),
        "optical-power": _dimension("an optical power", {"cd s/min": 1.0, "cd·s/min": 1.0}, "cd s/min"),
        "sound-level": _dimension("a sound level", {"dB": 1.0, "dBA": 1.0}, "dB", negative=True),
        "share": _dimension("a share", {"%": 1e-2}, "%", negative=True),
    }
)
"""Every dimension a document may ask for."""
