"""What always acts alike: channels of devices, functions that could be one, and two programs side by side.

Everything is asked over every reachable state, with or without lost signals, by the solver: two literals are the same
where no reachable state tells them apart.
"""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass

from rigbook.proofs.acts import ways_of
from rigbook.proofs.constraints import broken
from rigbook.proofs.encoding import Encoding
from rigbook.proofs.evidence import State
from rigbook.proofs.gates import FALSE, TRUE
from rigbook.proofs.symbolic import Solver
from rigbook.proofs.witness import witness_of
from rigbook.switching.evaluate import Evaluator
from rigbook.switching.program import Program, Witness

Unit = tuple[int, str]
"""A device and one of its colours or states."""
Doing = Mapping[Hashable, int]
"""Timeline (None: in that state) to the literal that it goes on."""


@dataclass(frozen=True, slots=True)
class StateDifference:
    """Devices that two programs let do different things, and the smallest state that shows it.

    The state is reachable in both programs; what only one of them knows is at rest. before, after: what the first of
    the devices does in it.
    """

    devices: tuple[str, ...]
    witness: Witness
    before: str
    after: str


@dataclass(frozen=True, slots=True)
class ProgramDifference:
    """Two programs compared. only_before, only_after: the smallest state that one can reach and the other cannot.

    apart: names of variables that only one program has, or that differ in their values.
    """

    states: tuple[StateDifference, ...]
    only_before: Witness | None
    only_after: Witness | None
    apart: tuple[str, ...]

    @property
    def same(self) -> bool:
        """Whether they do the same in every state that both reach, and reach the same states."""
        return not self.states and self.only_before is None and self.only_after is None


def doing(encoding: Encoding, unit: Unit) -> dict[Hashable, int]:
    """When a channel of a device goes on, by timeline; what can never be is left out."""
    device, channel = unit
    ways: dict[Hashable, list[int]] = {}
    for way in ways_of(encoding, device):
        if way.act.channel == channel:
            ways.setdefault(way.act.timeline, []).append(way.literal)
    found = {timeline: encoding.gates.any_of(literals) for timeline, literals in ways.items()}
    return {timeline: literal for timeline, literal in found.items() if literal != FALSE}


def differ(encoding: Encoding, one: Doing, other: Doing) -> int:
    """A literal that is true where two channels do different things."""
    gates = encoding.gates
    keys = dict.fromkeys((*one, *other))
    return gates.any_of([gates.differ(one.get(key, FALSE), other.get(key, FALSE)) for key in keys])


def classes(solver: Solver, things: Sequence[Doing]) -> tuple[tuple[int, ...], ...]:
    """Numbers of the things that no reachable state tells apart, in order; what is never on stands in none."""
    groups: list[list[int]] = []
    for kind in _told_apart(solver, things):
        waiting = kind
        while waiting:
            first, others = waiting[0], waiting[1:]
            apart = solver.strike({n: differ(solver.encoding, things[first], things[n]) for n in others})
            groups.append([n for n in waiting if n not in apart])
            waiting = [n for n in others if n in apart]
    return tuple(sorted(tuple(group) for group in groups))


def _told_apart(solver: Solver, things: Sequence[Doing]) -> list[list[int]]:
    """Things by what they do in a few reachable states, such that each does what it can in one at least."""
    solver.solve(())
    seen: list[list[frozenset[Hashable]]] = [[] for _ in things]
    waiting = {literal: None for thing in things for literal in thing.values()}
    while waiting:
        literal = next(iter(waiting))
        del waiting[literal]
        if solver.solve((literal,)):
            waiting = {other: None for other in waiting if not solver.holds(other)}
            for n, thing in enumerate(things):
                seen[n].append(frozenset(key for key, other in thing.items() if solver.holds(other)))
    kinds: dict[tuple[frozenset[Hashable], ...], list[int]] = {}
    for n, doings in enumerate(seen):
        if any(doings):
            kinds.setdefault(tuple(doings), []).append(n)
    return list(kinds.values())


def alike(program: Program, units: Sequence[Unit]) -> tuple[tuple[Unit, ...], ...]:
    """Groups of two or more units that go on together, on the same timeline, in every reachable state."""
    solver = Solver(program)
    try:
        found = classes(solver, [doing(solver.encoding, unit) for unit in units])
    finally:
        solver.close()
    return tuple(tuple(units[n] for n in group) for group in found if len(group) > 1)


def mergeable(program: Program) -> tuple[tuple[int, ...], ...]:
    """Groups of two or more functions that could be written as one: of one rank, on in the same reachable states,
    naming no device twice between them, and with no function between that a move would put before or after them."""
    solver = Solver(program)
    try:
        active: list[Doing] = [{None: solver.encoding.active(f)} for f in range(len(program.functions))]
        found = classes(solver, active)
    finally:
        solver.close()
    named = _devices_by_function(program)
    merged: list[tuple[int, ...]] = []
    for group in found:
        taken: list[int] = []
        for f in group:
            if not taken or (
                program.functions[f].rank == program.functions[taken[0]].rank and _moves(program, named, taken, f)
            ):
                taken.append(f)
        if len(taken) > 1:
            merged.append(tuple(taken))
    return tuple(merged)


def _devices_by_function(program: Program) -> list[set[int]]:
    named: list[set[int]] = [set() for _ in program.functions]
    for index, device in enumerate(program.devices):
        for entry in device.entries:
            named[entry.function].add(index)
        for dim in device.dims:
            named[dim.function].add(index)
    return named


def _moves(program: Program, named: list[set[int]], taken: list[int], f: int) -> bool:
    """Whether a function could be moved up to the first of those taken."""
    if any(named[f] & named[other] for other in taken):
        return False
    rank = program.functions[f].rank
    between = (h for h in range(taken[0] + 1, f) if program.functions[h].rank == rank and h not in taken)
    return not any(named[f] & named[h] for h in between)


# --- two programs ------------------------------------------------------------------------------------


def compare_programs(before: Program, after: Program) -> ProgramDifference:
    """Where two programs let the devices that both know do different things."""
    solver = Solver(before)
    try:
        return _compared(solver, before, after)
    finally:
        solver.close()


def _compared(solver: Solver, before: Program, after: Program) -> ProgramDifference:
    gates = solver.gates
    other = Encoding(after, gates)
    apart, at_rest = _share(solver, before, after, other)
    reached = gates.all_of([-literal for literal in broken(other)])
    states: dict[State, list[tuple[int, int]]] = {}
    numbers = {device.id: n for n, device in enumerate(after.devices)}
    shared: dict[int, State | None] = {}
    for index, device in enumerate(before.devices):
        if device.id not in numbers:
            continue
        number = numbers[device.id]
        channels = dict.fromkeys(
            (*device.colours, *device.states, *after.devices[number].colours, *after.devices[number].states)
        )
        told = gates.any_of(
            differ(other, doing(solver.encoding, (index, channel)), doing(other, (number, channel)))
            for channel in channels
        )
        goal = gates.all_of((told, reached, *at_rest))
        if goal not in shared:
            shared[goal] = None if goal == FALSE else solver.smallest(goal)
        state = shared[goal]
        if state is not None:
            states.setdefault(state, []).append((index, number))
    only_before = solver.smallest(gates.all_of((-reached, *at_rest)))
    return ProgramDifference(
        states=tuple(_difference(before, after, state, devices) for state, devices in states.items()),
        only_before=None if only_before is None else witness_of(before, *only_before),
        only_after=_only_after(before, after),
        apart=apart,
    )


def _share(solver: Solver, before: Program, after: Program, other: Encoding) -> tuple[tuple[str, ...], list[int]]:
    """Give both programs the same literals for what they share; the rest, and that it rests and is not lost."""
    numbers = {variable.name: n for n, variable in enumerate(before.variables)}
    apart: dict[str, None] = {}
    at_rest: list[int] = []
    common: set[int] = set()
    for index, variable in enumerate(after.variables):
        number = numbers.get(variable.name)
        if number is not None and before.variables[number].values == variable.values:
            other.values[index] = solver.encoding.values[number]
            if FALSE not in (other.lost[index], solver.encoding.lost[number]):
                other.lost[index] = solver.encoding.lost[number]
            common.add(number)
            continue
        apart[variable.name] = None
        at_rest += [other.values[index][variable.rest], -other.lost[index]]
    for number, variable in enumerate(before.variables):
        if number not in common:
            apart[variable.name] = None
            at_rest += [solver.encoding.values[number][variable.rest], -solver.encoding.lost[number]]
    return tuple(apart), [literal for literal in at_rest if literal != TRUE]


def _only_after(before: Program, after: Program) -> Witness | None:
    solver = Solver(after)
    try:
        other = Encoding(before, solver.gates)
        _apart, at_rest = _share(solver, after, before, other)
        reached = solver.gates.all_of([-literal for literal in broken(other)])
        state = solver.smallest(solver.gates.all_of((-reached, *at_rest)))
        return None if state is None else witness_of(after, *state)
    finally:
        solver.close()


def _difference(before: Program, after: Program, state: State, devices: list[tuple[int, int]]) -> StateDifference:
    witness = witness_of(before, *state)
    index, number = devices[0]
    return StateDifference(
        devices=tuple(before.devices[i].id for i, _ in devices),
        witness=witness,
        before=_does(before, witness, index),
        after=_does(after, witness, number),
    )


def _does(program: Program, witness: Witness, device: int) -> str:
    """What a device does in a state that may name variables which the program does not have."""
    numbers = {variable.name: n for n, variable in enumerate(program.variables)}
    values = [variable.rest for variable in program.variables]
    for name, value in witness.set:
        if name in numbers and value in program.variables[numbers[name]].values:
            values[numbers[name]] = program.variables[numbers[name]].values.index(value)
    lost = frozenset(
        numbers[name] for name in witness.lost if name in numbers and program.variables[numbers[name]].losable
    )
    outcome = Evaluator(program).outcome(tuple(values), lost)
    driven = outcome.driven[device]
    if driven is not None:
        return driven
    shown = []
    for colour, timeline in outcome.lit[device]:
        spans = timeline.spans
        most = max(span.intensity_from for span in spans)
        steady = sum(span.end_ms - span.start_ms for span in spans) == timeline.period_ms
        when = "steady" if steady else f"{len(spans)} in {timeline.period_ms} ms from {spans[0].start_ms} ms"
        shown.append(f"{colour} {when}" + (f" at {100 * most:g} %" if most < 1 else ""))
    return " and ".join(shown) or "nothing"
