"""The elastic bolt group. Plain numbers; any one unit of length and one of force. Source: bolt-group."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

Vector = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class BoltForce:
    """What one bolt carries: axial (positive pulls along the axis) and the two shears in the plane."""

    axial: float
    shear_x: float
    shear_y: float

    @property
    def shear(self) -> float:
        """Resultant shear."""
        return float((self.shear_x**2 + self.shear_y**2) ** 0.5)


def bolt_group(
    bolts: Sequence[tuple[float, float]], *, force: Vector, moment: Vector = (0.0, 0.0, 0.0), at: Vector
) -> tuple[BoltForce, ...]:  # fmt: skip
    """Forces of equal bolts in the plane z = 0 under a force at a point and a moment.

    The neutral axis lies at the centroid: on the safe side for bolts, silent on how the sheet bends. Groups without an
    axis of symmetry are taken with their product of inertia, so that forces and moments balance. Where all bolts stand
    in one line nothing but the sheet takes a moment about that line. ValueError for no bolts, and for such a moment
    where the bolts have no arm against it.
    """
    if not bolts:
        raise ValueError("a group has at least one bolt")
    count = len(bolts)
    cx, cy = sum(b[0] for b in bolts) / count, sum(b[1] for b in bolts) / count
    arms = [(x - cx, y - cy) for x, y in bolts]
    ix, iy = sum(dy * dy for _, dy in arms), sum(dx * dx for dx, _ in arms)
    x, y, z = at[0] - cx, at[1] - cy, at[2]
    fx, fy, fz = force
    mx, my, mz = moment[0] + y * fz - z * fy, moment[1] + z * fx - x * fz, moment[2] + x * fy - y * fx
    size = 1e-9 * max(abs(fx), abs(fy), abs(fz), 1e-30) * max(1e-30, *(abs(v) for v in (x, y, z)), 1e-12)
    if abs(mz) > size and ix + iy <= 1e-18:
        raise ValueError(NO_ARM)
    across, up = _slopes(arms, ix, iy, mx, my, size)
    return tuple(
        BoltForce(
            fz / count + across * dx + up * dy,
            fx / count - _share(mz * dy, ix + iy),
            fy / count + _share(mz * dx, ix + iy),
        )
        for dx, dy in arms
    )


NO_ARM = "the bolts stand in one line or point and have no arm against a moment"


def _slopes(
    arms: Sequence[tuple[float, float]], ix: float, iy: float, mx: float, my: float, size: float
) -> tuple[float, float]:
    """How the axial force grows along x and y, so that it balances the moments about both."""
    ixy = sum(dx * dy for dx, dy in arms)
    determinant = ix * iy - ixy * ixy
    if determinant > 1e-12 * (ix + iy) ** 2 and determinant > 0:
        return (-my * ix - mx * ixy) / determinant, (mx * iy + my * ixy) / determinant
    if ix + iy <= 1e-18:
        if max(abs(mx), abs(my)) > size:
            raise ValueError(NO_ARM)
        return 0.0, 0.0
    ux, uy = (iy, ixy) if iy >= ix else (ixy, ix)
    long = (ux * ux + uy * uy) ** 0.5
    ux, uy = ux / long, uy / long
    if abs(my * uy + mx * ux) > size:  # about the line itself
        raise ValueError(NO_ARM)
    along = (-my * ux + mx * uy) / (ix + iy)
    return along * ux, along * uy


def _share(moment: float, stiffness: float) -> float:
    return moment / stiffness if stiffness > 1e-18 else 0.0
