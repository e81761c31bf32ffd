"""Our own silhouettes of three kinds of vehicle, from dimensions alone.

Every shape is in metres in the plane of its view: u to the right of the page, v upward. The views are drawn with the
vehicle's nose to the left of the page in the plan and the left view, to the right in the right view. Nothing is traced;
proportions that the vehicle file leaves out are estimates of ours, good for a picture and for nothing else.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

from rigbook.documents.schema.vehicle import Vehicle

ViewName = Literal["plan", "front", "right", "rear", "left"]
VIEW_NAMES: tuple[ViewName, ...] = ("plan", "left", "right", "front", "rear")
Corner = tuple[float, float, float]  # u, v, radius of the rounded corner
Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Shape:
    """A path of the picture. `style` is one of body, glass, tyre, rim, line, faint, light, bumper."""

    style: str
    commands: tuple[tuple[str, tuple[float, ...]], ...]


@dataclass(frozen=True, slots=True)
class Frame:
    """The numbers all five views are drawn from, in metres."""

    body: str
    length: float
    width: float
    height: float
    wheelbase: float
    front: float
    bonnet: float
    bonnet_height: float
    roof: float
    cab: float
    bed_height: float
    clearance: float
    tyre: float
    track_front: float
    track_rear: float

    @property
    def belt(self) -> float:
        """Height of the lower edge of the side windows."""
        return self.bonnet_height + 0.06


_TYRE = re.compile(r"(\d{3})/(\d{2})\s*[A-Z]+\s*(\d{2})")


def tyre_diameter(size: str) -> float | None:
    """Outside diameter in metres of a tyre by its sidewall size (width mm / aspect % R rim in), or None.

    245/75R16: 16 x 25.4 mm + 2 x 0.75 x 245 mm = 773.9 mm.
    """
    found = _TYRE.search(size)
    if not found:
        return None
    width, aspect, rim = (int(g) for g in found.groups())
    return (rim * 25.4 + 2 * width * aspect / 100) / 1000


# Shares of the length and heights in metres where the outline is silent: estimates for the picture only.
_USUAL = {
    "van": {"bonnet": 0.165, "roof": 0.30, "bonnet_share": 0.46},
    "pickup": {"bonnet": 0.255, "roof": 0.40, "bonnet_share": 0.60},
    "utility": {"bonnet": 0.27, "roof": 0.43, "bonnet_share": 0.60},
}


def frame(vehicle: Vehicle) -> Frame:
    """The dimensions of the picture, from the vehicle file and, where it is silent, our estimates."""
    size, outline = vehicle.size, vehicle.outline
    usual = _USUAL[outline.body]
    tyre = outline.tyre_diameter or tyre_diameter(vehicle.tyres.size) or 0.75
    bonnet = outline.bonnet_length or usual["bonnet"] * size.length
    bonnet_height = outline.bonnet_height or max(tyre + 0.25, usual["bonnet_share"] * min(size.height, 2.2))
    return Frame(
        body=outline.body,
        length=size.length,
        width=size.width,
        height=size.height,
        wheelbase=size.wheelbase,
        front=size.front_overhang,
        bonnet=bonnet,
        bonnet_height=bonnet_height,
        roof=outline.roof_start or usual["roof"] * size.length,
        cab=outline.cab_length or 0.63 * size.length,
        bed_height=outline.bed_height or bonnet_height + 0.02,
        clearance=outline.ground_clearance or 0.24,
        tyre=tyre,
        track_front=vehicle.track.front,
        track_rear=vehicle.track.rear,
    )


# --- paths -----------------------------------------------------------------------------------------------------------


def rounded(style: str, corners: Sequence[Corner], *, closed: bool = True) -> Shape:
    """A polygon or open line whose corners are rounded by their radius (cut to half the shorter side)."""
    commands: list[tuple[str, tuple[float, ...]]] = []
    count = len(corners)
    for index, (u, v, radius) in enumerate(corners):
        if radius <= 0 or (not closed and index in (0, count - 1)):
            commands.append(("L" if commands else "M", (u, v)))
            continue
        before, after = corners[index - 1], corners[(index + 1) % count]
        enter, leave = _towards((u, v), before, radius), _towards((u, v), after, radius)
        commands.append(("L" if commands else "M", enter))
        commands.append(("Q", (u, v, *leave)))
    if closed:
        commands.append(("Z", ()))
    return Shape(style, tuple(commands))


def _towards(corner: Point, other: Sequence[float], radius: float) -> Point:
    distance = math.dist(corner, other[:2])
    share = 0.0 if distance == 0 else min(radius, distance / 2) / distance
    return corner[0] + (other[0] - corner[0]) * share, corner[1] + (other[1] - corner[1]) * share


def line(style: str, *points: Point) -> Shape:
    """An open line through the points."""
    return Shape(style, tuple(("L" if i else "M", p) for i, p in enumerate(points)))


_KAPPA = 0.5522847498  # control length of a quarter circle by a cubic curve


def circle(style: str, u: float, v: float, radius: float) -> Shape:
    """A circle, as four cubic curves so that it can be mirrored like everything else."""
    r, k = radius, radius * _KAPPA
    return Shape(
        style,
        (
            ("M", (u + r, v)),
            ("C", (u + r, v + k, u + k, v + r, u, v + r)),
            ("C", (u - k, v + r, u - r, v + k, u - r, v)),
            ("C", (u - r, v - k, u - k, v - r, u, v - r)),
            ("C", (u + k, v - r, u + r, v - k, u + r, v)),
            ("Z", ()),
        ),
    )


def box(style: str, u0: float, v0: float, u1: float, v1: float, radius: float = 0.0) -> Shape:
    """A rectangle with rounded corners."""
    return rounded(style, [(u0, v0, radius), (u1, v0, radius), (u1, v1, radius), (u0, v1, radius)])


def mirrored(shapes: Iterable[Shape], about: float) -> list[Shape]:
    """The shapes mirrored left to right about u = about."""
    return [
        Shape(
            s.style,
            tuple((c, tuple(2 * about - n if i % 2 == 0 else n for i, n in enumerate(a))) for c, a in s.commands),
        )
        for s in shapes
    ]
