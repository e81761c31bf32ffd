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
from fractions import Fraction

from rigbook.power.flowing import Flow
from rigbook.power.waveform import Wave, components
from rigbook.proofs.acts import Act

INSTANTS_AT_MOST = 4_000
"""Instants of one common period beyond which its periods are taken apart."""

Part = dict[Act, tuple[Fraction, ...]]


def parts_of(flows: Iterable[Flow]) -> tuple[list[Part], bool]:
    """Parts for the prover, one for each clock (or group of periods), and whether they are only an upper bound.

    Waves that never change are one part without a choice, whatever their clocks.
    """
    always: Part = {}
    clocks: dict[str, list[Flow]] = {}
    for flow in flows:
        clocks.setdefault(flow.wave.clock, []).append(flow)
    parts: list[Part] = [always]
    bound = False
    for own in clocks.values():
        if all(_is_constant(flow.wave) for flow in own):
            _add(always, own, [[flow.wave.spans[0].current_a for flow in own]])
            continue
        for group, apart in _groups(own):
            bound = bound or apart
            part: Part = {}
            _add(part, group, alternatives([flow.wave for flow in group]))
            parts.append(part)
    return [part for part in parts if part], bound


def _is_constant(wave: Wave) -> bool:
    spans = wave.spans
    whole = sum(span.end_ms - span.start_ms for span in spans) == wave.period_ms
    return whole and len({span.current_a for span in spans}) == 1


def _add(part: Part, flows: Sequence[Flow], rows: Sequence[Sequence[Fraction]]) -> None:
    """Rows, one an alternative, into weights by act."""
    for place, flow in enumerate(flows):
        column = tuple(row[place] for row in rows)
        known = part.get(flow.act)
        part[flow.act] = column if known is None else tuple(a + b for a, b in zip(known, column, strict=True))


def _groups(flows: Sequence[Flow]) -> Iterable[tuple[list[Flow], bool]]:
    """Flows of one clock by groups of periods to be looked at together; and whether that is only a bound."""
    changing = sorted({flow.wave.period_ms for flow in flows if not _is_constant(flow.wave)})
    steady = [flow for flow in flows if _is_constant(flow.wave)]
    for number, periods in enumerate(components(changing)):
        taken = [flow for flow in flows if flow.wave.period_ms in periods and not _is_constant(flow.wave)]
        with_steady = [*taken, *steady] if number == 0 else taken
        if _instant_count(taken) <= INSTANTS_AT_MOST:
            yield with_steady, False
            continue
        for place, period in enumerate(periods):
            own = [flow for flow in taken if flow.wave.period_ms == period]
            yield ([*own, *steady] if number == 0 and place == 0 else own), True


def _rises(wave: Wave) -> list[int]:
    """Instants of one period at which the wave steps up."""
    found, last = [], wave.spans[-1]
    for span in wave.spans:
        touching = last.end_ms % wave.period_ms == span.start_ms
        if not touching or last.current_a < span.current_a:
            found.append(span.start_ms)
        last = span
    return found


def _instant_count(flows: Sequence[Flow]) -> int:
    common = math.lcm(*(flow.wave.period_ms for flow in flows))
    rises = {(flow.wave.period_ms, at) for flow in flows for at in _rises(flow.wave)}
    return sum(common // period for period, _ in rises)


def alternatives(waves: Sequence[Wave]) -> list[tuple[Fraction, ...]]:
    """Currents of the waves, which share one clock, at each instant worth looking at.

    Of two instants of which one has no wave lower than the other, only that one is kept.
    """
    common = math.lcm(*(wave.period_ms for wave in waves))
    rises = sorted({(wave.period_ms, at) for wave in waves if not _is_constant(wave) for at in _rises(wave)})
    instants = sorted({at + turn * period for period, at in rises for turn in range(common // period)}) or [0]
    starts = {wave: [span.start_ms for span in wave.spans] for wave in waves}
    columns = {wave: [_current(wave, starts[wave], at % wave.period_ms) for at in instants] for wave in starts}
    rows = dict.fromkeys(zip(*(columns[wave] for wave in waves), strict=True))
    return _maximal(list(rows), list(dict.fromkeys(waves)), waves)


def _current(wave: Wave, starts: Sequence[int], at: int) -> Fraction:
    place = bisect_right(starts, at) - 1
    if place < 0 or at >= wave.spans[place].end_ms:
        return Fraction(0)
    return wave.spans[place].current_a


def _maximal(
    rows: list[tuple[Fraction, ...]], distinct: Sequence[Wave], waves: Sequence[Wave]
) -> list[tuple[Fraction, ...]]:
    """Rows that no other row is at least equal to everywhere; of equal waves one place decides."""
    places = [waves.index(wave) for wave in distinct]
    short = [tuple(row[place] for place in places) for row in rows]
    order = sorted(range(len(rows)), key=lambda n: (-sum(short[n]), n))
    kept: list[int] = []
    for n in order:
        if not any(all(a >= b for a, b in zip(short[k], short[n], strict=True)) for k in kept):
            kept.append(n)
    return [rows[n] for n in sorted(kept)]
