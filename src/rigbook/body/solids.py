"""What is fitted as boxes in space, as a face sees them: behind it, before it, in a drawer's or a door's way."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from rigbook.documents.schema.panels import Move
from rigbook.rig.faces import Frame, Rectangle, footprint_of, frame_of
from rigbook.rig.model import Device, Pose, Rig

Corners = tuple[tuple[float, float, float], ...]
"""The eight corners of a box, vehicle axes, m."""
Boxed = tuple[Corners, ...]
Span = tuple[float, float]
Local = tuple[Span, Span, Span]
"""Extent of a box along x, y and n of a face."""
FLAT = ("marking", "battery", "wire", "antenna")
"""Kinds that stand in nobody's way."""
STEP_DEG = 2.0
TOUCH_M = 0.001


def corners_of_box(low: Sequence[float], high: Sequence[float]) -> Corners:
    """Corners of a box along the vehicle's axes."""
    return tuple((x, y, z) for x in (low[0], high[0]) for y in (low[1], high[1]) for z in (low[2], high[2]))


def corners_of(device: Device, pose: Pose) -> Corners:
    """Corners of a thing about its place, turned and tilted as it faces."""
    depth, width, height = device.size_m
    facing, tilt = math.radians(pose.facing_deg or 0.0), math.radians(pose.tilt_deg)
    ahead = (-math.cos(facing), math.sin(facing))
    out = (ahead[0] * math.cos(tilt), ahead[1] * math.cos(tilt), math.sin(tilt))
    right = (-math.sin(facing), -math.cos(facing), 0.0)
    up = (-ahead[0] * math.sin(tilt), -ahead[1] * math.sin(tilt), math.cos(tilt))
    at = (pose.at.x_m, pose.at.y_m, pose.at.z_m)
    made = []
    for d in (-depth / 2, depth / 2):
        for w in (-width / 2, width / 2):
            for h in (-height / 2, height / 2):
                p = [a + d * o + w * r + h * u for a, o, r, u in zip(at, out, right, up, strict=True)]
                made.append((p[0], p[1], p[2]))
    return tuple(made)


def _on_face(frame: Frame, area: Rectangle, low: float, high: float) -> Corners:
    points = [
        frame.point(x, y, n) for x in (area.left, area.right) for y in (area.bottom, area.top) for n in (low, high)
    ]
    return tuple((p.x_m, p.y_m, p.z_m) for p in points)


def of_rig(rig: Rig) -> dict[str, Boxed]:
    """Everything fitted by its id: on a face, its body behind and its bezel before; else its size about its place."""
    found: dict[str, Boxed] = {}
    faces = {panel.id: panel for panel in rig.build.panels}
    rows = {row.id: row for row in rig.build.install}
    for device in rig.devices.values():
        if not device.bought or device.part_kind in FLAT:
            continue
        placement = device.placement
        if placement.panel in faces and placement.on_face_m is not None:
            panel, row = faces[placement.panel], rows[device.row]
            footprint, frame = footprint_of(row, rig.parts[row.part], panel, rig.build), frame_of(panel)
            boxes = [_on_face(frame, footprint.covers(placement.on_face_m), 0.0, max(footprint.in_front, 1e-6))]
            if footprint.behind > 0:
                boxes.append(_on_face(frame, footprint.opening(placement.on_face_m), -footprint.behind, 0.0))
            found[device.id] = tuple(boxes)
        else:
            found[device.id] = tuple(corners_of(device, pose) for pose in placement.poses)
    return found


def local(frame: Frame, corners: Corners) -> Local:
    """What a box spans along the axes of a face; more than it fills where it stands askew to the face."""
    points = [frame.local(corner) for corner in corners]
    spans = [(min(axis), max(axis)) for axis in zip(*points, strict=True)]
    return spans[0], spans[1], spans[2]


def meets(one: Span, other: Span) -> bool:
    """Whether two spans share more than a touch."""
    return one[0] < other[1] - TOUCH_M and other[0] < one[1] - TOUCH_M


def swept(move: Move, area: Rectangle, in_front: float, box: Local) -> bool:
    """Whether a drawer or door that covers an area of its face meets a box on its way."""
    x, y, n = box
    if move.out is not None:
        return (
            meets((area.left, area.right), x)
            and meets((area.bottom, area.top), y)
            and meets((0.0, in_front + move.out), n)
        )
    across, along, wide = {
        "left": ((x[0] - area.left, x[1] - area.left), (y, (area.bottom, area.top)), area.width),
        "right": ((area.right - x[1], area.right - x[0]), (y, (area.bottom, area.top)), area.width),
        "bottom": ((y[0] - area.bottom, y[1] - area.bottom), (x, (area.left, area.right)), area.height),
        "top": ((area.top - y[1], area.top - y[0]), (x, (area.left, area.right)), area.height),
    }[move.hinge or "left"]
    if not meets(*along) or n[1] <= TOUCH_M:
        return False
    return sector_meets(radius=wide, angle_deg=move.angle, across=across, out=(max(n[0], TOUCH_M), n[1]))


def sector_meets(*, radius: float, angle_deg: float, across: Span, out: Span) -> bool:
    """Whether the sector a door sweeps, from lying in its face to its angle, meets a rectangle (separating axes).

    The arc is drawn round by a polygon outside it, so a graze within a thousandth of the radius counts as a meeting.
    Angle above 0 and at most 180 deg.
    """
    steps = max(1, math.ceil(angle_deg / STEP_DEG))
    turn = math.radians(angle_deg) / steps
    outer = radius / math.cos(turn / 2)
    arc = [(outer * math.cos((k + 0.5) * turn), outer * math.sin((k + 0.5) * turn)) for k in range(steps)]
    end = steps * turn
    sector = [(0.0, 0.0), (radius, 0.0), *arc, (radius * math.cos(end), radius * math.sin(end))]
    box = [(across[0], out[0]), (across[1], out[0]), (across[1], out[1]), (across[0], out[1])]
    edges = [(b[0] - a[0], b[1] - a[1]) for a, b in zip(sector, sector[1:] + sector[:1], strict=True)]
    for axis in [(-dy, dx) for dx, dy in edges if dx or dy] + [(1.0, 0.0), (0.0, 1.0)]:
        one = [p[0] * axis[0] + p[1] * axis[1] for p in sector]
        other = [p[0] * axis[0] + p[1] * axis[1] for p in box]
        if max(one) <= min(other) + 1e-12 or max(other) <= min(one) + 1e-12:
            return False
    return True


def in_the_way(name: str, boxes: Mapping[str, Sequence[Local]], axis: int, sign: float) -> set[str]:
    """What lies before a thing on its straight way out along an axis, and before that, and so on."""
    found: set[str] = set()
    waiting = [name]
    while waiting:
        one = waiting.pop()
        for other, theirs in boxes.items():
            if other in found or other in (name, one):
                continue
            if any(_before(mine, box, axis, sign) for mine in boxes.get(one, ()) for box in theirs):
                found.add(other)
                waiting.append(other)
    return found


def _before(mine: Local, other: Local, axis: int, sign: float) -> bool:
    if not all(meets(mine[k], other[k]) for k in range(3) if k != axis):
        return False
    return other[axis][0] >= mine[axis][1] - TOUCH_M if sign > 0 else other[axis][1] <= mine[axis][0] + TOUCH_M
