"""Reflective markings on the sides of a vehicle: stripes, patches, chevrons."""

# ruff: noqa: RUF012 -- records are frozen, and pydantic copies their defaults

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from pydantic import Field

from rigbook.documents.schema.base import Problem, Record
from rigbook.documents.schema.scalars import Angle, Extent, Length, Name, Text

Spot = tuple[Length, Length]
LEAST_M = 0.005


class Gap(Record):
    why: Text
    """What stands there: a lamp, a handle, glass."""
    from_: Spot = Field(alias="from")
    """One corner, as those of the marking."""
    to: Spot
    """The opposite corner."""


class MarkingArea(Record):
    id: Name
    """Name of the marking."""
    side: Literal["left", "right", "front", "rear"]
    """Side of the vehicle it is on."""
    kind: Literal["stripe", "patch", "chevrons"] = "patch"
    """One stripe, a patch of one colour, or bands in turn that fall away from the centreline."""
    from_: Spot = Field(alias="from")
    """One corner: x (left and right side) or y (front and rear), and height."""
    to: Spot
    """The opposite corner."""
    parts: list[Name]
    """Sheeting of the catalogue: one part, or those of the bands in turn, from the lowest at the centreline."""
    stripe: Extent = 0.1524
    """Width of a band of chevrons, square to it; 6 in where left out."""
    angle: Angle = 45.0
    """Of the bands, below the horizontal."""
    gaps: list[Gap] = []
    """What interrupts it."""
    note: Text | None = None
    """For the people in the bay."""

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values."""
        if min(abs(a - b) for a, b in zip(self.from_, self.to, strict=True)) < LEAST_M:
            yield Problem("to", f"{self.id} has no area", "corners on one line", "two opposite corners")
        if min(self.from_[1], self.to[1]) < 0:
            yield Problem(
                "from", f"{self.id} reaches below the ground", f"{min(self.from_[1], self.to[1]):g} m", "0 or more"
            )
        if not self.parts:
            yield Problem("parts", f"{self.id} is of no sheeting", "none", "parts: [ID]")
        if self.kind == "chevrons":
            if len(self.parts) < 2:
                yield Problem("parts", f"chevrons of {self.id} alternate between two sheetings at least", "one",
                              "parts: [ID, ID]")  # fmt: skip
            if self.side in ("left", "right"):
                yield Problem(
                    "side", "chevrons fall away from the centreline: front or rear", self.side, "front or rear"
                )
            if self.stripe < LEAST_M:
                yield Problem("stripe", f"the bands of {self.id} have no width", f"{self.stripe:g} m", "6 in")
            if not 10 <= self.angle <= 80:
                yield Problem("angle", "bands lie between 10 and 80 deg", f"{self.angle:g} deg", "45 deg")
        elif len(self.parts) > 1:
            yield Problem("parts", f"a {self.kind} is of one sheeting", f"{len(self.parts)} parts", "one part")
