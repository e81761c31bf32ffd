"""Where a device is and how it faces, doors closed and open."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True, slots=True)
class Point:
    """A point in vehicle axes."""

    x_m: float
    y_m: float
    z_m: float


@dataclass(frozen=True, slots=True)
class Pose:
    """Where a device stands and faces; `when` is the expression text of a door pose, None with doors closed.

    `facing_deg` is None where nothing faces anywhere, or where `all_round` says it faces every way."""

    at: Point
    facing_deg: float | None
    all_round: bool
    tilt_deg: float
    when: str | None
    zones: frozenset[str]  # zones of the facing, overrides included, before the tilt rule
    seen_zones: frozenset[str]  # after the tilt rule: none beyond 45 deg of the horizon


@dataclass(frozen=True, slots=True)
class Placement:
    """Where a device is. The closed pose comes first."""

    poses: tuple[Pose, ...]
    place: str | None
    node: str | None  # route node it hangs on; None on a vehicle without routes
    node_distance_m: float
    area: str | None
    level: Literal["upper", "lower"] | None
    inside: bool
    half: Literal["left", "right"] | None
    glass_share: float  # share of light that passes the glass in front of it; 1.0 without
    panel: str | None = None
    on_face_m: tuple[float, float] | None = None

    @property
    def at(self) -> Point:
        """Where it is with doors closed."""
        return self.poses[0].at

    @property
    def closed(self) -> Pose:
        """The pose with doors closed."""
        return self.poses[0]

    @property
    def zones(self) -> frozenset[str]:
        """Zones with doors closed, as selectors judge."""
        return self.poses[0].zones
