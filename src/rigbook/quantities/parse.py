"""Text to floats: every quantity is written with its unit, and the key that asks for it says which units would do."""

from __future__ import annotations

import difflib
import math
import re
from decimal import Decimal
from fractions import Fraction

from rigbook.quantities.units import DIMENSIONS, Dimension, DimensionUnits

_NUMBER = r"[+-]?(?:\d+(?:\.\d*)?|\.\d+)"
_DECIMAL = re.compile(_NUMBER, re.ASCII)
_ONE = re.compile(rf"({_NUMBER})\s*(\D.*)?", re.DOTALL | re.ASCII)
_FEET_INCHES = re.compile(r"""([+-]?)(\d+)\s*(?:ft|')\s*(\d+(?:\.\d*)?|\.\d+)\s*(?:in|")""", re.ASCII)
_MONEY = re.compile(rf"({_NUMBER})\s*([A-Z]{{3}})", re.ASCII)
_LONGEST = 80


class QuantityError(ValueError):
    """A text that is not the quantity asked for: what is wrong, what was found, what would do."""

    def __init__(self, says: str, *, found: str, expected: str, nearest: str = "") -> None:
        super().__init__(says)
        self.says = says
        self.found = found
        self.expected = expected
        self.nearest = nearest


class Cents(int):
    """Whole cents (hundredths) of one currency."""

    currency: str

    @staticmethod
    def of(cents: int, currency: str) -> Cents:
        """Make cents of a currency, a code of three capitals."""
        made = Cents(cents)
        made.currency = currency
        return made

    def __reduce__(self) -> tuple[object, ...]:
        return (Cents.of, (int(self), getattr(self, "currency", "")))


def _shown(text: str) -> str:
    return text if len(text) <= _LONGEST else text[: _LONGEST - 1] + "…"


def _offered(units: DimensionUnits) -> str:
    return f"{units.noun} with its unit ({', '.join(units.offered)})"


def parse_number(text: str) -> float:
    """Read a plain decimal number without a unit.

    Raises:
        QuantityError: not a decimal number, or not finite.
    """
    stripped = text.strip()
    if len(stripped) > _LONGEST or not _DECIMAL.fullmatch(stripped):
        raise QuantityError(
            f"{_shown(text)!r} is not a number", found=_shown(text), expected="a decimal number, as 12 or 0.5"
        )
    return float(stripped)


def parse_quantity(text: str, dimension: Dimension) -> float:
    """Read a quantity with its unit into the dimension's base unit (SI; see `units`).

    Accepts `45 in`, `3.5A`, `48"`, `6 ft 2 in`, `70 %`. Signs only where the dimension allows values below zero.

    Raises:
        QuantityError: no number, no unit, a unit of another dimension, a value that cannot be.
    """
    units = DIMENSIONS[dimension]
    stripped = text.strip()
    if len(stripped) > _LONGEST:
        raise QuantityError(f"this is not {units.noun}", found=_shown(text), expected=_offered(units))
    value = _feet_and_inches(stripped) if dimension == "length" else None
    if value is None:
        value = _one(stripped, units)
    if not math.isfinite(value):
        raise QuantityError(f"{stripped} is not a finite number", found=stripped, expected=_offered(units))
    if value < 0 and not units.negative:
        raise QuantityError(
            f"{stripped} is below zero; {units.noun} cannot be negative", found=stripped, expected=_offered(units)
        )
    return value


def _feet_and_inches(text: str) -> float | None:
    match = _FEET_INCHES.fullmatch(text)
    if match is None:
        return None
    sign, feet, inches = match.groups()
    whole = Fraction(feet) * 12 + Fraction(inches)
    return float((-whole if sign == "-" else whole) * Fraction(254, 10000))


def _one(text: str, units: DimensionUnits) -> float:
    match = _ONE.fullmatch(text)
    if match is None or not text.isprintable():
        raise QuantityError(
            f"{text!r} is not {units.noun}" if text else f"no value is given; {units.noun} is needed here",
            found=text,
            expected=_offered(units),
        )
    number, name = match.group(1), re.sub(r"\s+", " ", (match.group(2) or "").strip())
    unit = units.units.get(name)
    if unit is not None:
        if unit.offset == 0.0:
            return _scaled(number, unit.factor)
        return float(number) * unit.factor + unit.offset
    raise _wrong_unit(text, number, name, units)


def _scaled(number: str, factor: float) -> float:
    """number * factor, rounded once: 150 ms is exactly the float nearest to 0.15."""
    plain = float(number)
    if factor == 1.0 or not math.isfinite(plain):
        return plain
    if factor < 1.0:
        whole = round(1 / factor)
        if whole < 10**9 and math.isclose(whole * factor, 1.0, rel_tol=1e-15):
            return float(Fraction(Decimal(number)) / whole)
    return float(Fraction(Decimal(number)) * Fraction(Decimal(repr(factor))))


def _wrong_unit(text: str, number: str, name: str, units: DimensionUnits) -> QuantityError:
    expected = _offered(units)
    if not name:
        return QuantityError(
            f"{text} has no unit; write {units.noun} with its unit: {', '.join(units.offered)}",
            found=text,
            expected=expected,
        )
    if re.fullmatch(r",\d+\D*", name):
        return QuantityError(
            f"{text} has a comma in its number; write it with a decimal point and without thousands separators",
            found=text,
            expected=expected,
        )
    if re.match(r"[eE][+-]?\d", name):
        return QuantityError(
            f"{text} is written with an exponent; write a decimal number", found=text, expected=expected
        )
    for other in DIMENSIONS.values():
        if name in other.units and other is not units:
            return QuantityError(
                f"{text} is {other.noun}, and {units.noun} is needed here", found=text, expected=expected
            )
    near = next((unit for unit in units.units if unit.lower() == name.lower()), None)
    if near is None:
        near = next(iter(difflib.get_close_matches(name, [u for u in units.units if u], n=1, cutoff=0.5)), None)
    hint = f"; did you mean {near}?" if near else ""
    return QuantityError(
        f"{name!r} is not a unit of {units.noun.split(' ', 1)[1]}{hint}",
        found=text,
        expected=expected,
        nearest=f"{number} {near}" if near else "",
    )


def parse_money(text: str) -> Cents:
    """Read an amount of money with its currency (`45 USD`, `12.50 USD`) into whole cents.

    Raises:
        QuantityError: no currency, more than two decimals, below zero.
    """
    stripped = text.strip()
    expected = "an amount with its currency, as 45 USD or 12.50 USD"
    match = _MONEY.fullmatch(stripped) if len(stripped) <= _LONGEST else None
    if match is None:
        says = f"{_shown(stripped)!r} is not an amount of money; write it with its currency, as 45 USD"
        raise QuantityError(says, found=_shown(text), expected=expected)
    cents = Decimal(match.group(1)) * 100
    if cents != cents.to_integral_value():
        raise QuantityError(f"{stripped} is finer than a whole cent", found=stripped, expected=expected)
    if cents < 0:
        raise QuantityError(f"{stripped} is below zero", found=stripped, expected=expected)
    if cents > 10**15:
        raise QuantityError(f"{stripped} is beyond what a price can be", found=stripped, expected=expected)
    return Cents.of(int(cents), match.group(2))


def parse_share(text: str) -> float:
    """Read `70 %` into 0.7. A share is 0 to 100 %.

    Raises:
        QuantityError: no per-cent sign, or outside 0 to 100 %.
    """
    value = _percent(text)
    if not 0.0 <= value <= 1.0:
        raise QuantityError(f"{text.strip()} is outside 0 to 100 %", found=text, expected="0 % to 100 %")
    return value


def _percent(text: str) -> float:
    stripped = text.strip()
    if not stripped.endswith("%"):
        raise QuantityError(
            f"{_shown(stripped)!r} is not a share; write it in per cent, as 70 %",
            found=_shown(text),
            expected="a share in per cent, as 70 %",
        )
    return parse_quantity(stripped, "share")


def parse_fraction(text: str) -> Fraction:
    """Read `1/2`, `0.25` or `0` exactly.

    Raises:
        QuantityError: not such a fraction, or a zero below the line.
    """
    stripped = text.strip()
    expected = "a fraction, as 1/2, 0.25 or 0"
    if len(stripped) <= _LONGEST and re.fullmatch(r"\d+/\d+", stripped, re.ASCII):
        above, below = stripped.split("/")
        if int(below):
            return Fraction(int(above), int(below))
    elif len(stripped) <= _LONGEST and _DECIMAL.fullmatch(stripped):
        return Fraction(Decimal(stripped))
    raise QuantityError(f"{_shown(stripped)!r} is not a fraction", found=_shown(text), expected=expected)
