"""Values in the sentences of findings, in the shop's units."""

from __future__ import annotations

from rigbook.quantities.units import INCH_M, POUND_KG


def shown(value: float, unit: str, units: str) -> str:
    """A value as a person reads it: three or four figures and the unit; `us` shows pounds and inches."""
    if unit == "count":
        return f"{value:g}"
    if unit == "share":
        return f"{_short(100 * value)} %"
    if units == "us" and unit == "kg":
        return f"{_short(value / POUND_KG)} lb"
    if units == "us" and unit == "m":
        return f"{_short(value / INCH_M)} in"
    if unit == "mm2":
        return f"{_short(value)} mm²"
    return f"{_short(value)} {unit}"


def _short(value: float) -> str:
    """Four significant figures without an exponent; whole numbers above 1000 as such; no negative zero."""
    if abs(value) >= 1000:
        return f"{round(value):d}"
    text = f"{value:.4g}"
    if "e" in text:
        text = f"{value:.4f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text
