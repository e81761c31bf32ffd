"""Cabinets and consoles that things get warm in."""

# ruff: noqa: RUF012 -- records are frozen, and pydantic copies their defaults

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from rigbook.documents.schema.base import Problem, Record, above_zero
from rigbook.documents.schema.scalars import Extent, Name, Share, Temperature, Text, YesNo

Face = Literal["front", "back", "left", "right", "top", "bottom"]


class Vents(Record):
    width: Extent
    """Of each of two equal openings, one low and one high."""
    height: Extent
    """Of each of them."""
    rise: Extent
    """From the middle of the low one to the middle of the high one."""

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values."""
        yield from above_zero(self, "width", "height", "rise")


class Enclosure(Record):
    id: Name
    """Name of the enclosure."""
    cabinet: Name
    """Installed cabinet or console; its size gives the faces."""
    holds: list[Name]
    """Installed things that are warm inside it."""
    faces: list[Face] = ["front", "top"]
    """Faces free to the air around."""
    wall: Literal["painted-steel", "stainless-steel", "aluminium", "plastic"] = "painted-steel"
    """What they are made of."""
    vents: Vents | None = None
    """Openings that air passes by itself."""
    fan: Name | None = None
    """Installed fan that blows through it."""
    filter_passes: Share = 0.5
    """Share of the fan's free flow left behind filter and cables [common practice, no source]."""
    sun: YesNo = False
    """Closed and parked in the sun: an estimate."""
    limit: Temperature
    """Highest temperature its contents may work at."""
    note: Text | None = None
    """For the people in the bay."""

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values."""
        yield from above_zero(self, "filter_passes")
        if not self.holds:
            yield Problem("holds", "nothing is warm in this enclosure", "none", "holds: [radio-ops]")
        if not self.faces and self.vents is None and self.fan is None:
            yield Problem("faces", "no face, no opening and no fan: heat has no way out", "none", "faces: [front, top]")
        if len(set(self.faces)) < len(self.faces):
            yield Problem("faces", "a face stands twice", "", "each face once")
