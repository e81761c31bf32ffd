"""Effective intensity of flashes, and how far light carries: published formulas of plain numbers.

A flash is a list of points (time_s, intensity_cd), linear between them; two points at one time are a step. Every
effective intensity is stated with its constant a: 0.2 s by night, 0.1 s by day for the form factor. The formulas hold at
threshold, for a point of light and a dark-adapted eye; they are not for ranking what is seen by day.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

from rigbook.switching.program import Timeline

NIGHT_S, DAY_S = 0.2, 0.1
Flash = Sequence[tuple[float, float]]
GROUP_GAP_S = 0.01
"""Pulses nearer than this are summed by the FAA form [FAA-E-43G as restated in Bullough 2013]."""
NAUTICAL_MILE_M = 1852.0


def rectangles(*, intensity_cd: float, pulses_s: Sequence[float]) -> list[tuple[float, float]]:
    """A flash of rectangular pulses from times on, off, on … in s.

    Raises:
        ValueError: an even number of times (a flash ends lit), a time not above 0, or an intensity below 0.
    """
    if len(pulses_s) % 2 == 0 or any(time <= 0 for time in pulses_s) or intensity_cd < 0:
        raise ValueError("a flash is on, off, on … in times above 0, and its intensity is not below 0")
    points, at = [(0.0, 0.0)], 0.0
    for number, time in enumerate(pulses_s):
        level = 0.0 if number % 2 else intensity_cd
        points += [(at, level), (at + time, level)]
        at += time
    return [*points, (at, 0.0)]


def flash_of(timeline: Timeline, *, intensity_cd: float) -> list[tuple[float, float]]:
    """The train of a timeline as a flash, from its first light to its last; empty for what is dark or steady."""
    from rigbook.light.flashes import flashing_of, steps_of

    flashing = flashing_of(timeline)
    if flashing.steady or not flashing.pulses:
        return []
    begin, period = flashing.train_start_ms, flashing.period_ms
    points: list[tuple[float, float]] = []
    own = sorted(((s - begin) % period, e - s, level) for s, e, level in steps_of(timeline))
    for start, length, level in dict.fromkeys(own):
        value = level * intensity_cd
        points += [(start / 1e3, 0.0), (start / 1e3, value), ((start + length) / 1e3, value)]
        points.append(((start + length) / 1e3, 0.0))
    return points


def integral(flash: Flash) -> float:
    """Integral of intensity over time, cd s."""
    return sum((t2 - t1) * (i1 + i2) / 2 for (t1, i1), (t2, i2) in pairwise(flash))


@dataclass(frozen=True, slots=True)
class Effective:
    """Effective intensity of a timeline's train by each form, for a lit intensity of 1 cd: all forms are linear in it.
    Night constant, 0.2 s."""

    form_factor: float
    douglas: float
    modified_allard: float
    allard: float


@lru_cache(maxsize=4096)
def effective_of(timeline: Timeline) -> Effective:
    """All forms for the train of a flashing timeline; zeros for what is dark or steady."""
    flash = flash_of(timeline, intensity_cd=1.0)
    return Effective(form_factor(flash), blondel_rey(flash), modified_allard(flash), allard(flash))


def blondel_rey_rectangle(*, intensity_cd: float, time_s: float, a_s: float = NIGHT_S) -> float:
    """I t / (a + t), cd [Blondel and Rey 1911; IES definition of effective intensity]."""
    return intensity_cd * time_s / (a_s + time_s)


def blondel_rey(flash: Flash, *, a_s: float = NIGHT_S) -> float:
    """Greatest integral(I dt) / (a + t2 - t1) over all t1, t2, cd [IES definition of effective intensity; over a whole
    train with its dark gaps it is the form of Douglas]. Solved for the intensity J at which the best stretch of I - J
    amounts to a J."""
    low, high = 0.0, max((i for _, i in flash), default=0.0)
    for _ in range(200):
        middle = (low + high) / 2
        if _best_stretch(flash, middle) >= a_s * middle:
            low = middle
        else:
            high = middle
        if high - low <= 1e-13 * high:
            break
    return (low + high) / 2


def blondel_rey_times_s(flash: Flash, *, a_s: float = NIGHT_S) -> tuple[float, float]:
    """Times t1, t2 of the best stretch of a flash with one rise and one fall: where it stands at its effective
    intensity."""
    level = blondel_rey(flash, a_s=a_s)
    crossings = [
        t1 + (level - i1) / (i2 - i1) * (t2 - t1)
        for (t1, i1), (t2, i2) in pairwise(flash)
        if (i1 - level) * (i2 - level) <= 0 and i1 != i2
    ]
    return crossings[0], crossings[-1]


def _best_stretch(flash: Flash, level: float) -> float:
    """Greatest integral of I - level over any stretch of time (Kadane on the pieces between crossings)."""
    best = run = 0.0
    for (t1, i1), (t2, i2) in pairwise(flash):
        a, b, width = i1 - level, i2 - level, t2 - t1
        pieces = [(a + b) / 2 * width]
        if a * b < 0:
            share = a / (a - b)
            pieces = [a / 2 * width * share, b / 2 * width * (1 - share)]
        for piece in pieces:
            run = max(0.0, run + piece)
            best = max(best, run)
    return best


def faa_sum(pulses: Sequence[tuple[float, float]], *, a_s: float = NIGHT_S) -> float:
    """Sum of integral/(a + time) of rectangular pulses (intensity_cd, time_s) that follow each other within 0.01 s, cd
    [FAA-E-43G as restated in Bullough 2013]."""
    return sum(blondel_rey_rectangle(intensity_cd=cd, time_s=s, a_s=a_s) for cd, s in pulses)


def form_factor(flash: Flash, *, a_s: float = NIGHT_S) -> float:
    """integral / (a + integral / greatest), cd: the method of Schmidt-Clausen (exact form from memory, IALA E-200-4)."""
    whole, most = integral(flash), max((i for _, i in flash), default=0.0)
    return whole / (a_s + whole / most) if most > 0 else 0.0


def allard(flash: Flash, *, a_s: float = NIGHT_S) -> float:
    """Greatest i of di/dt = (I - i)/a from dark, cd (IALA E-200-4, from memory): exact on each linear piece."""
    now = best = 0.0
    for (t1, i1), (t2, i2) in pairwise(flash):
        width = t2 - t1
        if width <= 0:
            continue
        slope = (i2 - i1) / width
        start = now - i1 + slope * a_s  # i(s) = i1 + slope (s - a) + start exp(-s/a)
        if (start > 0 and slope > 0) or (start < 0 and slope < 0):
            turn = a_s * math.log(start / (slope * a_s))
            if 0 < turn < width:
                best = max(best, i1 + slope * (turn - a_s) + start * math.exp(-turn / a_s))
        now = i1 + slope * (width - a_s) + start * math.exp(-width / a_s)
        best = max(best, now)
    return best


def modified_allard(flash: Flash, *, a_s: float = NIGHT_S) -> float:
    """Greatest integral of I(s) a/(a + t - s)^2 ds over t, cd, of a flash of steps (CIE 229, from memory).

    Looked for where a piece ends: while a piece is lit the response rises.

    Raises:
        ValueError: an intensity that is not level between its points.
    """
    pieces = [(t1, t2, i1) for (t1, i1), (t2, i2) in pairwise(flash) if t2 > t1 and (i1 == i2 or _not_level())]
    ends = [end for _, end, level in pieces if level > 0]
    return max(
        (
            sum(
                level * (a_s / (a_s + at - end) - a_s / (a_s + at - start)) for start, end, level in pieces if end <= at
            )
            for at in ends
        ),
        default=0.0,
    )


def _not_level() -> bool:
    raise ValueError("the modified Allard form is worked out for flashes of level steps alone")


# --- range ----------------------------------------------------------------------------------------------------------


def illuminance_lx(*, intensity_cd: float, distance_m: float, visibility_m: float | None = None) -> float:
    """Allard's law: I/d^2, times 0.05^(d/V) through air of meteorological range V [CIE term 17-31-025], lx."""
    clear = intensity_cd / distance_m**2
    return clear if visibility_m is None else clear * 0.05 ** (distance_m / visibility_m)


def navigation_intensity_cd(*, range_nmi: float, threshold_lx: float = 2e-7, per_mile: float = 0.8) -> float:
    """Intensity that carries so many nautical miles: E (1852 D)^2 K^-D, cd [33 CFR 84.15]."""
    return threshold_lx * (NAUTICAL_MILE_M * range_nmi) ** 2 / math.pow(per_mile, range_nmi)


def navigation_threshold_lx(*, intensity_cd: float, range_nmi: float, per_mile: float = 0.8) -> float:
    """The same law for the threshold, lx."""
    return intensity_cd * math.pow(per_mile, range_nmi) / (NAUTICAL_MILE_M * range_nmi) ** 2
