"""Quantities in: every form of the documents, against pint and by there-and-back."""

import math
from fractions import Fraction

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rigbook.quantities.parse import (
    Cents,
    QuantityError,
    parse_fraction,
    parse_money,
    parse_number,
    parse_quantity,
    parse_share,
)
from rigbook.quantities.units import DIMENSIONS

FORMS = [
    ("45 in", "length", 1.143),
    ("6 ft 2 in", "length", 1.8796),
    ("6'2\"", "length", 1.8796),
    ("-6 ft 2 in", "length", -1.8796),
    ('48"', "length", 1.2192),
    ("1.14 m", "length", 1.14),
    ("12 mm", "length", 0.012),
    ("3.5 cm", "length", 0.035),
    ("-0.6 m", "length", -0.6),
    (".5 m", "length", 0.5),
    ("110 lb", "mass", 49.8951607),
    ("3.5 A", "current", 3.5),
    ("3.5A", "current", 3.5),
    ("25 mA", "current", 0.025),
    ("12.8 V", "voltage", 12.8),
    ("2 mohm", "resistance", 0.002),
    ("75 C", "temperature", 75.0),
    ("212 F", "temperature", 100.0),
    ("-40 F", "temperature", -40.0),
    ("0.4 h", "duration", 1440.0),
    ("12 min", "duration", 720.0),
    ("150 ms", "duration", 0.15),
    ("20 deg", "angle", 20.0),
    ("-10 deg", "angle", -10.0),
    ("85 dB", "sound-level", 85.0),
    ("4200 cd", "intensity", 4200.0),
    ("900 lm", "flux", 900.0),
    ("92 Ah", "charge", 92.0),
    ("600 Wh", "energy", 600.0),
    ("50 W", "power", 50.0),
    ("1.2 kW", "power", 1200.0),
    ("174 MHz", "frequency", 174e6),
    ("400 N", "force", 400.0),
    ("9 N m", "torque", 9.0),
    ("9 Nm", "torque", 9.0),
    ("745 kg/m3", "density", 745.0),
    ("25 gal", "volume", 0.0946352946),
    ("80 L", "volume", 0.08),
    ("100 km/h", "speed", 27.77777777777778),
    ("60 mph", "speed", 26.8224),
    ("5 %", "share", 0.05),
]


@pytest.mark.parametrize(("text", "dimension", "value"), FORMS)
def test_form_of_the_documents(text, dimension, value):
    assert parse_quantity(text, dimension) == pytest.approx(value, rel=1e-12)


PINT_NAMES = {
    '"': "inch", "'": "foot", "in": "inch", "lbs": "lb", "oz": "ounce", "t": "tonne", "gal": "US_liquid_gallon",
    "C": "degC", "°C": "degC", "F": "degF", "°F": "degF", "L": "liter", "l": "liter", "mL": "milliliter",
    "ml": "milliliter", "°": "degree", "deg": "degree", "h": "hour", "hr": "hour", "d": "day", "days": "day",
    "weeks": "week", "min": "minute", "m²": "m**2", "mm²": "mm**2", "cm²": "cm**2", "m2": "m**2", "mm2": "mm**2",
    "cm2": "cm**2", "in2": "inch**2", "ft2": "foot**2", "m3": "m**3", "m³": "m**3", "cm3": "cm**3",
    "cm³": "cm**3", "ft3": "foot**3", "in3": "inch**3", "kg/m3": "kg/m**3", "kg/m³": "kg/m**3", "g/cm3": "g/cm**3",
    "lb/gal": "lb/US_liquid_gallon", "lb/ft3": "lb/foot**3", "kg/L": "kg/liter", "kg/l": "kg/liter",
    "N m": "N*m", "Nm": "N*m", "lbf ft": "lbf*foot", "ft lbf": "lbf*foot", "lbf in": "lbf*inch",
    "in lbf": "lbf*inch", "m3/s": "m**3/s", "m3/h": "m**3/hour", "L/s": "liter/s", "cfm": "foot**3/minute",
    "Ω": "ohm", "mΩ": "milliohm", "kΩ": "kiloohm", "mohm": "milliohm", "kohm": "kiloohm", "Wh": "watt*hour",
    "kWh": "kilowatt*hour", "Ah": "ampere*hour", "mAh": "milliampere*hour", "km/h": "km/hour", "mph": "mile/hour",
    "rpm": "revolution/minute", "lx": "lumen/m**2", "fc": "lumen/foot**2", "cd s/min": "candela*second/minute",
    "cd·s/min": "candela*second/minute", "%": "percent",
}  # fmt: skip
PINT_BASES = {
    "length": "m", "area": "m**2", "volume": "m**3", "mass": "kg", "density": "kg/m**3", "duration": "s",
    "speed": "m/s", "angle": "degree", "temperature": "degC", "force": "N", "torque": "N*m", "pressure": "Pa",
    "flow": "m**3/s", "current": "A", "voltage": "V", "resistance": "ohm", "power": "W", "energy": "watt*hour",
    "charge": "ampere*hour", "frequency": "Hz", "rotation": "revolution/minute", "intensity": "cd", "flux": "lumen",
    "illuminance": "lumen/m**2", "optical-power": "candela*second/minute", "share": "dimensionless",
}  # fmt: skip


@pytest.mark.outside
def test_every_unit_of_the_table_agrees_with_pint():
    registry = pint.UnitRegistry()
    looked_at = 0
    for dimension, units in DIMENSIONS.items():
        if dimension == "sound-level":  # pint knows no such level
            continue
        for unit in units.units:
            quantity = registry.Quantity(37.25, PINT_NAMES.get(unit, unit))
            assert parse_quantity(f"37.25 {unit}", dimension) == pytest.approx(
                quantity.to(PINT_BASES[dimension]).magnitude, rel=1e-12
            ), (dimension, unit)
            looked_at += 1
    assert looked_at > 100


WRONG = [
    ("45", "length", "no unit"),
    ("", "length", "no value"),
    ("in", "length", "not a length"),
    ("45 V", "current", "is a voltage"),
    ("3.5 a", "current", "did you mean A"),
    ("-3 kg", "mass", "below zero"),
    ("-1 A", "current", "below zero"),
    ("nan kg", "mass", "not a mass"),
    ("inf A", "current", "not a current"),
    ("1e3 W", "power", "exponent"),
    ("1,200 W", "power", "comma"),
    ("1,5 m", "length", "comma"),
    ("9" * 400 + " m", "length", "not a length"),
    ("12 furlong", "length", "not a unit"),
    ("١٢ m", "length", "not a length"),
    ("5 m\n3 m", "length", ""),
    ("1 000 m", "length", ""),
]


@pytest.mark.parametrize(("text", "dimension", "says"), WRONG)
def test_wrong_quantity_says_what_would_do(text, dimension, says):
    with pytest.raises(QuantityError) as caught:
        parse_quantity(text, dimension)
    assert says in caught.value.says
    assert DIMENSIONS[dimension].offered[0] in caught.value.expected


def test_nearest_unit():
    with pytest.raises(QuantityError) as caught:
        parse_quantity("3.5 a", "current")
    assert caught.value.nearest == "3.5 A"


@given(st.text(max_size=30), st.sampled_from(sorted(DIMENSIONS)))
def test_any_text_is_a_finite_quantity_or_an_error(text, dimension):
    try:
        value = parse_quantity(text, dimension)
    except QuantityError as error:
        assert error.says
        assert error.expected
    else:
        assert math.isfinite(value)
        assert DIMENSIONS[dimension].negative or value >= 0


@given(st.decimals(min_value=0, max_value=10**6, places=3))
def test_milli_is_rounded_once(number):
    assert parse_quantity(f"{number} mA", "current") == float(Fraction(number) / 1000)
    assert parse_quantity(f"{number} mm", "length") == float(Fraction(number) / 1000)


def test_money():
    assert parse_money("45 USD") == 4500
    assert parse_money("12.50 USD").currency == "USD"
    assert isinstance(parse_money("12.5 EUR"), Cents)
    for text in ("45", "45 usd", "0.001 USD", "-3 USD", "$45", "1,000 USD", "9" * 30 + " USD"):
        with pytest.raises(QuantityError):
            parse_money(text)


def test_cents_keep_their_currency_when_copied():
    import copy
    import pickle

    price = parse_money("12.50 EUR")
    assert copy.deepcopy(price).currency == "EUR"
    assert pickle.loads(pickle.dumps(price)).currency == "EUR"


def test_share():
    assert parse_share("70 %") == 0.7
    assert parse_share("100%") == 1.0
    for text in ("0.7", "101 %", "-1 %", "%"):
        with pytest.raises(QuantityError):
            parse_share(text)


def test_fraction_is_exact():
    assert parse_fraction("1/3") == Fraction(1, 3)
    assert parse_fraction("0.1") == Fraction(1, 10)
    assert parse_fraction("0") == 0
    for text in ("1/0", "a", "1/2/3", "", "1 / 2"):
        with pytest.raises(QuantityError):
            parse_fraction(text)


def test_number():
    assert parse_number("1.2") == 1.2
    for text in ("1e3", "nan", "inf", "1_000", "0x1", "", "1 A"):
        with pytest.raises(QuantityError):
            parse_number(text)
