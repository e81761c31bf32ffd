"""Conductor sizes: American wire gauge and square millimetres."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True, slots=True)
class Gauge:
    """A conductor size. `size` is the AWG number (1/0 is 0, 2/0 is -1, 4/0 is -3) or the nominal mm2."""

    system: Literal["AWG", "mm2"]
    size: float

    @staticmethod
    def awg(number: int) -> Gauge:
        """AWG by number; 1/0 is 0, 4/0 is -3."""
        return Gauge("AWG", float(number))

    @staticmethod
    def mm2(area: float) -> Gauge:
        """Nominal square millimetres."""
        return Gauge("mm2", area)

    @property
    def label(self) -> str:
        """As the tables print it: 18, 2/0, 2.5."""
        if self.system == "AWG":
            return f"{1 - int(self.size)}/0" if self.size <= 0 else str(int(self.size))
        return f"{self.size:g}"

    def __str__(self) -> str:
        return f"{self.label} {self.system}"
