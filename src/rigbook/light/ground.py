"""The ground around a vehicle as a map: illuminance on a grid, which levels to draw, which states to show."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from rigbook.light.areas import state_of
from rigbook.light.illuminance import UP, Numbers
from rigbook.light.scene import Burning, Lighting, plan_of, toward_vehicle, under
from rigbook.quantities.show import UnitSystem
from rigbook.quantities.units import INCH_M
from rigbook.rig.model import Rig, SavedPoint

REACH_M = 30.0
"""How far from the vehicle a map reaches."""
SPACING_M = 0.5
FOOT_CANDLE_LX = 1 / (12 * INCH_M) ** 2
LEVELS: dict[UnitSystem, tuple[float, ...]] = {
    "metric": (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000),
    "us": (0.1, 0.2, 0.5, 1, 2, 3, 5, 10, 20, 50, 100),
}
"""Levels of contour lines in the shop's unit, lx or fc; 3 fc is the trade's level for work."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class GroundMap:
    """Illuminance on the ground, lx: level planes, and upright ones that face the vehicle. Rows along y, columns along x."""

    x_m: Numbers
    y_m: Numbers
    level_lx: Numbers
    upright_lx: Numbers
    covered: Numbers
    """1 where the vehicle stands, else 0."""
    spacing_m: float


def ground_map(
    lighting: Lighting, burning: Sequence[Burning], *, reach_m: float = REACH_M, spacing_m: float = SPACING_M
) -> GroundMap:
    """The map of what burns, from `reach_m` before the vehicle to as far behind and beside it.

    Raises:
        ValueError: a reach or spacing that is not above 0, or more than four million points.
    """
    if reach_m <= 0 or spacing_m <= 0:
        raise ValueError("a map has a reach and a spacing above 0")
    front, rear, left, right = plan_of(lighting.rig.vehicle)
    x, y = _axis(front - reach_m, rear + reach_m, spacing_m), _axis(left - reach_m, right + reach_m, spacing_m)
    if len(x) * len(y) > 4_000_000:
        raise ValueError(f"a map of {len(x)} by {len(y)} points; take a wider spacing")
    across, along = np.meshgrid(x, y)
    points = np.stack((across.ravel(), along.ravel(), np.zeros(across.size)))
    found = lighting.light(burning, points, (UP, toward_vehicle(lighting.rig.vehicle, points)))
    shape = across.shape
    return GroundMap(
        x_m=x, y_m=y, level_lx=found[0].reshape(shape), upright_lx=found[1].reshape(shape),
        covered=under(lighting.rig.vehicle, points).astype(float).reshape(shape), spacing_m=spacing_m,
    )  # fmt: skip


def _axis(low: float, high: float, spacing_m: float) -> Numbers:
    """Whole steps from both ends of a stretch, so that equal vehicles give equal maps."""
    first, last = int(np.floor(low / spacing_m)), int(np.ceil(high / spacing_m))
    return np.asarray(np.arange(first, last + 1) * spacing_m, float)


def levels_of(units: UnitSystem, brightest_lx: float) -> tuple[tuple[float, float, str], ...]:
    """The levels that a map reaches: in the shop's unit, in lx, and as printed."""
    factor, unit = (FOOT_CANDLE_LX, "fc") if units == "us" else (1.0, "lx")
    return tuple((v, v * factor, f"{v:g} {unit}") for v in LEVELS[units] if v * factor <= brightest_lx)


def lit_states(rig: Rig, lighting: Lighting) -> tuple[SavedPoint, ...]:
    """The saved states worth a map: those that areas name; else the one with the most steady light; none without light."""
    named = {area.state for area in rig.build.scene if area.ground is not None}
    if named:
        return tuple(state for state in rig.states if state.id in named)
    lumens = {state.id: _lumens(lighting.burning(state_of(rig, state))) for state in rig.states}
    brightest = max(lumens.values(), default=0.0)
    return tuple(state for state in rig.states if brightest > 0 and lumens[state.id] == brightest)[:1]


def _lumens(burning: Sequence[Burning]) -> float:
    """Flux of what burns steadily and leaves the body, lm."""
    return sum(b.source.shape.total_lm() * b.share * b.source.passes_share for b in burning if b.start is not None)
