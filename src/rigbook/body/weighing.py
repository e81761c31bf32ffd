"""What a weighing says against what was computed, and how the difference is spread. Plain numbers. Source: statics."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from rigbook.body.statics import PointLoad


@dataclass(frozen=True, slots=True)
class Spread:
    """Factor on each mass: 1 + a + b x + c y, and what is added to every height, m."""

    a: float = 0.0
    b: float = 0.0
    c: float = 0.0
    up_m: float = 0.0

    def of(self, load: PointLoad) -> PointLoad:
        """A load with its part of the difference."""
        factor = 1.0 + self.a + self.b * load.x_m + self.c * load.y_m
        return PointLoad(load.mass_kg * factor, load.x_m, load.y_m, load.z_m + self.up_m)


def spread_residual(
    loads: Sequence[PointLoad], *, mass_kg: float, moment_x_kg_m: float, moment_y_kg_m: float | None
) -> Spread:  # fmt: skip
    """The least change of masses that gives a weighed residual: minimise sum(dm^2/m) under its mass and moments.

    The stationary point is dm = m (a + b x + c y), and the sums give three linear equations for a, b, c; without
    `moment_y_kg_m` (sides not weighed) c is 0. ValueError where masses add to nothing or lie in one line.
    """
    import numpy as np

    columns = [[1.0, load.x_m, load.y_m] for load in loads]
    if moment_y_kg_m is None:
        columns = [row[:2] for row in columns]
    basis = np.array(columns)
    masses = np.array([load.mass_kg for load in loads])
    target = [mass_kg, moment_x_kg_m] if moment_y_kg_m is None else [mass_kg, moment_x_kg_m, moment_y_kg_m]
    normal = basis.T @ (masses[:, None] * basis)
    if np.linalg.matrix_rank(normal) < len(target):
        raise ValueError("masses in one line or point cannot take up a difference of the axles")
    found = [float(v) for v in np.linalg.solve(normal, np.array(target))]
    return Spread(*found)


def raise_to(spread: Spread, *, loads: Sequence[PointLoad], fixed: Sequence[PointLoad], height_m: float) -> Spread:
    """The spread with heights raised by one amount, so that spread and fixed loads together have a weighed height."""
    spread_loads = [spread.of(load) for load in loads]
    moved = math.fsum(load.mass_kg for load in spread_loads)
    total = moved + math.fsum(load.mass_kg for load in fixed)
    moment = math.fsum(load.mass_kg * load.z_m for load in (*spread_loads, *fixed))
    return Spread(spread.a, spread.b, spread.c, (total * height_m - moment) / moved)
