"""The digest of a worked-out build: sha256 over canonical JSON (RFC 8785), so that comments do not count.

It covers the build without `settled:`, every value decided for it, the vehicle, the parts it reaches, the shop's
stock and patterns, the rule packs it names and the photometric bytes its parts use.
"""

from __future__ import annotations

import hashlib
import math
from collections.abc import Mapping
from json.encoder import encode_basestring
from typing import Any

SAFE_INTEGER = 2**53


def canonical(value: Any) -> str:
    """A value as canonical JSON of RFC 8785: keys in UTF-16 order, shortest numbers, no blanks.

    TypeError for what JSON cannot hold, ValueError for NaN and infinity.
    """
    if isinstance(value, str):
        return encode_basestring(value)
    if value is None or isinstance(value, bool):
        return "null" if value is None else "true" if value else "false"
    if isinstance(value, int):
        return str(value) if abs(value) < SAFE_INTEGER else canonical(float(value))
    if isinstance(value, float):
        return number(value)
    if isinstance(value, Mapping):
        pairs = [(str(key), each) for key, each in value.items()]
        pairs.sort(key=_key if all(key.isascii() for key, _ in pairs) else _utf_16_order)
        return "{" + ",".join([f"{encode_basestring(key)}:{canonical(each)}" for key, each in pairs]) + "}"
    if isinstance(value, list | tuple):
        return "[" + ",".join([canonical(each) for each in value]) + "]"
    if isinstance(value, set | frozenset):
        return canonical(sorted(str(each) for each in value))
    raise TypeError(f"{type(value).__name__} has no place in JSON")


def _key(pair: tuple[str, Any]) -> str:
    return pair[0]


def _utf_16_order(pair: tuple[str, Any]) -> bytes:
    return pair[0].encode("utf-16-be")


def number(value: float) -> str:
    """A float as ECMAScript prints it (RFC 8785, section 3.2.2.3)."""
    if math.isnan(value) or math.isinf(value):
        raise ValueError("JSON has neither NaN nor infinity")
    if value == 0:
        return "0"
    shortest = repr(value)
    if "e" not in shortest:  # between 1e-4 and 1e16 both print alike, but for the `.0` of whole numbers
        return shortest.removesuffix(".0")
    sign = "-" if value < 0 else ""
    mantissa, _, exponent = f"{abs(value)!r}".partition("e")
    whole, _, fraction = mantissa.partition(".")
    digits = (whole + fraction).lstrip("0")
    point = len(whole) + int(exponent or 0) - (len(whole + fraction) - len((whole + fraction).lstrip("0")))
    digits = digits.rstrip("0") or "0"
    count = len(digits)
    if count <= point <= 21:
        return sign + digits + "0" * (point - count)
    if 0 < point <= 21:
        return f"{sign}{digits[:point]}.{digits[point:]}"
    if -6 < point <= 0:
        return f"{sign}0.{'0' * -point}{digits}"
    power = point - 1
    shown = digits if count == 1 else f"{digits[0]}.{digits[1:]}"
    return f"{sign}{shown}e{'+' if power > 0 else '-'}{abs(power)}"


def digest(covered: Mapping[str, Any]) -> str:
    """sha256 of the canonical JSON, in hexadecimal."""
    return hashlib.sha256(canonical(covered).encode("utf-8")).hexdigest()
