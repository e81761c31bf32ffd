"""Verdicts by looking at every state (`rigbook.proofs.brute`): the oracle, and the way out without a solver."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from rigbook.proofs.brute import Bools, Table
from rigbook.proofs.contents import colours_together, lit_colours
from rigbook.proofs.evidence import Evidence, Goal, broken_by_rest, flat_index, lit_goals
from rigbook.proofs.reading import lost_sets, state_count
from rigbook.proofs.verdicts import Effort
from rigbook.proofs.witness import ZONES, Key, constraint_labels, order_key
from rigbook.switching.program import Program

Smallest = tuple[Key, tuple[int, ...], tuple[int, ...]]  # key, values, lost


def smallest(table: Table, where: Bools) -> Smallest | None:
    """The first state by the witness order among the rows of one table."""
    rows = np.flatnonzero(where)
    if not len(rows):
        return None
    variables = table.program.variables
    switches = np.zeros(len(rows), dtype=np.int64)
    others = np.zeros(len(rows), dtype=np.int64)
    for variable, column in zip(variables, table.columns, strict=True):
        off = column[rows] != variable.rest
        if variable.kind == "switch":
            switches += off
        else:
            others += off
    best = rows[np.lexsort((table.flat[rows], others, switches))[0]]
    values = tuple(int(column[best]) for column in table.columns)
    return order_key(table.program, values, table.lost), values, table.lost_in_order


@dataclass
class Search:
    """Smallest states found so far, by goal."""

    found: dict[Goal, Smallest] = field(default_factory=dict)

    def offer(self, goal: Goal, table: Table, where: Bools) -> None:
        """Look for the goal in the table, unless a state with fewer lost signals is known."""
        known = self.found.get(goal)
        if known is not None and known[0][0] < len(table.lost):
            return
        candidate = smallest(table, where)
        if candidate is not None and (known is None or candidate[0] < known[0]):
            self.found[goal] = candidate


def effective(table: Table, function: int) -> Bools:
    """Where the function decides a device whose feed is live, or dims one."""
    result = np.zeros(len(table), dtype=bool)
    for index, device in enumerate(table.program.devices):
        for number, entry in enumerate(device.entries):
            if entry.function == function:
                result |= (table.decided(index) == number) & _felt(table, index, number)
        for number, dim in enumerate(device.dims):
            if dim.function == function:
                result |= table.dimming(index) == number
    return result


def _felt(table: Table, device: int, number: int) -> Bools:
    d = table.program.devices[device]
    content = table.program.contents[d.entries[number].content]
    if d.entries[number].kind == "show":
        channels: Iterable[str] = lit_colours(content)
    elif content.state is not None and d.entries[number].kind == "drive":
        channels = (content.state,)
    else:
        channels = (*d.colours, *d.states) or ("",)
    result = np.zeros(len(table), dtype=bool)
    for channel in channels:
        result |= table.powered(d, channel)
    return result


def two_colours(table: Table, device: int) -> Bools:
    """Where the device is asked for two colours together."""
    d = table.program.devices[device]
    result = np.zeros(len(table), dtype=bool)
    for _number, content, where in table.contents(device):
        for a, b in colours_together(content):
            both = table.powered(d, a) & table.powered(d, b)
            result |= where & both & table.commanded(d, content)
    return result


def dark(table: Table, zone: str) -> Bools:
    """Where warning is due and the zone sees none."""
    assert table.program.warning_when is not None
    return table.truly(table.program.warning_when) & ~table.seen(zone, None, only_warning=True)


def dead(table: Table, alive: set[tuple[int, int]], codes: dict[Any, int]) -> None:
    """Add to `alive` each (switch, position) that some device can tell from rest."""
    program = table.program
    total = state_count(program)
    sizes = [len(v.values) for v in program.variables]
    for index in range(len(program.devices)):
        everywhere = np.full(total, -1, dtype=np.int64)
        everywhere[table.flat] = table.doings(index, codes)
        for switch, variable in enumerate(program.variables):
            if variable.kind != "switch":
                continue
            cube = everywhere.reshape(-1, sizes[switch], table.strides[switch])
            at_rest = cube[:, variable.rest]
            for position in range(sizes[switch]):
                if position == variable.rest or (switch, position) in alive:
                    continue
                here = cube[:, position]
                if bool(((here >= 0) & (at_rest >= 0) & (here != at_rest)).any()):
                    alive.add((switch, position))


def leans_on(program: Program, numbers: list[int]) -> dict[int, tuple[str, ...]]:
    """For requirements that hold: drop constraint after constraint, in order, as long as they still hold."""
    labels = constraint_labels(program)
    patterns: dict[int, set[frozenset[int]]] = {n: set() for n in numbers}
    for lost in lost_sets(program):
        table = Table(program, lost, constrained=False)
        broken = table.broken_constraints()
        for n in numbers:
            rows = np.flatnonzero(table.truly(program.requirements[n].never))
            if len(rows):
                matrix = np.unique(np.array([b[rows] for b in broken]).T, axis=0) if broken else np.zeros((1, 0))
                patterns[n] |= {frozenset(int(i) for i in np.flatnonzero(row)) for row in matrix}
    result: dict[int, tuple[str, ...]] = {}
    for n in numbers:
        kept = set(range(len(labels)))
        for i in range(len(labels)):
            if all(pattern & (kept - {i}) for pattern in patterns[n]):
                kept.discard(i)
        result[n] = tuple(labels[i] for i in sorted(kept))
    return result


def enumerate_verdicts(program: Program, effort: Effort) -> Evidence:
    """All evidence by enumeration. The caller has made sure that the program is small enough."""
    evidence = Evidence("brute", effort.standing)
    search = Search()
    told_apart: set[tuple[int, int]] = set()
    codes: dict[Any, int] = {}
    for lost in lost_sets(program):
        table = Table(program, lost)
        if not lost:
            evidence.count = len(table)
            evidence.rest_reachable = bool((table.flat == flat_index(program, program.rest)).any())
            if not evidence.rest_reachable:
                evidence.because = broken_by_rest(program)
            unlost_on = {f for f in range(len(program.functions)) if table.active(f).any()}
        for n, requirement in enumerate(table.program.requirements):
            search.offer(("require", n), table, table.truly(requirement.never))
        if effort.standing:
            _functions(table, evidence, search, unlost_on)
            _devices(table, evidence, search)
            if effort.dead_positions:
                dead(table, told_apart, codes)
    evidence.found = {goal: state[1:] for goal, state in search.found.items()}
    evidence.told_apart = told_apart if effort.dead_positions and effort.standing else None
    holding = [n for n in range(len(program.requirements)) if ("require", n) not in evidence.found]
    evidence.leaning = leans_on(program, holding) if effort.leaning else {}
    return evidence


def _functions(table: Table, evidence: Evidence, search: Search, unlost_on: set[int]) -> None:
    for f, function in enumerate(table.program.functions):
        active = table.active(f)
        if active.any():
            evidence.on.add(f)
            if f not in evidence.works and effective(table, f).any():
                evidence.works.add(f)
        if table.lost:
            wrongly = active & ~table.truly(function.when) if f in unlost_on else active
            search.offer(("lost", f), table, wrongly)


def _devices(table: Table, evidence: Evidence, search: Search) -> None:
    program = table.program
    for i, colour in lit_goals(program):
        if (i, colour) not in evidence.lit and table.lit(i, colour).any():
            evidence.lit.add((i, colour))
    for i, device in enumerate(program.devices):
        if device.one_colour_at_a_time:
            search.offer(("two", i), table, two_colours(table, i))
    if program.warning_when is not None:
        for zone in ZONES:
            without = dark(table, zone)
            saved = table.seen(zone, None, only_warning=True, cuts=False)
            search.offer(("dark", zone), table, without & ~saved)
            search.offer(("explained", zone), table, without & saved)
