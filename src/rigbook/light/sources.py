"""The lamps of a rig as sources of light in vehicle axes: where, whither, how bright in every direction.

Axes as everywhere: x backward, y to the driver's right, z up; azimuths clockwise from ahead. A lamp's own axes are
`ahead` (its aim), `right` and `up`; roll turns it clockwise as seen from behind it. One source stands for one colour of
one lamp in one pose, so a lamp on a door has two of each colour. Candela are those outside the glass it shines through.
An all-round lamp has its beam's vertical width all round; a file of type C stands upright, its axis straight down.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Any, Literal, Protocol

import numpy as np
import numpy.typing as npt

from rigbook.light.beams import lobe_lumens
from rigbook.light.files import read
from rigbook.light.photometry import Distribution, PhotometryError
from rigbook.rig.model import Device, Pose, Rig

Array = npt.NDArray[np.float64]
How = Literal["file", "beam", "lumens"]
WIDE_DEG = 180.0
FIELD_SHARE = 0.1
"""A lamp's field ends where it falls to a tenth of its peak [definition of the field angle, IES]."""


class Shape(Protocol):
    """Luminous intensity over directions in a lamp's own axes."""

    @property
    def peak_cd(self) -> float:
        """Greatest intensity, cd."""

    def toward_cd(self, *, ahead: Any, right: Any, up: Any) -> Array:
        """Intensity, cd, toward directions of any length above 0."""

    def total_lm(self) -> float:
        """Luminous flux, lm."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Lobe:
    """The beam model of a part without a photometric file: peak and full widths at half the peak (0 to 360 deg).

    Below 180 deg in both planes: I0 cos^m(g) with the half angle of an ellipse between the two (`rigbook.light.beams`).
    Where a width is 180 deg or more: a product of one factor across, cos^n(azimuth / 2), and one up and down,
    cos^k(elevation), each half at its own half width; across 360 deg the factor is 1. Common practice, no source.
    """

    peak_cd: float
    horizontal_deg: float
    vertical_deg: float

    def __post_init__(self) -> None:
        """ValueError for a peak below 0 or a width outside 0 to 360 deg."""
        if self.peak_cd < 0:
            raise ValueError(f"a peak of {self.peak_cd:g} cd is below 0")
        for width in (self.horizontal_deg, self.vertical_deg):
            if not 0 < width <= 360:
                raise ValueError(f"a beam of {width:g} deg is above 0 and at most 360 deg")

    @property
    def wide(self) -> bool:
        """Whether a width reaches half a circle, so that the product form is taken."""
        return max(self.horizontal_deg, self.vertical_deg) >= WIDE_DEG

    def toward_cd(self, *, ahead: Any, right: Any, up: Any) -> Array:
        """Intensity, cd, toward directions of any length above 0."""
        x, y, z = (np.asarray(part, float) for part in (ahead, right, up))
        if self.wide:
            across = _factor(np.arctan2(y, x), self.horizontal_deg)
            found: Array = self.peak_cd * across * _factor(np.arctan2(z, np.hypot(x, y)), self.vertical_deg)
            return found
        aside = np.hypot(y, z)
        cosine = np.clip(x / np.hypot(x, aside), 0.0, 1.0)
        if self.horizontal_deg == self.vertical_deg:
            exponent = math.log(0.5) / math.log(math.cos(math.radians(self.horizontal_deg / 2)))
            return np.asarray(self.peak_cd * cosine**exponent)
        with np.errstate(invalid="ignore", divide="ignore"):
            inverse = np.hypot(2 * y / self.horizontal_deg, 2 * z / self.vertical_deg) / aside
        half = 1 / np.where(aside > 0, inverse, 2 / self.horizontal_deg)
        return np.asarray(self.peak_cd * cosine ** (math.log(0.5) / np.log(np.cos(np.radians(half)))))

    def total_lm(self) -> float:
        """Luminous flux, lm: around the axis the integral of I0/(m + 1), which for a round lobe is 2 pi I0/(m + 1); of a
        product the two integrals apart. Summed at the middles of 0.25 deg steps."""
        step = math.radians(0.25)
        turn = np.arange(0.5, 1440.0) * step
        if self.wide:
            across = float(_factor((turn + math.pi) % (2 * math.pi) - math.pi, self.horizontal_deg).sum()) * step
            up = turn[:720] - math.pi / 2
            return self.peak_cd * across * float((_factor(up, self.vertical_deg) * np.cos(up)).sum()) * step
        if self.horizontal_deg == self.vertical_deg:
            exponent = math.log(0.5) / math.log(math.cos(math.radians(self.horizontal_deg / 2)))
            return lobe_lumens(peak_cd=self.peak_cd, exponent=exponent)
        half = 1 / np.hypot(2 * np.sin(turn) / self.horizontal_deg, 2 * np.cos(turn) / self.vertical_deg)
        exponents = math.log(0.5) / np.log(np.cos(np.radians(half)))
        return self.peak_cd * float((1 / (exponents + 1)).sum()) * step


def _factor(angle_rad: Array, width_deg: float) -> Array:
    """1 along the axis and half at half the width: cos^k of the angle, of its half for widths from 180 deg."""
    if width_deg == 360:
        return np.ones_like(angle_rad)
    part = 1.0 if width_deg < WIDE_DEG else 0.5
    exponent = math.log(0.5) / math.log(math.cos(math.radians(width_deg / 2) * part))
    found: Array = np.clip(np.cos(angle_rad * part), 0.0, 1.0) ** exponent
    return found


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Source:
    """One colour of one lamp in one pose.

    when: condition of a door pose (text), None with doors closed. passes_share: of the glass or lens in front of it.
    how: `file`, `beam` (peak and widths), or `lumens` (a cosine lobe of that flux). size_m: width and height of its
    face, which say from where on it is a point.
    """

    device_id: str
    colour: str
    pose: int
    when: str | None
    at_m: tuple[float, float, float]
    azimuth_deg: float
    tilt_deg: float
    roll_deg: float
    all_round: bool
    level: Literal["upper", "lower"] | None
    tags: frozenset[str]
    passes_share: float
    shape: Shape
    how: How
    light: str | None
    size_m: tuple[float, float]
    file: str
    line: int

    @property
    def id(self) -> str:
        """A name of its own."""
        return f"{self.device_id}.{self.colour}" + (f".pose-{self.pose}" if self.pose else "")

    @property
    def peak_cd(self) -> float:
        """Greatest intensity outside the glass, cd."""
        return self.shape.peak_cd * self.passes_share

    @property
    def axes(self) -> Array:
        """Rows ahead, right, up in vehicle axes, unit vectors."""
        return axes_of(azimuth_deg=self.azimuth_deg, tilt_deg=self.tilt_deg, roll_deg=self.roll_deg)

    def candela(self, directions: Any) -> Array:
        """Intensity, cd, toward directions in vehicle axes (last axis x, y, z; any length above 0), glass included and
        nothing in the way."""
        own = np.asarray(directions, float) @ self.axes.T
        found: Array = self.shape.toward_cd(ahead=own[..., 0], right=own[..., 1], up=own[..., 2]) * self.passes_share
        return found


@dataclass(frozen=True, slots=True, kw_only=True)
class Unlit:
    """A colour of a lamp whose light is not known, and why: it counts as dark."""

    device_id: str
    colour: str
    why: str
    file: str
    line: int


def axes_of(*, azimuth_deg: float, tilt_deg: float, roll_deg: float = 0.0) -> Array:
    """Rows ahead, right, up of a lamp in vehicle axes, from azimuth (clockwise from ahead), tilt and roll, deg."""
    azimuth, tilt, roll = (math.radians(angle) for angle in (azimuth_deg, tilt_deg, roll_deg))
    ahead = np.array((-math.cos(azimuth) * math.cos(tilt), math.sin(azimuth) * math.cos(tilt), math.sin(tilt)))
    right = np.array((math.sin(azimuth), math.cos(azimuth), 0.0))
    up = np.array((math.cos(azimuth) * math.sin(tilt), -math.sin(azimuth) * math.sin(tilt), math.cos(tilt)))
    return np.array((ahead, math.cos(roll) * right - math.sin(roll) * up, math.cos(roll) * up + math.sin(roll) * right))


def directions_of(azimuth_deg: Any, elevation_deg: Any) -> Array:
    """Unit vectors in vehicle axes of azimuths (clockwise from ahead) and elevations, deg, broadcast together."""
    azimuth, up = np.broadcast_arrays(np.radians(azimuth_deg), np.radians(elevation_deg))
    return np.stack((-np.cos(azimuth) * np.cos(up), np.sin(azimuth) * np.cos(up), np.sin(up)), axis=-1)


def candela(source: Source, directions: Any) -> Array:
    """Intensity, cd, of a source toward directions in vehicle axes: `Source.candela` as a function."""
    return source.candela(directions)


def sources_of(
    rig: Rig, files: Mapping[str, bytes], *, tags: Iterable[str] | None = None
) -> tuple[tuple[Source, ...], tuple[Unlit, ...]]:
    """All sources of a rig, or of the lamps that carry one of the tags; and the colours whose light is not known.

    files: photometric files by name; one that cannot be read is an `Unlit` that says so (loading has refused it before).
    """
    wanted = None if tags is None else frozenset(tags)
    rows = {row.id: row for row in rig.build.install}
    shapes: dict[tuple[str, str], tuple[Shape, How] | str] = {}
    found: list[Source] = []
    missing: list[Unlit] = []
    for device in rig.devices.values():
        if not device.colours or (wanted is not None and not wanted & device.tags):
            continue
        part = rig.parts.get(device.part_id or "")
        row = rows.get(device.row)
        roll_deg = (row.roll or 0.0) if row is not None else 0.0
        for colour in device.colours:
            entry = part.colours.get(colour) if part is not None else None
            key = (device.part_id or device.id, colour)
            if key not in shapes:
                shapes[key] = _shape_of(entry, files)
            shape = shapes[key]
            poses = [p for p in device.placement.poses if p.all_round or p.facing_deg is not None]
            if isinstance(shape, str) or not poses:
                why = shape if isinstance(shape, str) else "it faces nowhere: give its place or row a facing"
                missing.append(Unlit(device_id=device.id, colour=colour, why=why, file=device.file, line=device.line))
                continue
            light = None if entry is None else entry.light
            found += [_source(device, colour, pose, shape, light, roll_deg) for pose in poses]
    return tuple(found), tuple(missing)


def _source(
    device: Device, colour: str, pose: Pose, shape: tuple[Shape, How], light: str | None, roll_deg: float
) -> Source:
    at, made = pose.at, shape[0]
    tilt_deg = pose.tilt_deg
    if pose.all_round and isinstance(made, Lobe):
        made = replace(made, horizontal_deg=360.0)
    elif pose.all_round and isinstance(made, Distribution) and made.kind == "C":
        tilt_deg = -90.0  # vertical angle 0 of such a file is straight down, and its plane 0 looks ahead
    return Source(
        device_id=device.id,
        colour=colour,
        pose=device.placement.poses.index(pose),
        when=pose.when,
        at_m=(at.x_m, at.y_m, at.z_m),
        azimuth_deg=0.0 if pose.facing_deg is None else pose.facing_deg,
        tilt_deg=tilt_deg,
        roll_deg=roll_deg,
        all_round=pose.all_round,
        level=device.placement.level,
        tags=device.tags,
        passes_share=device.placement.glass_share,
        shape=made,
        how=shape[1],
        light=light,
        size_m=(device.size_m[1], device.size_m[2]),
        file=device.file,
        line=device.line,
    )


def _shape_of(entry: Any, files: Mapping[str, bytes]) -> tuple[Shape, How] | str:
    """A colour's light by what the catalogue says of it: its file, else peak and widths, else lumens; or why not."""
    if entry is None:
        return "the catalogue says nothing of its light"
    if entry.light is not None:
        try:
            return _read(entry.light, files), "file"
        except (KeyError, PhotometryError) as error:
            return f"its photometric file {entry.light} cannot be read: {error}"
    if entry.candela is not None and entry.beam is not None:
        return Lobe(peak_cd=entry.candela, horizontal_deg=entry.beam[0], vertical_deg=entry.beam[1]), "beam"
    if entry.candela is not None:
        return "it has a peak and no beam: give `beam`, its full widths at half the peak"
    if entry.lumens is not None:
        return Lobe(peak_cd=entry.lumens / math.pi, horizontal_deg=120.0, vertical_deg=120.0), "lumens"
    return "the catalogue says nothing of its light: give `candela` and `beam`, or a photometric file as `light`"


def _read(name: str, files: Mapping[str, bytes]) -> Distribution:
    return read(name, files[name])
