"""What the light of a vehicle is in one state: the ground with its contour lines, its areas, warning by bearing and zone."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from rigbook.light.areas import SceneResult, result_of, worked
from rigbook.light.contours import Line, contours
from rigbook.light.flashes import flashing_of
from rigbook.light.grid import Array, Seen, seen, zone_points
from rigbook.light.ground import ground_map, levels_of
from rigbook.light.result import LEVELS, Level
from rigbook.light.scene import Burning, lighting_of
from rigbook.light.sources import Source
from rigbook.rig.model import Rig
from rigbook.rig.places import ZONE_MIDDLES
from rigbook.switching.logic import NONE_LOST, Lost
from rigbook.switching.program import Timeline

WARNING = "warning"


@dataclass(frozen=True, slots=True, kw_only=True)
class LevelLines:
    """The contour lines of one level: as printed, in lx, m."""

    text: str
    lux: float
    lines: tuple[Line, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ZonePower:
    """Optical power of a zone and level in the state: 19 points on the horizontal added up, and the least of them."""

    zone: str
    level: Level
    cd_s_per_min: float
    point_cd_s_per_min: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Now:
    """The light of one state. around: by colour, optical power of flashing warning lamps at the grid's bearings."""

    levels: tuple[LevelLines, ...]
    brightest_lx: float
    burning: tuple[Burning, ...]
    areas: tuple[SceneResult, ...]
    around: dict[str, tuple[float, ...]]
    zones: tuple[ZonePower, ...]


class Present:
    """A rig made ready: asked for one state after another, it works out only what depends on the state."""

    def __init__(self, rig: Rig) -> None:
        self.lighting, _ = lighting_of(rig, rig.light)
        self._rig = rig
        self._order: dict[str, int] = {}
        self._seen: Seen | None = None

    def now(self, state: Sequence[int], lost: Lost = NONE_LOST, *, spacing_m: float = 0.5) -> Now:
        """The light of a state (indexes of values, one a variable)."""
        lighting, rig = self.lighting, self._rig
        burning = lighting.burning(state, lost)
        found = ground_map(lighting, burning, spacing_m=spacing_m)
        levels = levels_of(rig.shop.units, float(found.level_lx.max()))
        drawn = contours(found.x_m, found.y_m, found.level_lx, [lux for _, lux, _ in levels])
        each = (worked(lighting, area, burning) for area in rig.build.scene)
        around, zones = self._warning(lighting.lit(state, lost))
        return Now(
            levels=tuple(
                LevelLines(text=text, lux=lux, lines=contour.lines)
                for (_, lux, text), contour in zip(levels, drawn, strict=True)
            ),
            brightest_lx=float(found.level_lx.max()),
            burning=burning,
            areas=tuple(result_of(lighting, area) for area in each if area is not None),
            around=around,
            zones=zones,
        )

    def _candela(self) -> Seen:
        """What every warning source sends along the grid; worked out once."""
        if self._seen is None:
            sources = [s for s in self.lighting.sources if WARNING in s.tags]
            self._order = {source.id: number for number, source in enumerate(sources)}
            self._seen = seen(sources, self.lighting.prisms)
        return self._seen

    def _warning(
        self, lit: Sequence[tuple[Source, Timeline]]
    ) -> tuple[dict[str, tuple[float, ...]], tuple[ZonePower, ...]]:
        along = self._candela().candela
        colours: dict[str, Array] = {}
        powers: dict[Level, Array] = {level: np.zeros(along.shape[2]) for level in LEVELS}
        for source, timeline in lit:
            place, flashing = self._order.get(source.id), flashing_of(timeline)
            if place is None or flashing.steady:
                continue
            power = 60 * flashing.mean_share * along[place, 0, :]
            colours[source.colour] = colours.get(source.colour, 0.0) + power
            powers["all"] += power
            if source.level is not None:
                powers[source.level] += power
        zones = tuple(
            ZonePower(zone=zone, level=level, cd_s_per_min=float(power[zone_points(zone)].sum()),
                      point_cd_s_per_min=float(power[zone_points(zone)].min()))
            for zone, _ in ZONE_MIDDLES
            for level, power in powers.items()
        )  # fmt: skip
        return {name: tuple(values.tolist()) for name, values in sorted(colours.items())}, zones
