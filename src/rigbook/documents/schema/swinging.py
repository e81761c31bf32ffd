"""Boards, doors and lids on gas springs."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator

from rigbook.documents.schema.base import Problem, Record, Scalar, above_zero
from rigbook.documents.schema.scalars import Angle, Count, Extent, Length, Name, Share, Temperature, Text, Weight


def _plain(value: Any) -> Any:
    return str(value) if isinstance(value, Scalar) else value


Auto = Annotated[Literal["auto"], BeforeValidator(_plain)]


class StudRoom(Record):
    out: tuple[Length, Length]
    """From and to, outward from the hinge."""
    up: tuple[Length, Length]
    """From and to, up from the hinge."""

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values."""
        for key in ("out", "up"):
            low, high = getattr(self, key)
            if low > high:
                yield Problem(key, "the room ends before it begins", f"[{low:g} m, {high:g} m]", "[least, most]")
            elif high - low > 1.0:
                yield Problem(key, "a room for a stud is at most 1 m wide", f"{high - low:g} m", "1 m or less")


class LidSprings(Record):
    part: Name | Auto = "auto"
    """Gas spring of the catalogue, or the best of the catalogue."""
    count: Count = 2
    """Springs side by side."""
    body: tuple[Length, Length] | Auto
    """Ball stud on the body, from the hinge: outward and up; or where it works best within `room`."""
    room: StudRoom | None = None
    """Where the stud on the body may sit, where it is left open."""
    radius: Extent | Auto = "auto"
    """Ball stud on the lid, from the hinge, or where it works best."""
    angle: Angle = 0.0
    """Of that stud, beside the line from hinge to edge."""
    tolerance: Share = 0.10
    """Of the force, as its maker delivers [common practice, no source]."""

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values."""
        yield from above_zero(self, "count")
        if self.body == "auto" and self.room is None:
            yield Problem("body", "a stud left open needs the room it may sit in", "auto", "room: {out: […], up: […]}")
        if isinstance(self.body, tuple) and self.room is not None:
            yield Problem("room", "a room is for a stud that is left open", "room beside a set body", "body: auto")
        if isinstance(self.radius, float):
            yield from above_zero(self, "radius")


class Lid(Record):
    id: Name
    """Name of the lid."""
    board: Name
    """Installed board, door or lid that swings."""
    mass: Weight | None = None
    """Mass that swings; the part's where left out."""
    length: Extent
    """From the hinge to the edge where the hand is."""
    centre: Extent | None = None
    """From the hinge to the middle of the mass; half the length where left out."""
    closed: Angle
    """Angle of the closed lid above the horizontal."""
    open: Angle
    """Angle of the open lid above the horizontal."""
    springs: LidSprings
    """What carries it."""
    coldest: Temperature = -20.0
    """Coldest it must stay open at."""
    hottest: Temperature = 60.0
    """Hottest it must stay closed at."""
    note: Text | None = None
    """For the people in the bay."""

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values."""
        yield from above_zero(self, "length")
        if self.open <= self.closed:
            yield Problem("open", "a lid opens upward: the open angle lies above the closed one", f"{self.open:g} deg",
                          f"more than {self.closed:g} deg")  # fmt: skip
        if self.coldest >= self.hottest:
            yield Problem(
                "hottest", "the hottest is not above the coldest", f"{self.hottest:g} C", "a higher temperature"
            )
        if self.centre is not None and self.centre > self.length:
            yield Problem(
                "centre", "the middle of the mass lies beyond the edge", f"{self.centre:g} m", "within length"
            )
        if isinstance(self.springs.radius, float) and self.springs.radius > self.length:
            found = f"{self.springs.radius:g} m"
            yield Problem("springs/radius", "the stud lies beyond the edge of the lid", found, "within length")
