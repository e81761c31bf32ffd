"""Keep-outs and lines of sight in three dimensions: boxes of what is fitted against what must stay clear."""

from __future__ import annotations

import math
from collections.abc import Iterator

from rigbook.rig.model import Device, Pose, Rig, RigNote

AIR_BAG_ROOM_M = 0.075
"""Room kept beyond an air bag's volume. Source: practice-mounting."""
NEVER = ("air bag", "crash sensor", "fuel", "brake line", "high voltage")
CALIBRATED = ("radar", "camera")
Box = tuple[tuple[float, float], tuple[float, float], tuple[float, float]]


def box_of(device: Device, pose: Pose) -> Box:
    """Bounding box of a thing about its place, turned by its facing: depth along it, width across, height up."""
    depth, width, height = device.size_m
    turn = math.radians(pose.facing_deg or 0.0)
    along, across = abs(math.cos(turn)), abs(math.sin(turn))
    x, y = (depth * along + width * across) / 2, (depth * across + width * along) / 2
    at = pose.at
    return ((at.x_m - x, at.x_m + x), (at.y_m - y, at.y_m + y), (at.z_m - height / 2, at.z_m + height / 2))


def overlap(one: Box, other: Box, *, room_m: float = 0.0) -> bool:
    """Whether two boxes share space, or come nearer than `room_m` along every axis."""
    return all(a[0] < b[1] + room_m and b[0] < a[1] + room_m for a, b in zip(one, other, strict=True))


def passes(box: Box, *, start: tuple[float, float, float], end: tuple[float, float, float]) -> bool:
    """Whether a straight line from start to end passes through a box (slab method)."""
    low, high = 0.0, 1.0
    for (least, most), a, b in zip(box, start, end, strict=True):
        if abs(b - a) < 1e-15:
            if not least < a < most:
                return False
            continue
        first, second = sorted(((least - a) / (b - a), (most - a) / (b - a)))
        low, high = max(low, first), min(high, second)
    return low < high


def _corners(corners: tuple[tuple[float, float, float], tuple[float, float, float]]) -> Box:
    a, b = corners
    return tuple((min(p, q), max(p, q)) for p, q in zip(a, b, strict=True))  # type: ignore[return-value]


def _fitted(rig: Rig) -> Iterator[tuple[Device, Pose]]:
    for device in rig.devices.values():
        if device.bought and device.part_kind not in ("marking", "battery"):
            for pose in device.placement.poses:
                yield device, pose


def recalibrate(rig: Rig) -> tuple[tuple[str, str], ...]:
    """Keep-outs of radars and cameras that something stands in, with what stands there: for the inspection list."""
    found = []
    for keep in rig.vehicle.keep_out:
        if keep.why in CALIBRATED:
            there = [d.id for d, pose in _fitted(rig) if overlap(box_of(d, pose), _corners(keep.box))]
            found += [(keep.id, name) for name in dict.fromkeys(there)]
    return tuple(found)


def notes(rig: Rig) -> tuple[RigNote, ...]:
    """What stands where nothing may, too near an air bag, in front of a radar or camera, or in a line of sight."""
    made: dict[tuple[str, str], RigNote] = {}
    for device, pose in _fitted(rig):
        box = box_of(device, pose)
        opened = " with the door open" if pose.when else ""
        for keep in rig.vehicle.keep_out:
            subject = f"{device.id}-{keep.id}"
            if overlap(box, _corners(keep.box)):
                severity = "fail" if keep.why in NEVER and keep.why != "crash sensor" else "caution"
                mend = "recalibrate it and put that on record" if keep.why in CALIBRATED else "move it"
                says = f"{device.id} stands in {keep.id} ({keep.why}){opened}: {mend}"
                made.setdefault(
                    ("keep-out", subject),
                    RigNote("keep-out", subject, severity, says, device.file, device.line),  # type: ignore[arg-type]
                )
            elif (
                keep.why == "air bag"
                and device.placement.inside
                and overlap(box, _corners(keep.box), room_m=AIR_BAG_ROOM_M)
            ):
                says = (
                    f"{device.id} is nearer than {1e3 * AIR_BAG_ROOM_M:.0f} mm to {keep.id} (air bag){opened}: move it"
                )
                made.setdefault(
                    ("air-bag-room", subject),
                    RigNote("air-bag-room", subject, "caution", says, device.file, device.line),
                )
        for line in rig.vehicle.sight_lines:
            if passes(box, start=line.from_, end=line.to):
                subject = f"{device.id}-{line.id}"
                says = f"{device.id} stands in the line of sight {line.id}{opened}: move it"
                made.setdefault(
                    ("sight-line", subject),
                    RigNote("sight-line", subject, "caution", says, device.file, device.line),
                )
    return tuple(made.values())
