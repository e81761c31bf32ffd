"""The standard's grid of directions around a vehicle, and what every lamp sends along it.

Far from the vehicle, where only bearing and elevation count: every 5 deg around, on the horizontal and 5 deg above and
below it. A zone holds the 19 bearings from 45 deg left to 45 deg right of its middle, both ends included
[NFPA 1901-2016 13.8.12, from memory; whether the ends count whole or half is not settled there, so both are given].
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import numpy.typing as npt

from rigbook.light.outline import Prism, blocked, start_of
from rigbook.light.sources import FIELD_SHARE, Source, directions_of
from rigbook.rig.places import ZONE_MIDDLES

Array = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]
STEP_DEG = 5
BEARINGS_DEG = tuple(range(0, 360, STEP_DEG))
ELEVATIONS_DEG = (0, STEP_DEG, -STEP_DEG)
HALF_ZONE_DEG = 45


@lru_cache(maxsize=1)
def grid_directions() -> Array:
    """Unit vectors of the grid: elevation, bearing, axis."""
    made = directions_of(np.array(BEARINGS_DEG, float)[None, :], np.array(ELEVATIONS_DEG, float)[:, None])
    made.flags.writeable = False
    return made


@lru_cache(maxsize=8)
def zone_points(zone: str) -> npt.NDArray[np.intp]:
    """Places of a zone's 19 bearings in `BEARINGS_DEG`, from its left end to its right end as the zone is looked at
    clockwise."""
    middle = dict(ZONE_MIDDLES)[zone]
    around = len(BEARINGS_DEG)
    offsets = np.arange(-HALF_ZONE_DEG, HALF_ZONE_DEG + 1, STEP_DEG)
    found: npt.NDArray[np.intp] = ((middle + offsets) / STEP_DEG).round().astype(np.intp) % around
    return found


def zone_of_bearing(bearing_deg: float) -> str:
    """The zone a viewer at a bearing (clockwise from ahead) is in; on a line between two, the first clockwise."""
    names = [name for name, _ in ZONE_MIDDLES]
    return names[int(((bearing_deg + HALF_ZONE_DEG) % 360) // 90)]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Seen:
    """What sources send along the grid, nothing of the vehicle in between.

    candela: source, elevation, bearing. field: on the horizontal, whether the source sends at least a tenth of its peak
    there. inside: sources that sit inside the body, which send nothing.
    """

    candela: Array
    field: Flags
    inside: tuple[Source, ...]


def seen(sources: Sequence[Source], prisms: Sequence[Prism]) -> Seen:
    """What the sources send along the grid, shadowed by the outline. Sources at one place are looked at once."""
    directions = grid_directions()
    candela = np.zeros((len(sources), *directions.shape[:2]))
    places: dict[tuple[float, ...], int] = {}
    starts: list[Array] = []
    place_of: list[int | None] = []
    inside: list[Source] = []
    for number, source in enumerate(sources):
        aim = source.axes[0]
        key = (*source.at_m, *aim, source.passes_share < 1)
        if key not in places:
            start = start_of(prisms, source.at_m, aim, behind_glass=source.passes_share < 1)
            places[key] = len(starts) if start is not None else -1
            if start is not None:
                starts.append(start)
        place_of.append(places[key] if places[key] >= 0 else None)
        if place_of[-1] is None:
            inside.append(source)
        else:
            candela[number] = source.candela(directions)
    if starts:
        free = ~blocked(prisms, np.array(starts)[:, None, None, :], directions)
        for number, place in enumerate(place_of):
            if place is not None:
                candela[number] *= free[place]
    peaks = np.array([source.peak_cd for source in sources])
    field = (candela[:, 0, :] >= FIELD_SHARE * peaks[:, None]) & (peaks[:, None] > 0)
    return Seen(candela=candela, field=field, inside=tuple(inside))
