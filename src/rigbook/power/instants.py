"""The instants at which a peak can fall, as alternatives for the prover.

Within a clock a greatest sum is reached where some wave rises (see `rigbook.power.waveform`), so each clock is looked
at there alone; instants at which every wave is at most what it is at another are left out. Across clocks the peaks
add, as any phase may come. Periods of a clock without a common divisor above 1 ms meet in every way: they count like
clocks of their own. Where a clock's instants are too many, its periods are taken apart: an upper bound.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Iterable, Sequence

from rigbook.power.flowing import Flow
from rigbook.power.waveform import Wave, components
from rigbook.proofs.acts import Act

INSTANTS_AT_MOST = 4_000
"""Instants of one common period beyond which its periods are taken apart."""

Part = dict[Act, tuple[int, ...]]


def is_constant(wave: Wave) -> bool:
    """Whether the current never changes."""
    spans = wave.spans
    whole = sum(span.end_ms - span.start_ms for span in spans) == wave.period_ms
    return whole and len({span.current_a for span in spans}) == 1


def parts_of(flows: Iterable[Flow], *, scale: int) -> tuple[list[Part], bool]:
    """Parts for the prover, one for each clock (or group of periods), and whether they are only an upper bound.

    Weights are currents times `scale`, which makes them whole. Waves that never change are one part without a choice,
    whatever their clocks.
    """
    always: Part = {}
    clocks: dict[str, list[Flow]] = {}
    for flow in flows:
        clocks.setdefault(flow.wave.clock, []).append(flow)
    parts: list[Part] = [always]
    bound = False
    for own in clocks.values():
        if all(is_constant(flow.wave) for flow in own):
            for flow in own:
                level = int(flow.wave.spans[0].current_a * scale)
                always[flow.act] = (always.get(flow.act, (0,))[0] + level,)
            continue
        for group, apart in _groups(own):
            bound = bound or apart
            parts.append(_part(group, scale))
    return [part for part in parts if part], bound


def _part(flows: Sequence[Flow], scale: int) -> Part:
    """Weights of one clock's acts at each instant worth looking at."""
    waves = {id(flow.wave): flow.wave for flow in flows}
    rows = alternatives(list(waves.values()), scale=scale)
    columns = dict(zip(waves, zip(*rows, strict=True), strict=True))
    part: Part = {}
    for flow in flows:
        column, known = columns[id(flow.wave)], part.get(flow.act)
        part[flow.act] = column if known is None else tuple(a + b for a, b in zip(known, column, strict=True))
    return part


def _groups(flows: Sequence[Flow]) -> Iterable[tuple[list[Flow], bool]]:
    """Flows of one clock by groups of periods to be looked at together; and whether that is only a bound."""
    constant = [flow for flow in flows if is_constant(flow.wave)]
    changing = [flow for flow in flows if not is_constant(flow.wave)]
    first = True
    for periods in components(sorted({flow.wave.period_ms for flow in changing})):
        taken = [flow for flow in changing if flow.wave.period_ms in periods]
        apart = len(periods) > 1 and _instant_count(taken) > INSTANTS_AT_MOST
        for own_periods in [[period] for period in periods] if apart else [periods]:
            own = [flow for flow in taken if flow.wave.period_ms in own_periods]
            yield ([*own, *constant] if first else own), apart
            first = False


def _rises(wave: Wave) -> list[int]:
    """Instants of one period at which the wave steps up; none of a wave that never flows."""
    if not wave.spans:
        return []
    found, last = [], wave.spans[-1]
    for span in wave.spans:
        touching = last.end_ms % wave.period_ms == span.start_ms
        if not touching or last.current_a < span.current_a:
            found.append(span.start_ms)
        last = span
    return found


def _instant_count(flows: Iterable[Flow]) -> int:
    waves = {id(flow.wave): flow.wave for flow in flows}.values()
    common = math.lcm(*(wave.period_ms for wave in waves))
    rises = {(wave.period_ms, at) for wave in waves for at in _rises(wave)}
    return sum(common // period for period, _ in rises)


def alternatives(waves: Sequence[Wave], *, scale: int) -> list[tuple[int, ...]]:
    """Currents, times `scale`, of waves that share one clock, at each instant worth looking at.

    Of two instants of which one has no wave lower than the other, only that one is kept.
    """
    common = math.lcm(*(wave.period_ms for wave in waves))
    rises = sorted({(wave.period_ms, at) for wave in waves if not is_constant(wave) for at in _rises(wave)})
    instants = sorted({at + turn * period for period, at in rises for turn in range(common // period)}) or [0]
    columns = [_currents(wave, instants, scale) for wave in waves]
    return _maximal(list(dict.fromkeys(zip(*columns, strict=True))))


def _currents(wave: Wave, instants: Sequence[int], scale: int) -> list[int]:
    starts = [span.start_ms for span in wave.spans]
    levels = [int(span.current_a * scale) for span in wave.spans]
    ends = [span.end_ms for span in wave.spans]
    found = []
    for instant in instants:
        at = instant % wave.period_ms
        place = bisect_right(starts, at) - 1
        found.append(levels[place] if place >= 0 and at < ends[place] else 0)
    return found


def _maximal(rows: list[tuple[int, ...]]) -> list[tuple[int, ...]]:
    """Rows that no other row is at least equal to everywhere, in their order."""
    order = sorted(range(len(rows)), key=lambda n: (-sum(rows[n]), n))
    kept: list[int] = []
    for n in order:
        if not any(all(a >= b for a, b in zip(rows[k], rows[n], strict=True)) for k in kept):
            kept.append(n)
    return [rows[n] for n in sorted(kept)]
