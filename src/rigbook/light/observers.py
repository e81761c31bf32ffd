"""What saved states do to eyes around the vehicle: illuminance at an observer's eye, glare of steady light toward
oncoming drivers, flashes and pulses seen from each zone.

An eye stands 1.5 m above ground in the middle of a zone, 3, 30 and 150 m from the outline, and looks at the vehicle's
middle at its own height. Oncoming drivers come along the next lane, their eyes 1.2 m up and 3.5 m to the left of the
vehicle's centreline (right-hand traffic), and look along the road; the worst of every 5 m from 10 to 150 m counts.
These stands are common practice, no source; the formulas are published.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import lcm

import numpy as np
import numpy.typing as npt

from rigbook.documents.schema.vehicle import Vehicle
from rigbook.light.areas import state_of
from rigbook.light.flashes import LONGEST_MS, Flashing, flashing_of, seen_flashes_per_min, seen_pulses_per_min, steps_of
from rigbook.light.grid import Flags
from rigbook.light.outline import Prism, blocked, start_of
from rigbook.light.result import EyeFigures, StateLight
from rigbook.light.sources import FIELD_SHARE, Array, Source, directions_of
from rigbook.rig.model import Rig, SavedPoint
from rigbook.rig.places import ZONE_MIDDLES
from rigbook.switching.evaluate import Evaluator
from rigbook.switching.logic import Closures
from rigbook.switching.program import Timeline

DISTANCES_M = (3.0, 30.0, 150.0)
EYE_M, DRIVER_EYE_M, LANE_M = 1.5, 1.2, 3.5
DRIVERS_M = tuple(float(d) for d in range(10, 151, 5))
AGE_YEARS = 70.0
FAR_M = 1e5
ZONES = tuple(name for name, _ in ZONE_MIDDLES)


def disability_glare_cd_m2(*, illuminance_lx: float, angle_deg: float, age_years: float) -> float:
    """Veiling luminance 10 E / theta^2 [1 + (A/70)^4], cd/m2, theta 1 to 30 deg from the line of sight [CIE 146:2002].

    Raises:
        ValueError: an angle outside that range, or an age or illuminance below 0.
    """
    if not 1 <= angle_deg <= 30 or age_years < 0 or illuminance_lx < 0:
        raise ValueError("the glare formula holds from 1 to 30 deg off the line of sight")
    return 10 * illuminance_lx / angle_deg**2 * (1 + (age_years / 70) ** 4)


def eyes_of(vehicle: Vehicle) -> Array:
    """Where observers' eyes stand: zone, distance, axis (m)."""
    size = vehicle.size
    nose, tail = -size.front_overhang, size.length - size.front_overhang
    middle, half = (nose + tail) / 2, size.width / 2
    ends = {
        "front": (nose, 0.0, -1, 0),
        "right": (middle, half, 0, 1),
        "rear": (tail, 0.0, 1, 0),
        "left": (middle, -half, 0, -1),
    }
    return np.array(
        [[(x + dx * d, y + dy * d, EYE_M) for d in DISTANCES_M] for x, y, dx, dy in (ends[zone] for zone in ZONES)]
    )


def drivers_of(vehicle: Vehicle) -> Array:
    """Where oncoming drivers' eyes are: distance ahead of the nose, axis (m)."""
    return np.array([(-vehicle.size.front_overhang - d, -LANE_M, DRIVER_EYE_M) for d in DRIVERS_M])


@dataclass(frozen=True, slots=True, eq=False)
class Stand:
    """Eyes with their lines of sight, and what each source gives them at full brightness, lx: source, eye."""

    at_m: Array
    looks: Array
    given_lx: Array
    off_deg: Array


@dataclass(frozen=True, slots=True)
class Burning:
    """A source that is lit in a state, by its number, on a timeline of a clock, and what that amounts to."""

    source: int
    clock: str
    timeline: Timeline
    flashing: Flashing

    @property
    def mean(self) -> float:
        """Mean share over time."""
        return self.flashing.mean_share

    @property
    def steady(self) -> bool:
        """Whether it burns steadily."""
        return self.flashing.steady


class Observers:
    """Eyes around one vehicle and its lamps, ready to be asked for any saved state."""

    def __init__(self, rig: Rig, sources: Sequence[Source], prisms: Sequence[Prism]) -> None:
        self.rig, self.sources = rig, tuple(sources)
        self.evaluator, self.closures = Evaluator(rig.program), Closures(rig.program)
        self.starts = [
            None if rig.devices[s.device_id].placement.inside and s.passes_share >= 1
            else start_of(prisms, s.at_m, s.axes[0], behind_glass=s.passes_share < 1)
            for s in self.sources
        ]  # fmt: skip
        eyes = eyes_of(rig.vehicle).reshape(-1, 3)
        size = rig.vehicle.size
        middle = np.array((size.length / 2 - size.front_overhang, 0.0, EYE_M))
        looks = (middle - eyes) / np.linalg.norm(middle - eyes, axis=1)[:, None]
        drivers = drivers_of(rig.vehicle)
        ahead = np.broadcast_to(np.array((1.0, 0.0, 0.0)), drivers.shape)
        far = FAR_M * np.array([directions_of(bearing, 0.0) for _, bearing in ZONE_MIDDLES])
        points, sights = np.concatenate((eyes, drivers, far)), np.concatenate((looks, ahead, 0 * far))
        candela, distance, cosine = self._toward(points, sights, prisms)
        given = candela / distance**2 * np.maximum(cosine, 0.0)
        off = np.degrees(np.arccos(np.clip(cosine, -1.0, 1.0)))
        first, last = len(eyes), len(eyes) + len(drivers)
        self.eyes = Stand(eyes, looks, given[:, :first], off[:, :first])
        self.drivers = Stand(drivers, ahead, given[:, first:last], off[:, first:last])
        peaks = np.array([source.peak_cd for source in self.sources])[:, None]
        self.field: Flags = (candela[:, last:] >= FIELD_SHARE * peaks) & (peaks > 0)
        """Whether each source's field reaches the middle bearing of each zone: source, zone."""

    def _toward(self, points: Array, sights: Array, prisms: Sequence[Prism]) -> tuple[Array, Array, Array]:
        """Intensity toward each point past the outline, distance, and cosine between line of sight and lamp: source,
        point. Colours and poses of one lamp that shine from one place are looked at once."""
        shape = len(self.sources), len(points)
        candela, distance, cosine = np.zeros(shape), np.ones(shape), np.full(shape, -1.0)
        known: dict[bytes, npt.NDArray[np.bool_]] = {}
        for number, (source, start) in enumerate(zip(self.sources, self.starts, strict=True)):
            if start is None:
                continue
            way = points - start
            distance[number] = np.sqrt((way * way).sum(axis=1))
            cosine[number] = -(way * sights).sum(axis=1) / distance[number]
            key = start.tobytes()
            if key not in known:
                known[key] = ~blocked(prisms, start, way, up_to_m=1.0)
            candela[number] = source.candela(way) * known[key]
        return candela, distance, cosine

    def burning(self, saved: SavedPoint) -> tuple[Burning, ...]:
        """What is lit in a saved state, in file order."""
        state = state_of(self.rig, saved)
        outcome = self.evaluator.outcome(state)
        lit: dict[tuple[str, str], tuple[str, Timeline, int]] = {}
        for device, own in zip(self.rig.program.devices, outcome.lit, strict=True):
            if own:
                pose = next(
                    (
                        n + 1
                        for n, p in enumerate(device.poses)
                        if p.when is not None and self.closures.two(p.when)(state)
                    ),
                    0,
                )
                lit.update(((device.id, colour), (device.clock, timeline, pose)) for colour, timeline in own)
        found: list[Burning] = []
        for number, source in enumerate(self.sources):
            shown = lit.get((source.device_id, source.colour))
            if shown is not None and source.pose == shown[2]:
                found.append(Burning(number, shown[0], shown[1], flashing_of(shown[1])))
        return tuple(found)

    def figures(self, saved: SavedPoint) -> StateLight:
        """The figures of one saved state."""
        burning = self.burning(saved)
        zones: list[EyeFigures] = []
        count = len(DISTANCES_M)
        peaks, means = self.peaks_lx(burning), self.means_lx(burning)
        for place, zone in enumerate(ZONES):
            seen = [b for b in burning if self.field[b.source, place]]
            ways = [(b.clock, b.timeline) for b in seen if not b.steady]
            peak, mean = (values[place * count : (place + 1) * count] for values in (peaks, means))
            zones.append(
                EyeFigures(
                    id=zone, colours=tuple(sorted({self.sources[b.source].colour for b in seen})),
                    flashes_per_min=seen_flashes_per_min(ways), pulses_per_min=seen_pulses_per_min(ways),
                    peak_3_lx=float(peak[0]), peak_30_lx=float(peak[1]), peak_150_lx=float(peak[2]),
                    mean_3_lx=float(mean[0]), mean_30_lx=float(mean[1]), mean_150_lx=float(mean[2]),
                )
            )  # fmt: skip
        veil, worst = self.glare(burning)
        return StateLight(
            id=saved.id, zones=tuple(zones), veil_cd_m2=veil,
            veil_at_m=None if worst is None else DRIVERS_M[worst],
        )  # fmt: skip

    def means_lx(self, burning: Sequence[Burning]) -> Array:
        """Illuminance at each eye averaged over time, lx."""
        shares = np.array([b.mean for b in burning])
        found: Array = (self.eyes.given_lx[[b.source for b in burning]] * shares[:, None]).sum(axis=0)
        return found

    def peaks_lx(self, burning: Sequence[Burning]) -> Array:
        """Greatest illuminance at each eye at any instant, lx: exact on each clock, added between clocks, whose phases
        drift."""
        clocks: dict[str, dict[Timeline, list[int]]] = {}
        for b in burning:
            clocks.setdefault(b.clock, {}).setdefault(b.timeline, []).append(b.source)
        total = np.zeros(self.eyes.given_lx.shape[1])
        for own in clocks.values():
            total += most_together(
                tuple(own), np.array([self.eyes.given_lx[rows].sum(axis=0) for rows in own.values()])
            )
        return total

    def glare(self, burning: Sequence[Burning]) -> tuple[float, int | None]:
        """Greatest veiling luminance of steady light for an oncoming driver of 70 years, cd/m2, and the place of the
        driver; 0 and None where none shines there."""
        totals = np.zeros(len(DRIVERS_M))
        for b in burning:
            if b.steady:
                totals += self.veils(b)
        most = float(totals.max())
        return (most, int(totals.argmax())) if most > 0 else (0.0, None)

    def veils(self, b: Burning) -> Array:
        """What one steady lamp adds to each driver's veil, cd/m2. Lamps less than 1 deg off the line of sight count as at 1
        deg; beyond 30 deg they add nothing, as the formula ends there."""
        off = self.drivers.off_deg[b.source]
        lux = self.drivers.given_lx[b.source] * b.mean
        one_lx = disability_glare_cd_m2(illuminance_lx=1.0, angle_deg=1.0, age_years=AGE_YEARS)
        found: Array = np.where(off <= 30, lux * one_lx / np.maximum(1.0, off) ** 2, 0.0)
        return found


def most_together(timelines: tuple[Timeline, ...], weights: Array) -> Array:
    """Greatest sum of timelines of one clock at any instant, each with its weights (timeline, eye), an eye."""
    levels = _levels(timelines)
    if levels is None:
        peaks = np.array([max((level for _, _, level in steps_of(t)), default=0.0) for t in timelines])
        return np.asarray((weights * peaks[:, None]).sum(axis=0))
    return np.asarray((weights[:, :, None] * levels[:, None, :]).sum(axis=0).max(axis=-1))


@lru_cache(maxsize=1024)
def _levels(timelines: tuple[Timeline, ...]) -> Array | None:
    """Intensities of timelines at every instant of their common period at which one of them changes: timeline, instant.
    None where that period is too long to be walked."""
    period = lcm(*(t.period_ms for t in timelines))
    if period > LONGEST_MS:
        return None
    marks = {0}
    for timeline in timelines:
        for start, end, _ in steps_of(timeline):
            for turn in range(0, period, timeline.period_ms):
                marks |= {start + turn, (end + turn) % period}
    instants = np.array(sorted(marks))
    levels = np.zeros((len(timelines), len(instants)))
    for row, timeline in enumerate(timelines):
        at = instants % timeline.period_ms
        for start, end, level in steps_of(timeline):
            levels[row, (at >= start) & (at < end)] = level
    _, distinct = np.unique(levels, axis=1, return_index=True)
    kept: Array = levels[:, np.sort(distinct)]
    kept.flags.writeable = False
    return kept
