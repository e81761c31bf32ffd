"""Shelves and drawers and what they carry."""

# ruff: noqa: RUF012 -- records are frozen, and pydantic copies their defaults

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from rigbook.documents.schema.base import Problem, Record, above_zero
from rigbook.documents.schema.scalars import Extent, Name, Text, Weight


class ShelfSheet(Record):
    thickness: Extent
    """Of the sheet."""
    flange: Extent = 0.0
    """Depth of the edges folded down in front and behind, measured outside; 0 for a flat shelf."""
    material: Literal["steel", "aluminium", "birch-ply"] = "aluminium"
    """What it is made of."""

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values."""
        yield from above_zero(self, "thickness")
        if 0 < self.flange <= self.thickness:
            yield Problem("flange", "an edge folded down is deeper than the sheet is thick", f"{self.flange:g} m",
                          "0, or more than the thickness")  # fmt: skip


class Carrier(Record):
    id: Name
    """Name of what is checked."""
    of: Name
    """Installed shelf or drawer; its size gives span and depth."""
    holds: list[Name] = []
    """Installed things that stand on it."""
    kit: list[Name] = []
    """Loose equipment that lies on it."""
    spare: Weight = 0.0
    """Further load it is to carry."""
    sheet: ShelfSheet | None = None
    """Sheet it is bent from; its sag is not worked out where left out."""
    below: list[Name] = []
    """Installed things that stand under it on the same floor, to stay clear of at each of its heights."""
    clearance: Extent = 0.02
    """Least room above them [common practice: two fingers]."""
    note: Text | None = None
    """For the people in the bay."""
