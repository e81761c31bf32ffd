"""Around the vehicle: light by bearing in the darkest state, gaps of each mode, and what it does to eyes."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from rigbook.light.grid import BEARINGS_DEG, STEP_DEG, Flags
from rigbook.light.result import Around, AroundMode, Gap

if TYPE_CHECKING:
    from rigbook.light.warning import ModeLight


def around_of(modes: Sequence[ModeLight]) -> Around:
    """The darkest state of the darkest mode by colour, and the gaps of every mode.

    Darkest: least optical power summed over all bearings on the horizontal; the first mode and state of equal ones.
    """
    sums = [mode.power("all")[:, 0, :].sum(axis=1) for mode in modes]
    place = min(range(len(modes)), key=lambda number: float(sums[number].min()))
    mode, joint = modes[place], int(sums[place].argmin())
    sources = mode.behaviours.sources
    colours: dict[str, np.ndarray] = {}
    for number, column in enumerate(mode.columns):
        colour = sources[column.source].colour
        own = colours.setdefault(colour, np.zeros(len(BEARINGS_DEG)))
        if mode.on[joint, number]:
            own += mode.column_power[number, 0, :]
    darkest = [int(n) for n in np.nonzero(sums[place] <= sums[place].min() * (1 + 1e-9))[0]]
    return Around(
        mode=mode.asked.id,
        azimuth_deg=tuple(map(float, BEARINGS_DEG)),
        cd_s_per_min={name: tuple(map(float, values)) for name, values in sorted(colours.items())},
        modes=tuple(_mode(each) for each in modes),
        witness=mode.witness(darkest),
    )


def _mode(mode: ModeLight) -> AroundMode:
    reached = mode.reached(mode.flashes)
    always: Flags = np.asarray(reached.all(axis=0))
    return AroundMode(
        id=mode.asked.id,
        gaps=gaps_of(always),
        least_cd_s_per_min=float(mode.power("all")[:, 0, :].min()),
        reached_share=float(reached.mean(axis=1).min()),
    )


def gaps_of(reached: Flags) -> tuple[Gap, ...]:
    """Runs of bearings that are not reached, on the circle: where each begins, half a step before its first bearing, and
    how wide it is."""
    count = len(reached)
    if not reached.any():
        return (Gap(id="0", from_deg=0.0, width_deg=360.0),)
    starts = [n for n in range(count) if not reached[n] and reached[n - 1]]
    found: list[Gap] = []
    for start in starts:
        length = 1
        while not reached[(start + length) % count]:
            length += 1
        begin = (BEARINGS_DEG[start] - STEP_DEG / 2) % 360
        found.append(Gap(id=f"{BEARINGS_DEG[start]}", from_deg=begin, width_deg=float(length * STEP_DEG)))
    return tuple(found)
