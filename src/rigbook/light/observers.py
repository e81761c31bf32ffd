"""What saved states do to eyes around the vehicle: illuminance at an observer's eye, glare of steady light toward
oncoming drivers, flashes and pulses seen from each zone.

An eye stands 1.5 m above ground in the middle of a zone, 3, 30 and 150 m from the outline, and looks at the vehicle's
middle at its own height. Oncoming drivers come along the next lane, their eyes 1.2 m up and 3.5 m to the left of the
vehicle's centreline (right-hand traffic), and look along the road; the worst of every 5 m from 10 to 150 m counts.
These stands are common practice, no source; the formulas are published.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import lcm

import numpy as np

from rigbook.documents.schema.vehicle import Vehicle
from rigbook.light.areas import state_of
from rigbook.light.flashes import LONGEST_MS, flashing_of, seen_flashes_per_min, seen_pulses_per_min, steps_of
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
    """A source that is lit in a state, by its number, on a timeline of a clock."""

    source: int
    clock: str
    timeline: Timeline

    @property
    def mean(self) -> float:
        """Mean share over time."""
        return flashing_of(self.timeline).mean_share

    @property
    def steady(self) -> bool:
        """Whether it burns steadily."""
        return flashing_of(self.timeline).steady


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
        self.eyes = self._stand(eyes, looks, prisms)
        self.drivers = self._stand(drivers, np.broadcast_to(np.array((1.0, 0.0, 0.0)), drivers.shape), prisms)
        self.field = self._field(prisms)

    def _stand(self, at: Array, looks: Array, prisms: Sequence[Prism]) -> Stand:
        given, off = np.zeros((len(self.sources), len(at))), np.full((len(self.sources), len(at)), 180.0)
        for number, (source, start) in enumerate(zip(self.sources, self.starts, strict=True)):
            if start is None:
                continue
            way = at - start
            distance = np.linalg.norm(way, axis=1)
            cosine = np.clip(-(way * looks).sum(axis=1) / distance, -1.0, 1.0)
            off[number] = np.degrees(np.arccos(cosine))
            light = source.candela(way) / distance**2 * np.maximum(cosine, 0.0)
            shining = light > 0
            if shining.any():
                light[shining] *= ~blocked(prisms, start, way[shining], up_to_m=1.0)
            given[number] = light
        return Stand(at, looks, given, off)

    def _field(self, prisms: Sequence[Prism]) -> Array:
        """Whether each source's field reaches the middle bearing of each zone: source, zone."""
        found = np.zeros((len(self.sources), len(ZONES)))
        ways = np.array([directions_of(middle, 0.0) for _, middle in ZONE_MIDDLES])
        for number, (source, start) in enumerate(zip(self.sources, self.starts, strict=True)):
            if start is not None and source.peak_cd > 0:
                seen = source.candela(ways) >= FIELD_SHARE * source.peak_cd
                found[number] = seen & ~blocked(prisms, start, ways)
        return found

    def burning(self, saved: SavedPoint) -> tuple[Burning, ...]:
        """What is lit in a saved state, in file order."""
        state = state_of(self.rig, saved)
        outcome = self.evaluator.outcome(state)
        lit = {
            (device.id, colour): (device.clock, timeline)
            for device, own in zip(self.rig.program.devices, outcome.lit, strict=True)
            for colour, timeline in own
        }
        devices = {device.id: device for device in self.rig.program.devices}
        found: list[Burning] = []
        for number, source in enumerate(self.sources):
            shown = lit.get((source.device_id, source.colour))
            if shown is None:
                continue
            poses = devices[source.device_id].poses
            pose = next(
                (place + 1 for place, p in enumerate(poses) if p.when is not None and self.closures.two(p.when)(state)),
                0,
            )
            if source.pose == pose:
                found.append(Burning(number, *shown))
        return tuple(found)

    def figures(self, saved: SavedPoint) -> StateLight:
        """The figures of one saved state."""
        burning = self.burning(saved)
        zones: list[EyeFigures] = []
        count = len(DISTANCES_M)
        for place, zone in enumerate(ZONES):
            seen = [(b.clock, b.timeline) for b in burning if self.field[b.source, place]]
            colours = sorted({self.sources[b.source].colour for b in burning if self.field[b.source, place]})
            peak = [self.peak_lx(burning, place * count + d) for d in range(count)]
            mean = [self.mean_lx(burning, place * count + d) for d in range(count)]
            zones.append(
                EyeFigures(
                    id=zone, colours=tuple(colours), flashes_per_min=seen_flashes_per_min(seen),
                    pulses_per_min=seen_pulses_per_min(seen), peak_3_lx=peak[0], peak_30_lx=peak[1],
                    peak_150_lx=peak[2], mean_3_lx=mean[0], mean_30_lx=mean[1], mean_150_lx=mean[2],
                )
            )  # fmt: skip
        veil, worst = self.glare(burning)
        return StateLight(
            id=saved.id, zones=tuple(zones), veil_cd_m2=veil,
            veil_at_m=None if worst is None else DRIVERS_M[worst],
        )  # fmt: skip

    def mean_lx(self, burning: Sequence[Burning], eye: int) -> float:
        """Illuminance at an eye averaged over time, lx."""
        return float(sum(self.eyes.given_lx[b.source, eye] * b.mean for b in burning))

    def peak_lx(self, burning: Sequence[Burning], eye: int) -> float:
        """Greatest illuminance at an eye at any instant, lx: exact on each clock, added between clocks, whose phases
        drift."""
        clocks: dict[str, dict[Timeline, float]] = {}
        for b in burning:
            own = clocks.setdefault(b.clock, {})
            own[b.timeline] = own.get(b.timeline, 0.0) + float(self.eyes.given_lx[b.source, eye])
        return sum((most_together(own) for own in clocks.values()), 0.0)

    def glare(self, burning: Sequence[Burning]) -> tuple[float, int | None]:
        """Greatest veiling luminance of steady light for an oncoming driver of 70 years, cd/m2, and the place of the
        driver; 0 and None where none shines there. Lamps less than 1 deg off the line of sight count as 1 deg."""
        steady = [b for b in burning if b.steady]
        totals = [sum(self.veil(b, driver) for b in steady) for driver in range(len(DRIVERS_M))]
        most = max(totals, default=0.0)
        return (most, totals.index(most)) if most > 0 else (0.0, None)

    def veil(self, b: Burning, driver: int) -> float:
        """What one steady lamp adds to a driver's veil, cd/m2; beyond 30 deg nothing, as the formula ends there."""
        lux, off = (
            float(self.drivers.given_lx[b.source, driver]) * b.mean,
            float(self.drivers.off_deg[b.source, driver]),
        )
        if lux <= 0 or off > 30:
            return 0.0
        return disability_glare_cd_m2(illuminance_lx=lux, angle_deg=max(1.0, off), age_years=AGE_YEARS)


def most_together(own: Mapping[Timeline, float]) -> float:
    """Greatest sum of timelines of one clock at any instant, each with its weight."""
    weighted = {timeline: lux for timeline, lux in own.items() if lux > 0}
    if not weighted:
        return 0.0
    period = lcm(*(t.period_ms for t in weighted))
    if period > LONGEST_MS:
        return sum(lux * max(level for _, _, level in steps_of(t)) for t, lux in weighted.items())
    changes: dict[int, float] = {}
    for timeline, lux in weighted.items():
        for start, end, level in steps_of(timeline):
            for turn in range(0, period, timeline.period_ms):
                changes[start + turn] = changes.get(start + turn, 0.0) + lux * level
                changes[end + turn] = changes.get(end + turn, 0.0) - lux * level
    level, most = 0.0, 0.0
    for at in sorted(changes):
        level += changes[at]
        most = max(most, level)
    return most
