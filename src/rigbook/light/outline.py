"""The vehicle's outline as convex prisms across its width, and what they hide.

Van and utility: bonnet, windscreen wedge and body; pick-up: bonnet, wedge, cab and bed. The figures are those of the
vehicle document's `size` and `outline`; where the outline leaves one out, a share of the vehicle's size stands in
[common practice, no source]. Wheels, mirrors, what is fitted, and what swings (an open door's own leaf, a tailgate) hide nothing.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
import numpy.typing as npt

from rigbook.documents.schema.vehicle import Vehicle

Array = npt.NDArray[np.float64]
SKIN_M = 0.002
"""How far outside the skin a lamp is looked at from."""
BED_DEPTH_M, WALL_M = 0.5, 0.06
"""Depth of a pick-up's open bed below its rail, and thickness of its walls [common practice, no source]."""
MOST_INSIDE_M = 0.6
"""A lamp this far behind the skin along its aim shines out of it: grilles, bumpers and rounded corners are coarse here
[common practice, no source]."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Prism:
    """A convex body: points p with normals @ p <= offsets, m. Normals are unit vectors that point outward."""

    name: str
    normals: Array
    offsets: Array


def prism(*, name: str, corners: Sequence[tuple[float, float]], width_m: float) -> Prism:
    """A side view's convex polygon of (x, z) corners, drawn across the width.

    Raises:
        ValueError: fewer than three corners, no area, or corners that are not convex.
    """
    points = np.array(corners, float)
    if len(points) < 3:
        raise ValueError("an outline has at least three corners")
    following = np.roll(points, -1, axis=0)
    area = float((points[:, 0] * following[:, 1] - following[:, 0] * points[:, 1]).sum()) / 2
    if abs(area) < 1e-9:
        raise ValueError("an outline without area")
    edges = (following - points) * (1 if area > 0 else -1)
    outward = np.stack((edges[:, 1], -edges[:, 0]), axis=1) / np.hypot(edges[:, 0], edges[:, 1])[:, None]
    offsets = (outward * points).sum(axis=1)
    if ((points @ outward.T) > offsets[None, :] + 1e-9).any():
        raise ValueError("the corners of an outline are not convex")
    normals = np.zeros((len(points) + 2, 3))
    normals[: len(points), 0], normals[: len(points), 2] = outward[:, 0], outward[:, 1]
    normals[-2, 1], normals[-1, 1] = 1.0, -1.0
    return Prism(name=name, normals=normals, offsets=np.concatenate((offsets, (width_m / 2, width_m / 2))))


def outline_of(vehicle: Vehicle) -> tuple[Prism, ...]:
    """The prisms of a vehicle, nose first."""
    size, shape = vehicle.size, vehicle.outline
    nose = -size.front_overhang
    low = shape.ground_clearance if shape.ground_clearance is not None else 0.09 * size.height
    bonnet = shape.bonnet_length if shape.bonnet_length is not None else 0.2 * size.length
    bonnet_top = shape.bonnet_height if shape.bonnet_height is not None else 0.5 * size.height
    roof = shape.roof_start if shape.roof_start is not None else bonnet + 0.15 * size.length
    end = size.length
    if shape.body == "pickup":
        end = shape.cab_length if shape.cab_length is not None else 0.63 * size.length
    roof = min(max(roof, bonnet), end)
    parts: list[tuple[str, list[tuple[float, float]]]] = []
    if bonnet > 0 and bonnet_top > low:
        parts.append(("bonnet", _box(nose, nose + bonnet, low, bonnet_top)))
    if roof > bonnet and size.height > bonnet_top:
        wedge = [(bonnet, low), (roof, low), (roof, size.height), (bonnet, max(bonnet_top, low))]
        parts.append(("windscreen", [(nose + x, z) for x, z in wedge]))
    if end > roof:
        parts.append(("cab" if shape.body == "pickup" else "body", _box(nose + roof, nose + end, low, size.height)))
    made = [prism(name=name, corners=corners, width_m=size.width) for name, corners in parts]
    if shape.body == "pickup" and size.length > end:
        rail = shape.bed_height if shape.bed_height is not None else 0.72 * size.height
        if rail > low:
            made += _bed(start=nose + end, end=nose + size.length, low=low, rail=rail, width_m=size.width)
    return tuple(made)


def _bed(*, start: float, end: float, low: float, rail: float, width_m: float) -> list[Prism]:
    """An open bed: its floor and its two walls. The tailgate swings, so like every leaf it hides nothing."""
    floor = max(rail - BED_DEPTH_M, low + 0.01)
    made = [prism(name="bed", corners=_box(start, end, low, floor), width_m=width_m)]
    if rail > floor:
        wall = prism(name="bed-wall", corners=_box(start, end, floor, rail), width_m=width_m)
        for side, inner in ((-1, width_m / 2 - WALL_M), (1, width_m / 2 - WALL_M)):
            offsets = wall.offsets.copy()
            offsets[-1 if side > 0 else -2] = -inner  # the face that looks into the bed
            made.append(replace(wall, name=f"bed-wall-{'right' if side > 0 else 'left'}", offsets=offsets))
    return made


def _box(start: float, end: float, low: float, high: float) -> list[tuple[float, float]]:
    return [(start, low), (end, low), (end, high), (start, high)]


def depth_inside_m(prisms: Sequence[Prism], at: Any) -> float:
    """How deep a point lies inside the outline: the greatest distance to the nearest face, m; 0 or less outside."""
    point = np.asarray(at, float)
    return max((float((p.offsets - p.normals @ point).min()) for p in prisms), default=-np.inf)


def leaves_m(prisms: Sequence[Prism], at: Any, direction: Any) -> float:
    """Where a ray leaves the outline for good beyond the body it starts in, m from its start; 0 where it starts
    outside."""
    start, along = np.asarray(at, float), np.asarray(direction, float)
    gone = 0.0
    for _ in range(len(prisms) + 1):
        here = start + (gone + 1e-9) * along
        inside = [p for p in prisms if (p.normals @ here < p.offsets - 1e-9).all()]
        if not inside:
            return gone
        for p in inside:
            speed = p.normals @ along
            out = speed > 1e-12
            if not out.any():
                continue
            gone = max(gone, float(((p.offsets - p.normals @ start)[out] / speed[out]).min()))
    return gone


def start_of(prisms: Sequence[Prism], at: Any, aim: Any, *, behind_glass: bool = False) -> Array | None:
    """From where a lamp is looked at: itself, or the skin in front of it where it sits a little behind it.

    Behind glass the skin may be any distance away. None: it sits deeper inside the body than that. A lamp just under
    a face that it does not aim through (a roof that the outline puts a little high) is lifted out of it.
    """
    point, along = np.asarray(at, float), np.asarray(aim, float)
    gone = leaves_m(prisms, point, along)
    if gone <= MOST_INSIDE_M or behind_glass:
        return point + (gone + SKIN_M) * along if gone else point
    deepest = max(prisms, key=lambda p: float((p.offsets - p.normals @ point).min()))
    away = deepest.offsets - deepest.normals @ point
    face = int(away.argmin())
    if away[face] > MOST_INSIDE_M / 2:
        return None
    lifted: Array = point + (away[face] + SKIN_M) * deepest.normals[face]
    return lifted


def blocked(prisms: Sequence[Prism], start: Any, directions: Any, *, up_to_m: Any = np.inf) -> npt.NDArray[np.bool_]:
    """Whether the outline stands in the way from a point along directions (last axis x, y, z), within a length.

    With targets minus start as directions and `up_to_m` 1, it tells whether the outline hides the targets. Start and
    directions broadcast: many starts with as many directions are asked at once. Touching a face hides nothing.
    """
    begin, along = np.asarray(start, float), np.asarray(directions, float)
    hidden = np.zeros(np.broadcast_shapes(begin.shape, along.shape)[:-1], bool)
    for p in prisms:
        speed = along @ p.normals.T
        room = p.offsets - begin @ p.normals.T
        speed, room = np.broadcast_arrays(speed, room)
        with np.errstate(divide="ignore", invalid="ignore"):
            at = room / speed
        enters = np.where(speed < 0, at, -np.inf).max(axis=-1)
        leaves = np.where(speed > 0, at, np.inf).min(axis=-1)
        outside = ((speed == 0) & (room <= 0)).any(axis=-1)
        low, high = np.maximum(enters, 0.0), np.minimum(leaves, up_to_m)
        hidden |= ~outside & (high - low > 1e-9)
    return hidden
