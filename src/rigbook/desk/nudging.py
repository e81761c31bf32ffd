"""Moving what is fitted by a small step: the coordinates in the text change, each in the unit it was written in."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from rigbook.documents.arranging import Operation
from rigbook.documents.editing import EditError
from rigbook.quantities.parse import QuantityError, parse_quantity
from rigbook.quantities.show import convert, format_number
from rigbook.rig.placement import Placement

LONGEST_STEP_M = 0.5
_WRITTEN = re.compile(r"\s*[-+]?\d+(?:\.(?P<decimals>\d+))?\s*(?P<unit>mm|cm|m|in|ft)\s*")


@dataclass(frozen=True, slots=True)
class Step:
    """How far, in vehicle axes: back, to the right, up [m]."""

    x_m: float
    y_m: float
    z_m: float

    @property
    def along(self) -> tuple[float, float, float]:
        """The three in order."""
        return self.x_m, self.y_m, self.z_m


def moved(written: str, by_m: float) -> str:
    """A length as written, moved; in its own unit, to the tenth of a millimetre, 1/100 in.

    Feet and inches together come back in metres.

    >>> moved("0.50 m", 0.01), moved("45 in", 0.0127), moved("-3 mm", -0.01)
    ('0.51 m', '45.5 in', '-13 mm')

    Raises:
        EditError: it is no length.
    """
    if by_m == 0:
        return written
    try:
        value_m = parse_quantity(written, "length") + by_m
    except QuantityError as why:
        raise EditError(f"{written!r} cannot be moved: {why}") from why
    found = _WRITTEN.fullmatch(written)
    unit, kept = (found["unit"], len(found["decimals"] or "")) if found else ("m", 3)
    finest = {"mm": 1, "cm": 2, "m": 4, "in": 2, "ft": 3}[unit]
    value = round(convert(value_m, "length", unit), finest) + 0.0
    shown = format_number(value, 12)
    if "." in shown and len(shown.split(".")[1]) >= kept:
        return f"{shown} {unit}"
    return f"{value:.{kept}f} {unit}"


def nudge(row_id: str, row: Mapping[str, Any], by: Step, placed: Placement | None) -> list[Operation]:
    """The edits that move one installed row.

    Coordinates move as they stand; of a row of lamps both ends. What sits on a named place gets that place's
    coordinates, aim, node and height class written out and moved: from then on it stands by itself.

    Args:
        row_id: its id.
        row: the row as written.
        by: how far.
        placed: where it is worked out to be; needed for a named place.

    Raises:
        EditError: it cannot be moved this way; says why and what to do.
    """
    if any(abs(step) > LONGEST_STEP_M for step in by.along):
        raise EditError(f"a step is at most {LONGEST_STEP_M:g} m; write the coordinates for more")
    path = f"install[{row_id}]"
    if isinstance(row.get("at"), list):
        return _point(f"{path}.at", row["at"], by)
    along = row.get("along")
    if isinstance(along, Mapping):
        ends = [key for key in ("from", "to") if isinstance(along.get(key), list)]
        return [o for key in ends for o in _point(f"{path}.along.{key}", along[key], by)]
    if "on" in row:
        raise EditError(f"{row_id} sits on a panel: its place on the face is written under `on`")
    if "place" not in row or placed is None:
        raise EditError(f"{row_id} cannot be moved before the build can be worked out")
    return _from_place(path, row_id, row, by, placed)


def _point(path: str, written: list[Any], by: Step) -> list[Operation]:
    if len(written) != 3:
        raise EditError(f"{path} needs three coordinates: [x, y, z]")
    return [
        Operation("set", f"{path}[{i}]", moved(str(value), step))
        for i, (value, step) in enumerate(zip(written, by.along, strict=True))
        if step
    ]


def _from_place(path: str, row_id: str, row: Mapping[str, Any], by: Step, placed: Placement) -> list[Operation]:
    if len(placed.poses) > 1:
        says = f"{row_id} sits on a part that opens ({placed.place}): its place moves with it"
        raise EditError(f"{says}; change that place in the vehicle file, or choose another place")
    if placed.glass_share < 1:
        raise EditError(f"{row_id} sits behind glass ({placed.place}); change that place in the vehicle file")
    at = placed.at
    values = (at.x_m + by.x_m, at.y_m + by.y_m, at.z_m + by.z_m)
    point = ", ".join(f"{format_number(round(v, 4) + 0.0, 6)} m" for v in values)
    operations = [Operation("set", f"{path}.at", f"[{point}]", fragment=True), Operation("clear", f"{path}.place")]
    closed = placed.closed
    if closed.facing_deg is not None and "facing" not in row:
        operations.append(Operation("set", f"{path}.facing", f"{format_number(closed.facing_deg)} deg"))
    if closed.tilt_deg and "tilt" not in row:
        operations.append(Operation("set", f"{path}.tilt", f"{format_number(closed.tilt_deg)} deg"))
    kept = {"level": placed.level, "node": placed.node, "area": placed.area, "inside": "yes" if placed.inside else None}
    operations += [Operation("set", f"{path}.{k}", v) for k, v in kept.items() if v is not None and k not in row]
    return operations
