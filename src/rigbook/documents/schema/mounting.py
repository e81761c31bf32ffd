"""Bolted joints to prove: what hangs on which bolts, in what sheet, by which rule's load factors."""

# ruff: noqa: RUF012 -- records are frozen, and pydantic copies their defaults

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from pydantic import Field

from rigbook.documents.schema.base import Problem, Record, above_zero
from rigbook.documents.schema.scalars import Count, Extent, Force, Length, Name, Pressure, Ref, Text, Torque

Side = Literal["up", "down", "ahead", "back", "left", "right"]
Thread = Literal["M4", "M5", "M6", "M8", "M10", "M12"]


class Sheet(Record):
    thickness: Extent
    """Of the sheet the bolts bear on."""
    strength: Pressure = 270e6
    """Tensile strength of the sheet [common practice: soft body steel]."""
    edge: Extent
    """From the bolt centres to the nearest edge of the sheet."""
    hole: Extent | None = None
    """Diameter of the holes; 0.6 mm above the bolt where left out, or the nut's where it is a rivet nut."""
    washer: Extent | None = None
    """Outside diameter of the washer or backing plate under head or nut; twice the bolt where left out."""

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values."""
        yield from above_zero(self, "thickness", "strength", "edge")


class Bracket(Record):
    count: Count = 1
    """Brackets that share the load."""
    arm: Extent
    """From the bolts to where the load acts."""
    width: Extent
    """Width of the section that bends."""
    thickness: Extent
    """Thickness of the section that bends."""
    yield_: Pressure = Field(default=235e6, alias="yield")
    """Yield strength [common practice: structural steel]."""

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values."""
        yield from above_zero(self, "count", "arm", "width", "thickness")


class JointMount(Record):
    id: Name
    """Name of the joint."""
    holds: list[Ref]
    """Installed ids, and battery.BANK, that hang on it."""
    kit: list[Name] = []
    """Loose equipment carried in it."""
    rule: Name = "crew-area"
    """Row of the table of load factors: crew-area, any-direction or patient-area."""
    bolts: list[tuple[Length, Length, Length]]
    """Where the bolts are, in vehicle axes."""
    stands_off: Side = "up"
    """Way the thing stands off the sheet; the bolts run along it."""
    bolt: Thread
    """Thread of the bolts."""
    class_: Literal["8.8", "10.9"] = Field(default="8.8", alias="class")
    """Property class."""
    fastening: Literal["nut", "rivet-nut-round", "rivet-nut-hex"] = "nut"
    """What the bolts go into."""
    sheet: Sheet
    """Sheet they bear on."""
    pull_out: Force | None = None
    """Pull-out of one rivet nut in this sheet, as tested or as its supplier says."""
    torque: Torque | None = None
    """Supplier's own torque."""
    bracket: Bracket | None = None
    """Bracket between bolts and thing."""
    note: Text | None = None
    """For the people in the bay."""

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values."""
        if not self.bolts:
            yield Problem("bolts", "a joint without bolts holds nothing", "none", "bolts: [[3.2 m, 0.4 m, 0.6 m]]")
        if not self.holds:
            yield Problem("holds", "nothing hangs on this joint", "none", "holds: [cabinet-rear]")
        if len(set(self.bolts)) < len(self.bolts):
            yield Problem("bolts", "two bolts stand in one place", "the same point twice", "each bolt once")
        if self.pull_out is not None and self.fastening == "nut":
            yield Problem("pull_out", "a pull-out is of rivet nuts", self.fastening, "fastening: rivet-nut-hex")
        if self.sheet.hole is not None and self.sheet.edge <= self.sheet.hole / 2:
            yield Problem("sheet/edge", "the hole reaches over the edge of the sheet", "", "more than half the hole")


class SightLine(Record):
    id: Name
    """What is seen along it."""
    from_: tuple[Length, Length, Length] = Field(alias="from")
    """Eye, camera or lamp."""
    to: tuple[Length, Length, Length]
    """What must stay in sight."""

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values."""
        if self.from_ == self.to:
            yield Problem("to", "a line of sight needs two ends", "the same point twice", "another point")
