"""Quantities out: always with a unit, and what is shown can be read again."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rigbook.quantities.parse import QuantityError, parse_money, parse_quantity
from rigbook.quantities.show import (
    convert,
    dimension_of,
    format_in,
    format_money,
    format_number,
    format_quantity,
    parse_in,
    unit_for,
)
from rigbook.quantities.units import DIMENSIONS

SHOWN = [
    (1.143, "length", "us", "45 in"),
    (1.143, "length", "metric", "1.143 m"),
    (0.12, "length", "metric", "120 mm"),
    (6.096, "length", "us", "20 ft"),
    (49.8951607, "mass", "us", "110 lb"),
    (0.025, "current", "us", "25 mA"),
    (3.5, "current", "metric", "3.5 A"),
    (100.0, "temperature", "us", "212 F"),
    (75.0, "temperature", "metric", "75 C"),
    (0.7, "share", "us", "70 %"),
    (1500.0, "duration", "us", "25 min"),
    (0.0, "length", "metric", "0 m"),
    (-0.05, "length", "metric", "-50 mm"),
]


@pytest.mark.parametrize(("value", "dimension", "units", "text"), SHOWN)
def test_shown(value, dimension, units, text):
    assert format_quantity(value, dimension, units) == text


@given(
    st.sampled_from(sorted(DIMENSIONS)),
    st.sampled_from(["us", "metric"]),
    st.floats(min_value=1e-9, max_value=1e9),
    st.integers(3, 12),
)
def test_there_and_back(dimension, units, value, digits):
    text = format_quantity(value, dimension, units, digits=digits)
    back = parse_quantity(text, dimension)
    offset = abs(DIMENSIONS[dimension].units[unit_for(value, dimension, units)].offset)
    assert math.isclose(back, value, rel_tol=10.0 ** (1 - digits), abs_tol=offset * 10.0 ** (2 - digits))


@given(st.sampled_from([(d, u) for d, units in DIMENSIONS.items() for u in units.units]), st.floats(0.001, 1e6))
def test_every_unit_there_and_back(pair, value):
    dimension, unit = pair
    assert math.isclose(
        parse_quantity(format_in(value, dimension, unit, digits=15), dimension), value, rel_tol=1e-9, abs_tol=1e-9
    )


def test_number():
    assert format_number(0.1 + 0.2, 6) == "0.3"
    assert format_number(123456.0, 3) == "123000"
    assert format_number(-1e-9, 3) == "-0.000000001"
    assert format_number(2.5e-4, 1) == "0.0002"
    for value in (math.nan, math.inf):
        with pytest.raises(ValueError):
            format_number(value)


@given(st.integers(0, 10**12))
def test_money_there_and_back(cents):
    assert parse_money(format_money(cents, "USD")) == cents


def test_parse_in():
    assert parse_in("3 ft", "in") == pytest.approx(36)
    assert parse_in("3 %", "fraction") == 0.03
    assert parse_in("0.5", "") == 0.5
    assert parse_in("60 flashes/min", "flashes/min") == 60
    for text, unit in (("3", "in"), ("3 V", "in"), ("3 %", "in"), ("60", "flashes/min")):
        with pytest.raises(QuantityError):
            parse_in(text, unit)


def test_dimension_of_and_convert():
    assert dimension_of("lb") == "mass"
    assert dimension_of("flashes/min") is None
    assert convert(1.0, "length", "mm") == pytest.approx(1000)
