"""Wire sizes: American wire gauge and metric cross-sections, ordered by area of copper."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from functools import total_ordering
from typing import Literal

from rigbook.quantities.parse import QuantityError

_AWG = re.compile(r"(?:([1-4])/0|0*(\d{1,2}))\s*AWG", re.ASCII)
_MM2 = re.compile(r"(\d+(?:\.\d*)?|\.\d+)\s*mm(?:2|²)", re.ASCII)
_THINNEST_AWG = 40
_THICKEST_MM2 = 1000.0


@total_ordering
@dataclass(frozen=True, slots=True, eq=False)
class Gauge:
    """The size of a wire. `number` is the AWG number (1/0 is 0, 2/0 is -1 … 4/0 is -3) or the area in mm2."""

    system: Literal["AWG", "mm2"]
    number: float

    @property
    def area_mm2(self) -> float:
        """Ideal area of copper in mm2, from the gauge's diameter of 0.127 mm * 92^((36-n)/39) (ASTM B258)."""
        if self.system == "mm2":
            return self.number
        diameter_mm = 0.127 * 92 ** ((36 - self.number) / 39)
        return math.pi / 4 * float(diameter_mm) ** 2

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Gauge):
            return NotImplemented
        return self.system == other.system and self.number == other.number

    def __hash__(self) -> int:
        return hash((self.system, self.number))

    def __lt__(self, other: Gauge) -> bool:
        if not isinstance(other, Gauge):
            return NotImplemented
        return (self.area_mm2, self.system, self.number) < (other.area_mm2, other.system, other.number)

    @property
    def label(self) -> str:
        """The size as tables print it: 18, 2/0, 2.5."""
        if self.system == "mm2":
            return f"{self.number:.12g}"
        return f"{int(1 - self.number)}/0" if self.number <= 0 else str(int(self.number))

    def __str__(self) -> str:
        return f"{self.label} {self.system}"


def parse_gauge(text: str) -> Gauge:
    """Read `14 AWG`, `2/0 AWG` or `2.5 mm2`.

    Raises:
        QuantityError: not a wire size, thinner than 40 AWG or thicker than 1000 mm2.
    """
    stripped = text.strip()
    expected = "a wire size, as 14 AWG, 2/0 AWG or 2.5 mm2"
    if match := _AWG.fullmatch(stripped):
        number = 1 - int(match.group(1)) if match.group(1) else int(match.group(2))
        if number <= _THINNEST_AWG:
            return Gauge("AWG", number)
        raise QuantityError(f"{stripped} is thinner than {_THINNEST_AWG} AWG", found=stripped, expected=expected)
    if (match := _MM2.fullmatch(stripped)) and len(stripped) <= 20:
        area = float(match.group(1))
        if 0.0 < area <= _THICKEST_MM2:
            return Gauge("mm2", area)
        raise QuantityError(f"{stripped} is not the size of a wire", found=stripped, expected=expected)
    shown = stripped if len(stripped) <= 40 else stripped[:39] + "…"
    raise QuantityError(f"{shown!r} is not a wire size; write it as 14 AWG or 2.5 mm2", found=shown, expected=expected)
