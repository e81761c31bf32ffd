"""Scene light: what the lamps that burn steadily in a state give the ground and work planes.

Flashing lamps warn and light nobody's work: they do not count. Factory lamps and lamps whose light is not known are
dark here. The vehicle's outline hides what it hides; a plane inside the body is lit by lamps fitted inside and by those
alone, and furniture, people and open doors hide nothing.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from rigbook.documents.schema.lighting import SceneArea
from rigbook.documents.schema.vehicle import Vehicle
from rigbook.light.illuminance import UP, Beam, Mask, Numbers, Vector, illuminance_lx
from rigbook.light.outline import Prism, depth_inside_m, outline_of, start_of
from rigbook.light.shadow import shade
from rigbook.light.sources import Source, Unlit, axes_of, sources_of
from rigbook.rig.model import Rig
from rigbook.switching.evaluate import Evaluator, Lit
from rigbook.switching.logic import NONE_LOST, Lost
from rigbook.switching.program import Timeline
from rigbook.switching.timeline import is_steady

GROUND_SPACING_M = 0.5
PLANE_SPACING_M = 0.05
LEAST_CELLS = 8
"""Cells along the shorter side of an area at least."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Burning:
    """A source that burns steadily in a state: its share, where it is looked at from, whether it is fitted inside."""

    source: Source
    share: float
    start: Vector | None
    """None: it stands deep inside the body, and no light of it leaves the outline."""
    inside: bool

    def beam(self, *, inside: bool) -> Beam:
        """As a lamp for points inside the body, or outside it."""
        s = self.source
        at = s.at_m if inside or self.start is None else self.start
        return Beam(at=at, axes=s.axes, shape=s.shape, share=self.share * s.passes_share)


class Lighting:
    """The lamps of a rig, ready to be asked for any state. Holds what does not depend on the state."""

    def __init__(self, rig: Rig, sources: Sequence[Source], prisms: Sequence[Prism]) -> None:
        self.rig, self.sources, self.prisms = rig, tuple(sources), tuple(prisms)
        self._evaluator = Evaluator(rig.program)
        self._index = {device.id: number for number, device in enumerate(rig.program.devices)}
        self._of: dict[str, dict[str, dict[int, Source]]] = {}
        for source in sources:
            self._of.setdefault(source.device_id, {}).setdefault(source.colour, {})[source.pose] = source
        self._starts: dict[str, Vector | None] = {}
        self._lit: dict[str, tuple[Lit, ...]] = {}

    def burning(self, state: Sequence[int], lost: Lost = NONE_LOST) -> tuple[Burning, ...]:
        """What burns steadily in a state (indexes of values, one a variable), in file order."""
        found: list[Burning] = []
        for source, timeline in self.lit(state, lost):
            if is_steady(timeline):
                inside = self.rig.devices[source.device_id].placement.inside
                share = timeline.spans[0].intensity_from
                found.append(Burning(source=source, share=share, start=self._start(source, inside), inside=inside))
        return tuple(found)

    def lit(self, state: Sequence[int], lost: Lost = NONE_LOST) -> tuple[tuple[Source, Timeline], ...]:
        """Every source that is lit in a state, steady or flashing, in its present pose."""
        now = tuple(state)
        lit = self._evaluator.outcome(now, lost).lit
        found: list[tuple[Source, Timeline]] = []
        for device_id, colours in self._of.items():
            number = self._index.get(device_id)
            for colour, timeline in () if number is None else lit[number]:
                source = colours.get(colour, {}).get(self.pose(number, now)) if number is not None else None
                if source is not None:
                    found.append((source, timeline))
        return tuple(found)

    def steady_of(self, device_id: str, state_id: str) -> tuple[tuple[str, float], ...]:
        """Colours and intensities that burn steadily on a device in a saved state, whether or not their light is known."""
        if state_id not in self._lit:
            values = list(self.rig.program.rest)
            for variable, value in next(s for s in self.rig.states if s.id == state_id).indexes:
                values[variable] = value
            self._lit[state_id] = self._evaluator.outcome(tuple(values)).lit
        lit = self._lit[state_id][self._index[device_id]]
        return tuple((colour, t.spans[0].intensity_from) for colour, t in lit if is_steady(t))

    def pose(self, device: int, state: tuple[int, ...]) -> int:
        """Which pose of the placement a device of the program has: 0 with doors closed."""
        poses = self.rig.program.devices[device].poses  # doors open first, doors closed last
        two = self._evaluator.closures.two
        first = next(n for n, pose in enumerate(poses) if pose.when is None or two(pose.when)(state))
        return (first + 1) % len(poses)

    def _start(self, source: Source, inside: bool) -> Vector | None:
        if source.id not in self._starts:
            glass = source.passes_share < 1.0
            enclosed = inside and not glass and depth_inside_m(self.prisms, source.at_m) > 0
            start = None if enclosed else start_of(self.prisms, source.at_m, source.axes[0], behind_glass=glass)
            self._starts[source.id] = None if start is None else _vector(start)
        return self._starts[source.id]

    def light(
        self, burning: Sequence[Burning], points_m: Numbers, normals: Sequence[Vector | Numbers], *, inside: bool = False,
        shaded: bool = True,
    ) -> Numbers:  # fmt: skip
        """Illuminance, lx, of points by what burns: on each of the planes, with the outline in the way or without."""
        lamps = reaching(burning, inside=inside)
        seen = shade(self.prisms, [lamp.start or UP for lamp in lamps]) if shaded and not inside else None
        return illuminance_lx(points_m, normals, [lamp.beam(inside=inside) for lamp in lamps], seen=seen)


def lighting_of(rig: Rig, files: Mapping[str, bytes]) -> tuple[Lighting, tuple[Unlit, ...]]:
    """The lamps of a rig ready to be asked, and the colours whose light is not known. files: photometric, by name."""
    sources, unlit = sources_of(rig, files)
    return Lighting(rig, sources, outline_of(rig.vehicle)), unlit


def reaching(burning: Sequence[Burning], *, inside: bool) -> tuple[Burning, ...]:
    """The lamps that can light points inside the body, or outside it."""
    return tuple(lamp for lamp in burning if (lamp.inside if inside else lamp.start is not None))


# --- areas -----------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Grid:
    """The points of an area, each the middle of a cell: where, the plane they lie on, how far apart, what one stands for."""

    points_m: Numbers
    normal: Vector
    spacing_m: float
    cell_m2: float
    inside: bool
    toward_vehicle: Numbers | None
    """Level unit vectors toward the nearest point of the vehicle, of points on the ground."""


def grid_of(area: SceneArea, vehicle: Vehicle) -> Grid:
    """The points an area is judged at. What the vehicle's plan covers is left out on the ground."""
    if area.plane is not None:
        plane = area.plane
        across, along = (_cells(side, area.spacing or PLANE_SPACING_M, plane.size) for side in plane.size)
        normal, right, up = axes_of(azimuth_deg=plane.facing, tilt_deg=plane.tilt)
        a, b = np.meshgrid(_middles(plane.size[0], across), _middles(plane.size[1], along))
        a, b = a.ravel() - plane.size[0] / 2, b.ravel() - plane.size[1] / 2
        points = np.stack([m + r * a + u * b for m, r, u in zip(plane.at, right, up, strict=True)])
        steps = plane.size[0] / across, plane.size[1] / along
        return Grid(points_m=points, normal=_vector(normal), spacing_m=max(steps), cell_m2=steps[0] * steps[1],
                    inside=plane.inside, toward_vehicle=None)  # fmt: skip
    assert area.ground is not None
    sides = area.sides_m
    count = tuple(_cells(side, area.spacing or GROUND_SPACING_M, sides) for side in sides)
    corner = [min(a, b) for a, b in zip(*area.ground, strict=True)]
    x, y = np.meshgrid(corner[0] + _middles(sides[0], count[0]), corner[1] + _middles(sides[1], count[1]))
    points = np.stack((x.ravel(), y.ravel(), np.zeros(x.size)))
    points = points[:, ~under(vehicle, points)]
    steps = sides[0] / count[0], sides[1] / count[1]
    return Grid(points_m=points, normal=UP, spacing_m=max(steps), cell_m2=steps[0] * steps[1], inside=False,
                toward_vehicle=toward_vehicle(vehicle, points))  # fmt: skip


def _cells(side_m: float, spacing_m: float, sides_m: tuple[float, float]) -> int:
    """Cells along a side: none wider than the spacing, and enough of them along the shorter side."""
    widest = min(spacing_m, min(sides_m) / LEAST_CELLS)
    return max(1, math.ceil(side_m / widest - 1e-9))


def _middles(side_m: float, count: int) -> Numbers:
    return np.asarray((np.arange(count) + 0.5) * (side_m / count), float)


def plan_of(vehicle: Vehicle) -> tuple[float, float, float, float]:
    """The rectangle a vehicle stands on: front, rear (x) and left, right (y), m."""
    size = vehicle.size
    return -size.front_overhang, size.length - size.front_overhang, -size.width / 2, size.width / 2


def under(vehicle: Vehicle, points_m: Numbers) -> Mask:
    """Which points the vehicle covers, seen from above."""
    front, rear, left, right = plan_of(vehicle)
    x, y = points_m[0], points_m[1]
    covered: Mask = (x > front) & (x < rear) & (y > left) & (y < right)
    return covered


def toward_vehicle(vehicle: Vehicle, points_m: Numbers) -> Numbers:
    """Level unit vectors from points toward the nearest point of the vehicle's plan; ahead for points under it."""
    front, rear, left, right = plan_of(vehicle)
    way = np.stack((np.clip(points_m[0], front, rear), np.clip(points_m[1], left, right))) - points_m[:2]
    length = np.hypot(way[0], way[1])
    away = length > 1e-9
    level: Numbers = np.zeros((3, points_m.shape[1]))
    level[0] = np.where(away, way[0] / np.where(away, length, 1.0), -1.0)
    level[1] = np.where(away, way[1] / np.where(away, length, 1.0), 0.0)
    return level


def _vector(values: Numbers) -> Vector:
    x, y, z = (float(v) for v in values)
    return x, y, z
