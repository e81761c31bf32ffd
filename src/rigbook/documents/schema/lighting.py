"""Areas that work light must reach: on the ground and on work planes."""

from __future__ import annotations

from collections.abc import Iterator

from rigbook.documents.schema.base import Problem, Record, above_zero
from rigbook.documents.schema.scalars import Azimuth, Extent, Illuminance, Length, Name, Text, Tilt, YesNo
from rigbook.documents.schema.vehicle import Point

PlanPoint = tuple[Length, Length]
MOST_POINTS = 250_000
LEAST_SIDE_M = 0.01


class WorkPlane(Record):
    at: Point
    """Its middle."""
    size: tuple[Extent, Extent]
    """Its sides: across what it faces, and up along it."""
    facing: Azimuth = 180.0
    """Azimuth it faces; for a level plane the side that `size` calls up lies the other way."""
    tilt: Tilt = 90.0
    """Up from the horizon: 90 deg is a table top, 0 deg a board on a wall."""
    inside: YesNo = False
    """Inside the body: lit by lamps fitted inside, and by those alone."""

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values."""
        for index, side in enumerate(self.size):
            if side < LEAST_SIDE_M:
                yield Problem(f"size/{index}", "a work plane without an area", f"{side:g} m", "10 mm or more")


class SceneArea(Record):
    id: Name
    """Name of the area."""
    title: Text | None = None
    """As printed; the name where left out."""
    ground: tuple[PlanPoint, PlanPoint] | None = None
    """Two opposite corners (x, y) of a rectangle on the ground; what the vehicle covers does not count."""
    plane: WorkPlane | None = None
    """A work plane instead: tailgate, table, board, step, shelf."""
    state: Name
    """Saved state in which it is judged; what burns steadily then counts."""
    task: Name | None = None
    """What is done there, as rows of rule packs speak of it: rear-work, access, compartment, operator-panel, walkway."""
    least: Illuminance | None = None
    """Illuminance asked for at every point."""
    average: Illuminance | None = None
    """Illuminance asked for on average."""
    spacing: Extent | None = None
    """Widest distance of the points worked out; 0.5 m on the ground and 50 mm on a plane where left out."""
    note: Text | None = None
    """For the people in the bay."""

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values."""
        given = [key for key in ("ground", "plane") if getattr(self, key) is not None]
        if len(given) != 1:
            found = " and ".join(given) or "neither"
            yield Problem(given[-1] if given else "", f"{self.id} lies on the ground or on a plane, not {found}", found,
                          "one of ground, plane")  # fmt: skip
            return
        if self.ground is not None:
            (x, y), (u, v) = self.ground
            if abs(u - x) < LEAST_SIDE_M or abs(v - y) < LEAST_SIDE_M:
                yield Problem("ground", f"{self.id} has no area on the ground", "corners on one line",
                              "two opposite corners, 10 mm apart both ways")  # fmt: skip
        if self.spacing is not None:
            yield from above_zero(self, "spacing")
            sides = self.plane.size if self.plane is not None else self.sides_m
            if self.spacing > 0 and sides[0] / self.spacing * (sides[1] / self.spacing) > MOST_POINTS:
                yield Problem("spacing", f"{self.id} would take more than {MOST_POINTS:,} points", f"{self.spacing:g} m",
                              "a wider spacing")  # fmt: skip
        for key in ("least", "average"):
            asked = getattr(self, key)
            if asked is not None and asked <= 0:
                yield Problem(key, f"{self.id} asks for no light", f"{asked:g} lx", "an illuminance above 0")
        if self.task is None and self.least is None and self.average is None:
            yield Problem("", f"nothing is asked of {self.id}: no finding can come of it", "no task and no figure",
                          "task:, least: or average:")  # fmt: skip

    @property
    def sides_m(self) -> tuple[float, float]:
        """Sides of a ground area along x and y, m."""
        assert self.ground is not None
        (x, y), (u, v) = self.ground
        return abs(u - x), abs(v - y)
