"""Where the lamps of a rig stand in the five views, and where they aim."""

from __future__ import annotations

import math
from dataclasses import dataclass

from rigbook.papers.silhouettes import Frame, ViewName
from rigbook.rig.model import Device, Point, Pose, Rig


@dataclass(frozen=True, slots=True)
class Mark:
    """A lamp in a view, in millimetres of the drawing with y downward.

    `aim` is a unit vector on the page times the share of the aim that lies in the page, or None where the lamp looks
    at the reader (or away) or faces nowhere. `pose` counts the device's poses: 0 is doors closed. `labelled`: this view
    names it.
    """

    device_id: str
    row: str
    pose: int
    x: float
    y: float
    aim: tuple[float, float] | None
    colours: tuple[str, ...]
    factory: bool
    all_round: bool
    labelled: bool


def lamps_of(rig: Rig) -> list[Device]:
    """Every device that has colours, in file order, factory lamps last."""
    return [d for d in rig.devices.values() if d.colours]


def group_of(device: Device) -> str:
    """Lamps that share one label: the modules of a bar and the lamps of a row."""
    return device.row if device.index is not None else device.id


def project(at: Point, f: Frame, view: ViewName) -> tuple[float, float]:
    """A point of the vehicle in a view's plane, metres, v upward."""
    u = at.x_m + f.front
    return {
        "plan": (u, at.y_m),
        "left": (u, at.z_m),
        "right": (f.length - u, at.z_m),
        "front": (-at.y_m, at.z_m),
        "rear": (at.y_m, at.z_m),
    }[view]


def aim_on_page(pose: Pose, view: ViewName) -> tuple[float, float] | None:
    """Direction of the aim on the page (v upward); None where too little of it lies in the page."""
    if pose.facing_deg is None or pose.all_round:
        return None
    azimuth, tilt = math.radians(pose.facing_deg), math.radians(pose.tilt_deg)
    ahead, right, up = math.cos(azimuth) * math.cos(tilt), math.sin(azimuth) * math.cos(tilt), math.sin(tilt)
    u, v = {
        "plan": (-ahead, right),
        "left": (-ahead, up),
        "right": (ahead, up),
        "front": (-right, up),
        "rear": (right, up),
    }[view]
    return (u, v) if math.hypot(u, v) > 0.34 else None


def shows_in(pose: Pose, view: ViewName) -> bool:
    """Everything stands in the plan; a side view shows what faces that side."""
    return view == "plan" or pose.all_round or view in pose.zones
