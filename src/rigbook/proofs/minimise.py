"""Decision lists in fewer and shorter lines, proved to do the same.

A list is a sequence of lines, the first that holds decides; where none does, it does what it does at rest. Lines that
never decide are left out, and lines without which nothing changes; neighbours that do the same become one; parts of
conditions are left out. Each change is kept only where a solver finds no reachable state, whatever is lost, in which
the new list does something else; the whole is proved once more at the end. The result is small, not the smallest.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import reduce

from rigbook.proofs.evidence import State
from rigbook.proofs.gates import TRUE
from rigbook.proofs.reading import losable, variables_of
from rigbook.proofs.symbolic import Solver
from rigbook.switching.program import All, Any_, Constant, Expression, Is, Not, Program


@dataclass(frozen=True, slots=True)
class Line:
    """One line: what decides it, what is then done, whether an unknown condition counts as on, and the functions that
    it speaks for."""

    when: Expression
    does: Hashable
    if_unknown: bool
    functions: tuple[int, ...]


def lines_of(program: Program, entries: Sequence[tuple[int, Hashable]]) -> tuple[Line, ...]:
    """The lines of a list as the program has them: functions, most important first, and what each does."""
    functions = program.functions
    return tuple(Line(functions[f].when, does, functions[f].if_unknown, (f,)) for f, does in entries)


def difference(solver: Solver, one: Sequence[Line], other: Sequence[Line], rest: Hashable) -> State | None:
    """The smallest reachable state, with what is lost, in which two lists do something else; None where they never do."""
    literal = _differ(solver, one, other, rest)
    return solver.smallest(literal) if solver.solve((literal,)) else None


def minimal(solver: Solver, lines: Sequence[Line], rest: Hashable) -> tuple[Line, ...]:
    """A list that does the same in every reachable state, whatever is lost, in fewer and shorter lines.

    Raises:
        AssertionError: a fault of ours: the last proof fails.
    """
    program = solver.program
    can_be_lost = frozenset(losable(program))
    now = [_plain(program, line, can_be_lost) for line in lines]
    now = _without_lines(solver, lines, now, rest)
    now = [_plain(program, line, can_be_lost) for line in _joined(now)]
    while True:
        shorter = _shorter(solver, lines, now, rest)
        if shorter is None:
            break
        now = shorter
    now = _without_lines(solver, lines, _joined(now), rest)
    assert not solver.solve((_differ(solver, lines, now, rest),))
    return tuple(now)


def _plain(program: Program, line: Line, can_be_lost: frozenset[int]) -> Line:
    """Where no signal of the condition can be lost, it is never unknown."""
    unknown = line.if_unknown and bool(variables_of(program, line.when) & can_be_lost)
    return replace(line, when=simple(line.when), if_unknown=unknown)


def _same(solver: Solver, one: Sequence[Line], other: Sequence[Line], rest: Hashable) -> bool:
    return not solver.solve((_differ(solver, one, other, rest),))


def _differ(solver: Solver, one: Sequence[Line], other: Sequence[Line], rest: Hashable) -> int:
    """A literal that is true where the lists do something else."""
    ours, theirs = _doings(solver, one, rest), _doings(solver, other, rest)
    gates = solver.gates
    return gates.any_of([gates.differ(ours.get(d, -TRUE), theirs.get(d, -TRUE)) for d in {**ours, **theirs}])


def _doings(solver: Solver, lines: Sequence[Line], rest: Hashable) -> dict[Hashable, int]:
    """For each thing done, the literal that it is."""
    gates, none = solver.gates, TRUE
    ways: dict[Hashable, list[int]] = {}
    for line in lines:
        holds, fails = solver.encoding.rails(line.when)
        active = -fails if line.if_unknown else holds
        ways.setdefault(line.does, []).append(gates.all_of((none, active)))
        none = gates.all_of((none, -active))
    ways.setdefault(rest, []).append(none)
    return {does: gates.any_of(found) for does, found in ways.items()}


def _without_lines(solver: Solver, whole: Sequence[Line], lines: list[Line], rest: Hashable) -> list[Line]:
    """Leave out lines from below, as long as nothing changes."""
    for number in range(len(lines) - 1, -1, -1):
        fewer = lines[:number] + lines[number + 1 :]
        if _same(solver, whole, fewer, rest):
            lines = fewer
    return lines


def _joined(lines: Sequence[Line]) -> list[Line]:
    """Neighbours that do the same become one line. Where both may be unknown they must say the same of it."""
    found: list[Line] = []
    for line in lines:
        last = found[-1] if found else None
        if last is not None and last.does == line.does and last.if_unknown == line.if_unknown:
            when = simple(Any_((last.when, line.when)))
            found[-1] = replace(last, when=when, functions=(*last.functions, *line.functions))
        else:
            found.append(line)
    return found


def _shorter(solver: Solver, whole: Sequence[Line], lines: list[Line], rest: Hashable) -> list[Line] | None:
    """The list with one part of one condition left out; None where none can be."""
    for number, line in enumerate(lines):
        for when in _with_less(line.when):
            changed = [*lines[:number], replace(line, when=simple(when)), *lines[number + 1 :]]
            if _same(solver, whole, changed, rest):
                return changed
    return None


def _with_less(expression: Expression) -> Iterator[Expression]:
    """The expression with one part left out, the largest parts first."""
    if isinstance(expression, All | Any_):
        kind = type(expression)
        for number in range(len(expression.of)):
            yield kind((*expression.of[:number], *expression.of[number + 1 :]))
        for number, part in enumerate(expression.of):
            for less in _with_less(part):
                yield kind((*expression.of[:number], less, *expression.of[number + 1 :]))
    elif isinstance(expression, Not):
        for less in _with_less(expression.of):
            yield Not(less)


# --- expressions in a plainer form ---------------------------------------------------------------------------------


def simple(expression: Expression) -> Expression:
    """The same in a plainer form: nested alike flattened, equal parts once, positions of one switch together, what all
    alternatives share in front. Three-valued logic keeps each of these."""
    if isinstance(expression, Not):
        inner = simple(expression.of)
        if isinstance(inner, Not):
            return inner.of
        return Constant(not inner.value) if isinstance(inner, Constant) else Not(inner)
    if not isinstance(expression, All | Any_):
        return expression
    kind: type[All] | type[Any_] = type(expression)
    parts: list[Expression] = []
    for part in (simple(p) for p in expression.of):
        parts += part.of if isinstance(part, kind) else (part,)
    decided = Constant(kind is Any_)
    if decided in parts:
        return decided
    parts = _together(kind, [p for p in dict.fromkeys(parts) if not isinstance(p, Constant)])
    if kind is Any_:
        parts = _shared_in_front(parts)
    if not parts:
        return Constant(kind is All)
    return parts[0] if len(parts) == 1 else kind(tuple(parts))


def _together(kind: type[All] | type[Any_], parts: list[Expression]) -> list[Expression]:
    """Atoms of one switch or signal joined: alternatives name all positions, a conjunction those in common."""
    values: dict[int, list[frozenset[int]]] = {}
    for part in parts:
        if isinstance(part, Is):
            values.setdefault(part.variable, []).append(part.values)
    found: list[Expression] = []
    told: set[int] = set()
    for part in parts:
        if not isinstance(part, Is):
            found.append(part)
        elif part.variable not in told:
            told.add(part.variable)
            sets = values[part.variable]
            joined = frozenset().union(*sets) if kind is Any_ else reduce(frozenset.intersection, sets)
            # an empty meeting is never true, but unknown where the signal is lost: it stays as it was
            found += [Is(part.variable, joined)] if joined else [Is(part.variable, s) for s in sets]
    return found


def _shared_in_front(parts: list[Expression]) -> list[Expression]:
    """`a and b or a and c` as `a and (b or c)`; `a or a and b` as `a`."""
    sets = [frozenset(p.of) if isinstance(p, All) else frozenset((p,)) for p in parts]
    kept = [p for n, p in enumerate(parts) if not any(s < sets[n] for s in sets)]
    if len(kept) < 2:
        return kept
    first = kept[0].of if isinstance(kept[0], All) else (kept[0],)
    shared = [p for p in first if all(p in (k.of if isinstance(k, All) else (k,)) for k in kept)]
    if not shared:
        return kept
    left: list[Expression] = [
        simple(All(tuple(p for p in (k.of if isinstance(k, All) else (k,)) if p not in shared))) for k in kept
    ]
    return [simple(All((*shared, Any_(tuple(left)))))]


def atoms(expression: Expression) -> int:
    """How many conditions, positions and names an expression speaks of."""
    if isinstance(expression, All | Any_):
        return sum(atoms(part) for part in expression.of)
    return atoms(expression.of) if isinstance(expression, Not) else 1
