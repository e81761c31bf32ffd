"""How often a lamp flashes, as standards and as epilepsy rules count, and what its timeline does to optical power.

A **train** is a burst of pulses; standards count it as one flash, so the rate is that of the shortest period after
which the timeline repeats itself [SAE J595-2021 as restated: a flash is a pulse or a train of pulses]. Rules for
photosensitive people count each pair of opposing changes, so every **pulse** counts [WCAG 2.x, 2.3.1].
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from math import lcm

from rigbook.switching.program import Timeline

MS_PER_MIN = 60_000
LONGEST_MS = 600_000
"""Common periods of one clock are looked at whole up to ten minutes; beyond it the rates add, an upper bound."""
Steps = tuple[tuple[int, int, float], ...]
"""Stretches (start_ms, end_ms, intensity) of one period, in order, intensity above 0; touching equal ones joined."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Flashing:
    """What a timeline amounts to.

    steady: lit throughout at one intensity. period_ms: the shortest after which it repeats. pulses: in that period.
    train_ms: from first light to last dark of the burst. dark_ms: the longest dark stretch. duty: lit share.
    mean_share: mean intensity over time, 0 to 1.
    """

    steady: bool
    period_ms: int
    pulses: int
    train_start_ms: int
    train_ms: int
    dark_ms: int
    duty: float
    mean_share: float

    @property
    def flashes_per_min(self) -> float:
        """As standards count: bursts. 0 for what is dark or steady-burning."""
        return 0.0 if self.steady or not self.pulses else MS_PER_MIN / self.period_ms

    @property
    def pulses_per_min(self) -> float:
        """As epilepsy rules count: pulses. 0 for what is dark or steady-burning."""
        return 0.0 if self.steady else MS_PER_MIN * self.pulses / self.period_ms

    def cd_s_per_min(self, intensity_cd: float) -> float:
        """Optical power of a lamp of that lit intensity, cd s/min: 60 x intensity x mean share; steady light counts 0."""
        return 0.0 if self.steady else 60.0 * intensity_cd * self.mean_share


def steps_of(timeline: Timeline) -> Steps:
    """The lit stretches of one period."""
    found: list[tuple[int, int, float]] = []
    for span in sorted(timeline.spans, key=lambda s: s.start_ms):
        level = max(span.intensity_from, span.intensity_to)
        if span.end_ms <= span.start_ms or level <= 0:
            continue
        if found and found[-1][1] == span.start_ms and found[-1][2] == level:
            found[-1] = (found[-1][0], span.end_ms, level)
        else:
            found.append((span.start_ms, span.end_ms, level))
    return tuple(found)


@lru_cache(maxsize=4096)
def flashing_of(timeline: Timeline) -> Flashing:
    """What a timeline amounts to."""
    steps, period = steps_of(timeline), timeline.period_ms
    lit_ms = sum(end - start for start, end, _ in steps)
    mean_share = sum((end - start) * level for start, end, level in steps) / period
    steady = len(steps) == 1 and lit_ms == period
    if not steps or steady:
        return Flashing(
            steady=steady, period_ms=period, pulses=0, train_start_ms=0, train_ms=lit_ms,
            dark_ms=period - lit_ms, duty=lit_ms / period, mean_share=mean_share,
        )  # fmt: skip
    least = least_period_ms(steps, period)
    turns = period // least
    start, train, dark = _train(_lit(steps), least)
    return Flashing(
        steady=False, period_ms=least, pulses=_pulses(steps, period) // turns, train_start_ms=start, train_ms=train,
        dark_ms=dark, duty=lit_ms / period, mean_share=mean_share,
    )  # fmt: skip


def least_period_ms(steps: Steps, period_ms: int) -> int:
    """The shortest period after which the stretches repeat themselves, ms."""
    edges = {(at % period_ms, level) for start, end, level in steps for at, level in ((start, level), (end, -level))}
    for turns in range(len(steps), 1, -1):
        if period_ms % turns or len(edges) % turns:
            continue
        shift = period_ms // turns
        if {((at + shift) % period_ms, level) for at, level in edges} == edges:
            return shift
    return period_ms


def _lit(steps: Steps) -> list[tuple[int, int]]:
    """Lit stretches whatever their intensity, touching ones joined."""
    joined: list[tuple[int, int]] = []
    for start, end, _ in steps:
        if joined and joined[-1][1] == start:
            joined[-1] = (joined[-1][0], end)
        else:
            joined.append((start, end))
    return joined


def _train(lit: list[tuple[int, int]], period_ms: int) -> tuple[int, int, int]:
    """Start and length of the shortest arc of the period that holds all light, and the longest dark stretch, ms."""
    changes: list[tuple[int, int]] = []
    for start, end in lit:
        low = start % period_ms
        changes += [(low, min(low + end - start, period_ms)), (0, max(0, low + end - start - period_ms))]
    marks = sorted((a, b) for a, b in changes if b > a)
    merged: list[list[int]] = []
    for a, b in marks:
        if merged and a <= merged[-1][1]:
            merged[-1][1] = max(b, merged[-1][1])
        else:
            merged.append([a, b])
    gaps = [(after[0] - before[1], before[1], after[0]) for before, after in pairwise(merged)]
    gaps.append((merged[0][0] + period_ms - merged[-1][1], merged[-1][1], merged[0][0]))
    longest = max(gaps)
    return longest[2] % period_ms, period_ms - longest[0], longest[0]


def _pulses(steps: Steps, period_ms: int) -> int:
    """Local maxima of the intensity over one period taken as a circle."""
    levels: list[float] = []
    reached = 0
    for start, end, level in steps:
        if start > reached:
            levels.append(0.0)
        levels.append(level)
        reached = end
    if reached < period_ms:
        levels.append(0.0)
    flat = [level for level, before in zip(levels, [levels[-1], *levels[:-1]], strict=True) if level != before]
    count = len(flat)
    return sum(flat[i] > flat[i - 1] and flat[i] > flat[(i + 1) % count] for i in range(count)) if count > 1 else 0


# --- at a point -------------------------------------------------------------------------------------------------


def seen_flashes_per_min(seen: Iterable[tuple[str, Timeline]]) -> float:
    """Flashes a minute that an observer sees of lamps given as (clock, timeline), steady ones left aside.

    Lamps of one clock and one period whose trains overlap in time count as one flash; else rates add, between clocks
    always. Decided here, as no text seen says how lamps that flash together count.
    """
    groups: dict[tuple[str, int], list[tuple[int, int]]] = {}
    for clock, timeline in dict.fromkeys(seen):
        flashing = flashing_of(timeline)
        if flashing.flashes_per_min:
            groups.setdefault((clock, flashing.period_ms), []).append((flashing.train_start_ms, flashing.train_ms))
    return sum((_apart(trains, period) * MS_PER_MIN / period for (_, period), trains in groups.items()), 0.0)


def _apart(trains: list[tuple[int, int]], period_ms: int) -> int:
    """Trains on a circle, overlapping ones as one: how many are left."""
    marks = sorted({(start + turn, start + turn + length) for start, length in trains for turn in (0, period_ms)})
    merged: list[list[int]] = []
    for low, high in marks:
        if merged and low < merged[-1][1]:
            merged[-1][1] = max(high, merged[-1][1])
        else:
            merged.append([low, high])
    if any(high - low >= period_ms for low, high in merged):
        return 1
    return sum(period_ms <= low < 2 * period_ms for low, _ in merged)


def seen_pulses_per_min(seen: Iterable[tuple[str, Timeline]]) -> float:
    """Pulses a minute that an observer sees: on one clock the instants at which some lamp lights up, lamps that do so
    together as one; between clocks they add, which is the most there can be, since their phases drift."""
    clocks: dict[str, list[Timeline]] = {}
    for clock, timeline in dict.fromkeys(seen):
        if flashing_of(timeline).pulses:
            clocks.setdefault(clock, []).append(timeline)
    return sum((_together(timelines) for timelines in clocks.values()), 0.0)


def _together(timelines: list[Timeline]) -> float:
    period = lcm(*(t.period_ms for t in timelines))
    if period > LONGEST_MS:
        return sum(flashing_of(t).pulses_per_min for t in timelines)
    instants = {
        rise + turn
        for timeline in timelines
        for rise in rises_of(timeline)
        for turn in range(0, period, timeline.period_ms)
    }
    return len(instants) * MS_PER_MIN / period


def rises_of(timeline: Timeline) -> tuple[int, ...]:
    """Instants of one period at which a timeline begins to be brighter than just before, ms."""
    steps = steps_of(timeline)
    if not steps:
        return ()
    found = []
    for place, (start, _, level) in enumerate(steps):
        _, end, before = steps[place - 1]
        touches = end % timeline.period_ms == start if place == 0 else end == start
        if level > (before if touches and len(steps) > 1 else 0.0):
            found.append(start)
    return () if flashing_of(timeline).steady else tuple(found)


# --- flasher rates as NHTSA averages them ---------------------------------------------------------------------------


def rate_by_cycles_per_min(cycles_ms: Iterable[tuple[int, int]]) -> float:
    """Mean of the rates of single cycles (on, off), flashes a minute: the rates are averaged, not the time
    [NHTSA interpretation letters 01931ztv of 2002, GF006498 of 2003]. ValueError without a cycle."""
    rates = [MS_PER_MIN / (on + off) for on, off in cycles_ms]
    if not rates:
        raise ValueError("no cycle to average")
    return sum(rates) / len(rates)


def keeps_r65_times(*, frequency_hz: float, on_s: float, off_s: float) -> bool:
    """Whether a flash keeps 2 to 4 Hz, on-time at most 0.4/f and off-time at least 0.1 s [UN R65 annex 5, from
    memory]."""
    slack = 1e-9
    return 2 - slack <= frequency_hz <= 4 + slack and on_s <= 0.4 / frequency_hz + slack and off_s >= 0.1 - slack
