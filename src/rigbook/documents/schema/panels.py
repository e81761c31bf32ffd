"""Faces with cut-outs: dash plates, console faces, cabinet fronts."""

# ruff: noqa: RUF012 -- records are frozen, and pydantic copies their defaults

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from rigbook.documents.schema.base import Problem, Record, above_zero
from rigbook.documents.schema.scalars import Angle, Azimuth, Extent, Length, Name, Text, Tilt, YesNo

Hinge = Literal["left", "right", "top", "bottom"]
Access = Literal["front", "back", "left", "right", "top", "bottom"]


class FaceReach(Record):
    seat: Name
    """Seat of the vehicle that it is worked from."""
    within: Extent
    """Farthest from that seat's point, as the shop measures it."""

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values."""
        yield from above_zero(self, "within")


class Move(Record):
    of: Name
    """Drawer, door or flap on this face."""
    out: Extent | None = None
    """How far a drawer pulls out."""
    hinge: Hinge | None = None
    """Side a door hangs on, seen from the front."""
    angle: Angle = 90.0
    """How far a door opens."""

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values."""
        if (self.out is None) == (self.hinge is None):
            found = "neither" if self.out is None else "out and hinge"
            says = f"{self.of} either pulls out or turns on a hinge"
            yield Problem("" if self.out is None else "hinge", says, found, "one of out, hinge")
        if self.out is not None:
            yield from above_zero(self, "out")
        if not 0 < self.angle <= 180:
            yield Problem("angle", "a door opens by more than 0 and at most 180 deg", f"{self.angle:g} deg", "90 deg")


class Panel(Record):
    id: Name
    """Name of the face."""
    kind: Literal["face", "console", "cabinet"] = "face"
    """A plate in the vehicle, a face of a console, or a front of a cabinet."""
    host: Name | None = None
    """Installed console, cabinet or board it belongs to."""
    at: tuple[Length, Length, Length]
    """Middle of the face, in vehicle axes."""
    facing: Azimuth
    """Azimuth it looks to."""
    tilt: Tilt = 0.0
    """Up from the horizon; 90 deg lies flat."""
    size: tuple[Extent, Extent]
    """Width and height of the face."""
    depth: Extent
    """Room behind it."""
    thickness: Extent = 0.002
    """Of the sheet."""
    material: Literal["aluminium", "steel", "plastic", "birch-ply"] = "aluminium"
    """What it is made of."""
    corner: Extent = 0.0
    """Radius of its corners."""
    edge: Extent = 0.010
    """Least from a cut-out to the edge of the face [common practice, no source]."""
    gap: Extent = 0.006
    """Least between what sits beside each other, legends included [common practice, no source]."""
    cable: Extent = 0.040
    """Room for plugs and cables behind each thing [common practice, no source]."""
    legend: Extent = 0.003
    """Height of engraved letters; 0 leaves them out."""
    fixings: list[tuple[Length, Length]] = []
    """Holes for its own screws, from the lower left corner."""
    fixing_hole: Extent = 0.0045
    """Diameter of those holes."""
    reach: FaceReach | None = None
    """Who must reach what sits on it."""
    holds: list[Name] = []
    """Installed things behind it that are serviced through it."""
    access: list[Access] = ["front"]
    """Sides one can get at them from, seen from the front of the face."""
    moves: list[Move] = []
    """Drawers and doors."""
    node: Name | None = None
    """Route node of what sits on it."""
    area: Name | None = None
    """Area of what sits on it; the node's where left out."""
    inside: YesNo = True
    """Inside the vehicle."""
    note: Text | None = None
    """For the people in the bay."""

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values."""
        yield from above_zero(self, "depth", "thickness")
        for index, extent in enumerate(self.size):
            if extent <= 0:
                yield Problem(f"size/{index}", "a face has a width and a height above zero", "0", "[300 mm, 200 mm]")
        if 2 * self.corner > min(self.size) + 1e-12:
            yield Problem("corner", "the corners are rounder than the face is wide", f"{self.corner:g} m",
                          f"at most {min(self.size) / 2:g} m")  # fmt: skip
        if 2 * self.edge >= min(self.size):
            yield Problem("edge", "the edges leave nothing of the face", f"{self.edge:g} m",
                          f"less than {min(self.size) / 2:g} m")  # fmt: skip
        for index, (x, y) in enumerate(self.fixings):
            r = self.fixing_hole / 2
            if not (r <= x <= self.size[0] - r and r <= y <= self.size[1] - r):
                yield Problem(f"fixings/{index}", "the hole reaches over the edge of the face",
                              f"[{x:g} m, {y:g} m]", f"within {self.size[0]:g} by {self.size[1]:g} m")  # fmt: skip
        if len(set(self.fixings)) < len(self.fixings):
            yield Problem("fixings", "two holes stand in one place", "the same point twice", "each hole once")
        if not self.access:
            yield Problem("access", "a face one cannot get behind from any side", "none", "access: [front]")
        moved = [move.of for move in self.moves]
        for name in sorted({name for name in moved if moved.count(name) > 1}):
            yield Problem("moves", f"{name} moves twice", name, "each drawer or door once")
