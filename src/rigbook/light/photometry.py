"""Distributions of luminous intensity: interpolation, lumens, peak, beam and field angles.

A distribution is held on a full grid in the angles of its type (symmetries unfolded):

    C   vertical 0 (along the axis) to 180 deg, horizontal 0 to 360 deg around the axis
    B   horizontal and vertical about the beam axis, d = (cos H cos V, sin H, cos H sin V)
    A   likewise, d = (cos V cos H, cos V sin H, sin V)

with d = (ahead along the beam, right, up). Intensities between grid points are bilinear in the two angles; outside the
measured range the intensity is 0, never extrapolated.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Literal

import numpy as np
import numpy.typing as npt

Angles = npt.NDArray[np.float64]
Kind = Literal["A", "B", "C"]


ANGLES_AS_PRINTED_DEG = 0.15
"""By how much the last step may miss the full circle: some writers print angles with one decimal."""


class PhotometryError(Exception):
    """What is wrong in a photometric file, and in which line (from 1)."""

    def __init__(self, line: int, says: str, found: str = "", expected: str = "") -> None:
        super().__init__(f"line {line}: {says}")
        self.line, self.says, self.found, self.expected = line, says, found, expected


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Distribution:
    """Luminous intensity over directions, cd. `candela[h, v]` belongs to `horizontal_deg[h]`, `vertical_deg[v]`."""

    kind: Kind
    horizontal_deg: Angles
    vertical_deg: Angles
    candela: Angles
    lamp_lumens: float | None = None
    """Flux of the bare lamps as the file states it; None for absolute photometry."""
    title: str = ""

    @property
    def peak_cd(self) -> float:
        """Greatest intensity on the grid, which bounds the bilinear interpolant."""
        return float(self.candela.max())

    @property
    def peak_at_deg(self) -> tuple[float, float]:
        """Horizontal and vertical angle of the first grid point with the greatest intensity."""
        h, v = np.unravel_index(int(self.candela.argmax()), self.candela.shape)
        return float(self.horizontal_deg[h]), float(self.vertical_deg[v])

    def intensity_cd(self, horizontal_deg: Any, vertical_deg: Any) -> Angles:
        """Bilinear intensity, cd, at angles of the distribution's own type; 0 outside the measured range."""
        horizontal, vertical = np.broadcast_arrays(np.asarray(horizontal_deg, float), np.asarray(vertical_deg, float))
        if self.kind == "C":
            horizontal = np.where(horizontal == 360.0, 360.0, np.mod(horizontal, 360.0))
        hs, vs = self.horizontal_deg, self.vertical_deg
        inside = (horizontal >= hs[0]) & (horizontal <= hs[-1]) & (vertical >= vs[0]) & (vertical <= vs[-1])
        h, along_h = _cell(hs, horizontal)
        v, along_v = _cell(vs, vertical)
        low = self.candela[h, v] * (1 - along_v) + self.candela[h, v + 1] * along_v
        high = self.candela[h + 1, v] * (1 - along_v) + self.candela[h + 1, v + 1] * along_v
        found: Angles = np.where(inside, low * (1 - along_h) + high * along_h, 0.0)
        return found

    def toward_cd(self, *, ahead: Any, right: Any, up: Any) -> Angles:
        """Intensity, cd, toward a direction (any length above 0) given in the lamp's axes.

        The beam axis is `ahead`. For type C the axis (vertical angle 0) is `ahead`, and horizontal angle 0 is up,
        90 deg right."""
        x, y, z = (np.asarray(part, float) for part in (ahead, right, up))
        if self.kind == "C":
            return self.intensity_cd(np.degrees(np.arctan2(y, z)), np.degrees(np.arctan2(np.hypot(y, z), x)))
        if self.kind == "B":
            return self.intensity_cd(np.degrees(np.arctan2(y, np.hypot(x, z))), np.degrees(np.arctan2(z, x)))
        return self.intensity_cd(np.degrees(np.arctan2(y, x)), np.degrees(np.arctan2(z, np.hypot(x, y))))

    def total_lm(self) -> float:
        """Luminous flux, lm: the exact integral of the bilinear interpolant over solid angle."""
        if self.kind == "C":
            return self._integral(self.vertical_deg, self.horizontal_deg, self.candela, _sine_weights)
        if self.kind == "A":
            return self._integral(self.vertical_deg, self.horizontal_deg, self.candela, _cosine_weights)
        return self._integral(self.horizontal_deg, self.vertical_deg, self.candela.T, _cosine_weights)

    def zonal_lm(self, *, from_deg: float, to_deg: float) -> float:
        """Flux, lm, between two angles from the axis (0 to 180 deg); types A and B are resampled every degree.

        Raises:
            ValueError: not 0 <= from_deg <= to_deg <= 180.
        """
        if not 0 <= from_deg <= to_deg <= 180:
            raise ValueError(f"a zone reaches from 0 to 180 deg, not {from_deg} to {to_deg}")
        if self.kind != "C":
            return self.about_axis(step_deg=1.0).zonal_lm(from_deg=from_deg, to_deg=to_deg)
        low, high = max(from_deg, float(self.vertical_deg[0])), min(to_deg, float(self.vertical_deg[-1]))
        if high <= low:
            return 0.0
        between = self.vertical_deg[(self.vertical_deg > low) & (self.vertical_deg < high)]
        vs = np.concatenate(([low], between, [high]))
        candela = self.intensity_cd_grid(self.horizontal_deg, vs)
        return self._integral(vs, self.horizontal_deg, candela, _sine_weights)

    def zonal_lm_by_constants(self, *, from_deg: float, to_deg: float, step_deg: float) -> float:
        """The same flux as laboratories print it: in steps, mean intensity around at both ends of a step, averaged, times
        the zonal constant. Coarser than `zonal_lm`; type C alone [zonal flux note of a lighting toolbox].

        Raises:
            ValueError: another type, or steps that do not fill the zone.
        """
        count = round((to_deg - from_deg) / step_deg)
        if self.kind != "C" or count < 1 or not math.isclose(from_deg + count * step_deg, to_deg):
            raise ValueError("zonal constants are for type C, in steps that fill the zone")
        edges = from_deg + step_deg * np.arange(count + 1, dtype=np.float64)
        rows = self.intensity_cd_grid(self.horizontal_deg, edges)
        means: Angles = np.asarray(np.trapezoid(rows, self.horizontal_deg, axis=0)) / 360.0
        return float(
            sum(
                (means[n] + means[n + 1]) / 2 * zonal_constant_sr(from_deg=edges[n], to_deg=edges[n + 1])
                for n in range(count)
            )
        )

    def intensity_cd_grid(self, horizontal_deg: Angles, vertical_deg: Angles) -> Angles:
        """Intensities on a grid, horizontal angles down and vertical angles across; 360 deg stays the last row."""
        return self.intensity_cd(horizontal_deg[:, None], vertical_deg[None, :])

    def about_axis(self, *, step_deg: float) -> Distribution:
        """The same light sampled as type C about the beam axis, every `step_deg` (a divisor of 90)."""
        vs, hs = np.arange(0, 180 + step_deg / 2, step_deg), np.arange(0, 360 + step_deg / 2, step_deg)
        gamma, around = np.radians(vs)[None, :], np.radians(hs)[:, None]
        right, up = np.sin(gamma) * np.sin(around), np.sin(gamma) * np.cos(around)
        candela = self.toward_cd(ahead=np.cos(gamma) + 0 * around, right=right, up=up)
        return Distribution(kind="C", horizontal_deg=hs, vertical_deg=vs, candela=candela, title=self.title)

    def width_deg(self, *, share: float, plane: Literal["horizontal", "vertical"]) -> float | None:
        """Full angle between the directions where a plane through the axis falls to `share` of that plane's peak.

        Beam angle: share 0.5; field angle: share 0.1. Sampled every 0.1 deg from the peak outward, linear between;
        None where the light does not fall that low within 180 deg, or where the plane is dark."""
        at_deg = np.arange(-1799, 1801) / 10.0
        ahead, aside = np.cos(np.radians(at_deg)), np.sin(np.radians(at_deg))
        zero = np.zeros_like(ahead)
        across = plane == "horizontal"
        profile = self.toward_cd(ahead=ahead, right=aside if across else zero, up=zero if across else aside)
        least = profile.max() * share
        if least <= 0:
            return None
        top = int(profile.argmax())
        up_to = _falls(np.concatenate((profile[top:], profile[:top])), least)
        down_to = _falls(np.concatenate((profile[top::-1], profile[:top:-1])), least)
        return None if up_to is None or down_to is None else (up_to + down_to) / 10.0

    @staticmethod
    def _integral(along: Angles, across: Angles, candela: Angles, weights: Callable[[Angles], Angles]) -> float:
        rows = candela @ weights(np.radians(along))
        return float(np.trapezoid(rows, np.radians(across)))


def zonal_constant_sr(*, from_deg: float, to_deg: float) -> float:
    """Solid angle between two angles from an axis, sr: 2 pi (cos g1 - cos g2)."""
    return 2 * math.pi * (math.cos(math.radians(from_deg)) - math.cos(math.radians(to_deg)))


def _cell(grid: Angles, at: Angles) -> tuple[npt.NDArray[np.intp], Angles]:
    """Cell of a sorted grid, and how far along it."""
    cell = np.clip(np.searchsorted(grid, at, side="right") - 1, 0, len(grid) - 2)
    along: Angles = np.clip((at - grid[cell]) / (grid[cell + 1] - grid[cell]), 0.0, 1.0)
    return cell, along


def _falls(values: Angles, least: float) -> float | None:
    """Steps until the values fall to `least`, linear within the last step."""
    below = np.nonzero(values < least)[0]
    if not len(below):
        return None
    after = int(below[0])
    before = float(values[after - 1])
    return after - 1 + (before - least) / (before - float(values[after]))


def _sine_weights(at: Angles) -> Angles:
    """Weights w with sum w I = integral of I sin g dg, exact for I linear between the angles (radians)."""
    return _weights(at, -np.cos(at), np.sin(at))


def _cosine_weights(at: Angles) -> Angles:
    """Weights w with sum w I = integral of I cos g dg, exact for I linear between the angles (radians)."""
    return _weights(at, np.sin(at), np.cos(at))


def _weights(at: Angles, first: Angles, second: Angles) -> Angles:
    """`first` is the integral of the weight; `second` is minus the integral of `first`."""
    width = np.diff(at)
    whole = np.diff(first)
    ramp = (width * first[1:] + np.diff(second)) / width  # integral of (g - g1) weight over the width of the cell
    found: Angles = np.zeros_like(at)
    found[:-1] += whole - ramp
    found[1:] += ramp
    return found


def unfold_c(horizontal_deg: Angles, candela: Angles, *, line: int) -> tuple[Angles, Angles]:
    """Horizontal angles and rows of type C over the full circle, from the stored part.

    Stored 0: rotational; 0 to 90: in each quadrant; 0 to 180: about the plane 0-180; 90 to 270: about the plane
    90-270; 0 to 360, with or without the last: none [LM-63-2002 and EULUMDAT field lists].

    Raises:
        PhotometryError: the angles are none of these.
    """
    hs = horizontal_deg
    first, last = float(hs[0]), float(hs[-1])
    if len(hs) == 1:
        if first != 0:
            raise PhotometryError(line, "a single horizontal angle is 0", str(first), "0")
        return np.array([0.0, 360.0]), np.concatenate((candela, candela))
    if first == 0 and last == 90:
        hs, candela = np.concatenate((hs, 180 - hs[-2::-1])), np.concatenate((candela, candela[-2::-1]))
        last = 180.0
    if first == 0 and last == 180:
        return np.concatenate((hs, 360 - hs[-2::-1])), np.concatenate((candela, candela[-2::-1]))
    if first == 90 and last == 270:
        around = np.concatenate((hs, np.mod(180 - hs[1:-1], 360)))
        order = np.argsort(around, kind="stable")
        hs, candela = around[order], np.concatenate((candela, candela[1:-1]))[order]
        if hs[0] != 0:
            middle = (candela[0] * (360 - hs[-1]) + candela[-1] * hs[0]) / (hs[0] + 360 - hs[-1])
            hs, candela = np.concatenate(([0.0], hs)), np.concatenate((middle[None, :], candela))
        return np.append(hs, 360.0), np.concatenate((candela, candela[:1]))
    if first == 0 and last == 360:
        return hs, candela
    if first == 0 and last > 180 and math.isclose(last + hs[-1] - hs[-2], 360.0, abs_tol=ANGLES_AS_PRINTED_DEG):
        return np.append(hs, 360.0), np.concatenate((candela, candela[:1]))
    raise PhotometryError(
        line, f"horizontal angles from {first:g} to {last:g} deg are no known symmetry", f"{first:g} to {last:g}",
        "0, 0 to 90, 0 to 180, 90 to 270 or 0 to 360",
    )  # fmt: skip
