"""Worst cases by looking at every state: the oracle for `rigbook.proofs.worst`, for programs small enough.

Each act is a column of `rigbook.proofs.brute.Table`; nothing is shared with the solver's encoding.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from fractions import Fraction
from math import lcm

import numpy as np
import numpy.typing as npt

from rigbook.proofs.acts import Act
from rigbook.proofs.brute import Bools, Table
from rigbook.proofs.enumeration import Smallest, smallest
from rigbook.proofs.reading import lost_sets
from rigbook.proofs.squares import Flow, Pair
from rigbook.proofs.worst import Part, Worst
from rigbook.switching.program import Expression, Program
from rigbook.switching.timeline import scaled

Whole = npt.NDArray[np.object_]


def goes_on(table: Table, act: Act) -> Bools:
    """Where an act goes on."""
    if act.device < 0:
        return table.live(act.feed)
    device = table.program.devices[act.device]
    if act.timeline is None:
        return table.in_state(act.device, act.channel)
    result = np.zeros(len(table), dtype=bool)
    levels = np.array([*(dim.to for dim in device.dims), 1.0])[table.dimming(act.device)]
    for number, content, where in table.contents(act.device):
        taken = device.kind == "factory-lamp" and number >= 0
        for colour, timeline in content.channels:
            if colour != act.channel or taken != act.taken:
                continue
            here = where & table.commanded(device, content) & table.powered(device, colour)
            for level in np.unique(levels[here]):
                if scaled(timeline, float(level)) == act.timeline:
                    result |= here & (levels == level)
    return result


def greatest_sum(program: Program, parts: Sequence[Part], *, under: Expression | None = None) -> Worst | None:
    """As `Prover.sum`."""
    scale = lcm(*{w.denominator for part in parts for ws in part.values() for w in ws})

    def value(table: Table) -> Whole:
        total = np.zeros(len(table), dtype=object)
        for part in parts:
            columns = {act: goes_on(table, act) for act in part}
            count = len(next(iter(part.values()), ()))
            sums = [
                sum((on * int(part[act][k] * scale) for act, on in columns.items()), np.zeros(len(table), dtype=object))
                for k in range(count)
            ]
            if sums:
                total = total + np.maximum.reduce(sums)
        return total

    return _greatest(program, value, scale, under)


def greatest_square(
    program: Program, flows: Mapping[Act, Sequence[Flow]], pair: Pair, *, under: Expression | None = None
) -> Worst | None:
    """As `rigbook.proofs.squares.square`."""
    terms = {
        (a, b): sum((x * y * pair(s, t) for s, x in flows[a] for t, y in flows[b]), Fraction(0))
        for a in flows
        for b in flows
    }
    scale = lcm(*{term.denominator for term in terms.values()})

    def value(table: Table) -> Whole:
        columns = {act: goes_on(table, act) for act in flows}
        total = np.zeros(len(table), dtype=object)
        for (a, b), term in terms.items():
            total = total + (columns[a] & columns[b]) * int(term * scale)
        return total

    return _greatest(program, value, scale, under)


def _tables(program: Program, under: Expression | None) -> Iterator[tuple[Table, Bools]]:
    for lost in lost_sets(program):
        table = Table(program, lost)
        yield table, np.ones(len(table), dtype=bool) if under is None else table.truly(under)


def _greatest(program: Program, value: Callable[[Table], Whole], scale: int, under: Expression | None) -> Worst | None:
    best: tuple[int, Smallest] | None = None
    for table, counts in _tables(program, under):
        if not counts.any():
            continue
        values = value(table)
        most = max(values[counts])
        if best is not None and most < best[0]:
            continue
        found = smallest(table, counts & (values == most))
        assert found is not None
        if best is None or most > best[0] or found[0] < best[1][0]:
            best = (most, found)
    if best is None:
        return None
    worth = Fraction(int(best[0]), scale)
    return Worst(worth, worth, best[1][1:])
