"""The scalar types of the documents. Each reads its text by what the key expects, never by how it looks.

A type takes a `Scalar` (or any str) and gives the Python value; a value that is already of that type passes, so that
records can be made in code. Errors name the units that would do.
"""

from __future__ import annotations

import fractions
import math
import re
from collections.abc import Callable
from typing import Annotated, Any, Literal, TypeAlias

from pydantic import PlainSerializer, PlainValidator, WithJsonSchema

from rigbook.documents.schema.base import Scalar, trouble
from rigbook.quantities.gauge import Gauge, parse_gauge
from rigbook.quantities.parse import (
    Cents,
    QuantityError,
    parse_fraction,
    parse_money,
    parse_number,
    parse_quantity,
    parse_share,
)
from rigbook.quantities.units import DIMENSIONS, Dimension

_NAME = re.compile(r"[a-z][a-z0-9_-]*", re.ASCII)
_REF = re.compile(r"[a-z][a-z0-9_-]*(?:\.[a-z0-9][a-z0-9_-]*)*", re.ASCII)
_YES_NO = {"yes": True, "true": True, "no": False, "false": False}


def _as_text(value: Any, expected: str) -> str:
    if isinstance(value, str):
        return value
    kind = "a list" if isinstance(value, list | tuple) else "a mapping" if isinstance(value, dict) else repr(value)
    raise trouble(f"{kind} stands where {expected} is needed", found=kind, expected=expected)


def _text(value: Any) -> str:
    text = _as_text(value, "a text")
    if isinstance(value, Scalar):
        if value.cut:
            raise trouble(
                f"a # began a comment after {str(value)!r}; put the text in quotes, or a blank after the #",
                found=f"{value} {value.cut}",
                expected="a text",
            )
        if not value.quoted and not value:
            raise trouble("no value is given; a text is needed here", expected="a text")
        return str(value)
    return text


def _name(value: Any) -> str:
    text = _as_text(value, "a name")
    if not _NAME.fullmatch(text):
        shown = text if len(text) <= 60 else text[:59] + "…"
        near = re.sub(r"[^a-z0-9_-]+", "-", text.lower()).strip("-_")[:60]
        says = f"{shown!r} is not a name" if text else "no name is given"
        raise trouble(
            f"{says}; names are small letters, digits, - and _, and begin with a letter",
            found=shown,
            expected="a name, as grille-left",
            nearest=near if _NAME.fullmatch(near) else "",
        )
    return str(text)


def _reference(value: Any) -> str:
    text = _as_text(value, "a reference")
    if not _REF.fullmatch(text):
        shown = text if len(text) <= 60 else text[:59] + "…"
        raise trouble(f"{shown!r} is not a reference", found=shown, expected="a name, or name and member, as control.3")
    return str(text)


def _yes_no(value: Any) -> bool:
    if isinstance(value, bool):
        return value
    text = _as_text(value, "yes or no")
    if text not in _YES_NO:
        raise trouble(
            f"{text[:60]!r} is neither yes nor no",
            found=text[:60],
            expected="yes, no, true or false",
            nearest=text.lower() if text.lower() in _YES_NO else "",
        )
    return _YES_NO[text]


def _count(value: Any) -> int:
    if isinstance(value, int) and not isinstance(value, bool) and value >= 0:
        return value
    text = _as_text(value, "a whole number").strip()
    if not re.fullmatch(r"\d{1,9}", text, re.ASCII):
        raise trouble(f"{text[:60]!r} is not a whole number", found=text[:60], expected="a whole number, 0 or more")
    return int(text)


def _reader(read: Callable[[str], Any], kinds: tuple[type, ...], expected: str) -> Callable[[Any], Any]:
    def validate(value: Any) -> Any:
        if isinstance(value, kinds) and not isinstance(value, bool | str):
            if isinstance(value, int | float) and not math.isfinite(value):
                raise trouble(f"{value} is not finite", found=str(value), expected=expected)
            return float(value) if float in kinds and isinstance(value, int | float) else value
        text = _as_text(value, expected)
        try:
            return read(str(text))
        except QuantityError as error:
            raise trouble(error.says, found=error.found, expected=error.expected, nearest=error.nearest) from None

    return validate


def _of(dimension: Dimension, low: float = -math.inf, high: float = math.inf, says: str = "") -> PlainValidator:
    units = DIMENSIONS[dimension]
    expected = f"{units.noun} with its unit ({', '.join(units.offered)})"

    def read(text: str) -> float:
        value = parse_quantity(text, dimension)
        if not low <= value <= high:
            raise QuantityError(f"{text.strip()} {says}", found=text, expected=expected)
        return value

    return PlainValidator(_reader(read, (int, float), expected))


def _positive(text: str) -> float:
    value = parse_number(text)
    if value <= 0:
        raise QuantityError(f"{text} is not above zero", found=text, expected="a number above 0")
    return value


def _rpm(text: str) -> float:
    stripped = text.strip()
    value = parse_number(stripped[:-3] if stripped.endswith("rpm") else stripped)
    if value < 0:
        raise QuantityError(f"{stripped} is below zero", found=stripped, expected="a speed of rotation, as 700 rpm")
    return value


def _minutes(text: str) -> float:
    return parse_quantity(text, "duration") / 60.0


def _format_number(value: Any) -> int:
    if value == 1 and not isinstance(value, bool):
        return 1
    text = _as_text(value, "the format number")
    if text != "1":
        raise trouble(f"this edition reads format 1, not {text[:20]!r}", found=text[:20], expected="rigbook: 1")
    return 1


def _schema(pattern: str, description: str) -> WithJsonSchema:
    return WithJsonSchema({"type": ["string", "number"], "pattern": pattern, "description": description})


_UNIT = r"^[+-]?[0-9.]+ ?\S.*$"

Name: TypeAlias = Annotated[str, PlainValidator(_name), WithJsonSchema({"type": "string", "pattern": _NAME.pattern})]
Ref: TypeAlias = Annotated[str, PlainValidator(_reference), WithJsonSchema({"type": "string", "pattern": _REF.pattern})]
Text: TypeAlias = Annotated[str, PlainValidator(_text), WithJsonSchema({"type": ["string", "number", "boolean"]})]
YesNo: TypeAlias = Annotated[
    bool, PlainValidator(_yes_no), WithJsonSchema({"enum": ["yes", "no", "true", "false", True, False]})
]
Count: TypeAlias = Annotated[int, PlainValidator(_count), WithJsonSchema({"type": "integer", "minimum": 0})]
FormatNumber: TypeAlias = Annotated[Literal[1], PlainValidator(_format_number), WithJsonSchema({"const": 1})]
Number: TypeAlias = Annotated[
    float, PlainValidator(_reader(parse_number, (int, float), "a number")), WithJsonSchema({"type": "number"})
]
Ratio: TypeAlias = Annotated[
    float,
    PlainValidator(_reader(_positive, (int, float), "a number above 0")),
    WithJsonSchema({"type": "number", "exclusiveMinimum": 0}),
]
Share: TypeAlias = Annotated[
    float, PlainValidator(_reader(parse_share, (int, float), "a share in per cent")), _schema("^.*%$", "per cent")
]
Fraction: TypeAlias = Annotated[
    fractions.Fraction,
    PlainValidator(_reader(parse_fraction, (fractions.Fraction, int), "a fraction")),
    PlainSerializer(str, return_type=str),
    WithJsonSchema({"type": ["string", "number"]}),
]
Length: TypeAlias = Annotated[float, _of("length"), _schema(_UNIT, "length with unit")]
Extent: TypeAlias = Annotated[
    float,
    _of("length", 0.0, says="is below zero; an extent cannot be negative"),
    _schema(_UNIT, "length with unit, >= 0"),
]
Azimuth: TypeAlias = Annotated[
    float, _of("angle", -360.0, 360.0, "is beyond one turn; write 0 to 360 deg"), _schema(_UNIT, "azimuth in deg")
]
Tilt: TypeAlias = Annotated[
    float, _of("angle", -90.0, 90.0, "is beyond the vertical; write -90 to 90 deg"), _schema(_UNIT, "tilt in deg")
]
Weight: TypeAlias = Annotated[
    float, _of("mass", 1e-9, says="is not above zero"), _schema(_UNIT, "mass with unit, above 0")
]
Mass: TypeAlias = Annotated[float, _of("mass"), _schema(_UNIT, "mass with unit")]
Current: TypeAlias = Annotated[float, _of("current"), _schema(_UNIT, "current with unit")]
Voltage: TypeAlias = Annotated[float, _of("voltage"), _schema(_UNIT, "voltage with unit")]
Resistance: TypeAlias = Annotated[float, _of("resistance"), _schema(_UNIT, "resistance with unit")]
Power: TypeAlias = Annotated[float, _of("power"), _schema(_UNIT, "power with unit")]
Charge: TypeAlias = Annotated[float, _of("charge"), _schema(_UNIT, "charge with unit")]
Energy: TypeAlias = Annotated[float, _of("energy"), _schema(_UNIT, "energy with unit")]
Duration: TypeAlias = Annotated[float, _of("duration"), _schema(_UNIT, "time with unit")]
Temperature: TypeAlias = Annotated[float, _of("temperature"), _schema(_UNIT, "temperature with unit")]
Angle: TypeAlias = Annotated[float, _of("angle"), _schema(_UNIT, "angle in deg")]
Intensity: TypeAlias = Annotated[float, _of("intensity"), _schema(_UNIT, "luminous intensity in cd")]
Flux: TypeAlias = Annotated[float, _of("flux"), _schema(_UNIT, "luminous flux in lm")]
Illuminance: TypeAlias = Annotated[float, _of("illuminance"), _schema(_UNIT, "illuminance in lx or fc")]
Frequency: TypeAlias = Annotated[float, _of("frequency"), _schema(_UNIT, "frequency with unit")]
SoundLevel: TypeAlias = Annotated[float, _of("sound-level"), _schema(_UNIT, "sound level in dB")]
Speed: TypeAlias = Annotated[float, _of("speed"), _schema(_UNIT, "speed with unit")]
Force: TypeAlias = Annotated[float, _of("force"), _schema(_UNIT, "force with unit")]
Torque: TypeAlias = Annotated[float, _of("torque"), _schema(_UNIT, "torque with unit")]
Volume: TypeAlias = Annotated[float, _of("volume"), _schema(_UNIT, "volume with unit")]
Density: TypeAlias = Annotated[float, _of("density"), _schema(_UNIT, "density with unit")]
Pressure: TypeAlias = Annotated[float, _of("pressure"), _schema(_UNIT, "pressure with unit")]
Rpm: TypeAlias = Annotated[
    float, PlainValidator(_reader(_rpm, (int, float), "a speed of rotation")), _schema("^[0-9.]+( ?rpm)?$", "rpm")
]
Minutes: TypeAlias = Annotated[
    float, PlainValidator(_reader(_minutes, (int, float), "a time")), _schema(_UNIT, "time with unit")
]
Money: TypeAlias = Annotated[
    int, PlainValidator(_reader(parse_money, (Cents, int), "an amount of money")), _schema(_UNIT, "amount, currency")
]
GaugeText: TypeAlias = Annotated[
    Gauge,
    PlainValidator(_reader(parse_gauge, (Gauge,), "a wire size")),
    PlainSerializer(str, return_type=str),
    _schema("^.*(AWG|mm2)$", "wire size"),
]
