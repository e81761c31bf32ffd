"""What a way of proving gathers, and how it becomes verdicts in the build file's order."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from rigbook.proofs.contents import colours_together
from rigbook.proofs.reading import releasing, remembered
from rigbook.proofs.verdicts import (
    DarkZone,
    DeadPosition,
    FunctionVerdict,
    NeverLit,
    RequirementVerdict,
    TwoColours,
    Verdicts,
)
from rigbook.proofs.witness import ZONES, constraint_labels, witness_of
from rigbook.switching.evaluate import Evaluator
from rigbook.switching.logic import Closures
from rigbook.switching.program import Expression, Program, Witness

Goal = tuple[str, int | str]
State = tuple[tuple[int, ...], tuple[int, ...]]  # values, lost


@dataclass
class Evidence:
    """Facts gathered about one program.

    found: the smallest state of each goal that some state shows. Goals are ("require", number), ("lost", function),
    ("two", device), ("dark", zone) and ("explained", zone).
    """

    engine: Literal["symbolic", "brute"]
    standing: bool = True
    count: int | None = None
    rest_reachable: bool = False
    because: tuple[str, ...] = ()
    on: set[int] = field(default_factory=set)
    works: set[int] = field(default_factory=set)
    lit: set[tuple[int, str]] = field(default_factory=set)
    found: dict[Goal, State] = field(default_factory=dict)
    leaning: dict[int, tuple[str, ...]] = field(default_factory=dict)
    told_apart: set[tuple[int, int]] | None = None  # (switch, position) that some device can tell from rest
    steps: dict[State, tuple[str, ...]] = field(default_factory=dict)
    notes: list[str] = field(default_factory=list)


def flat_index(program: Program, values: tuple[int, ...]) -> int:
    """The row number of a state in the order of value indexes."""
    flat = 0
    for value, variable in zip(values, program.variables, strict=True):
        flat = flat * len(variable.values) + value
    return flat


def broken_by_rest(program: Program) -> tuple[str, ...]:
    """Labels of the constraints that the rest state breaks, nothing lost."""
    closures, rest = Closures(program), program.rest

    def holds(expression: Expression | None) -> bool:
        return expression is not None and closures.two(expression)(rest)

    broken = [holds(expression) for expression, _file, _line in program.impossible]
    broken += [sum(rest[i] == 1 for i in group) > 1 for group in program.exclusive]
    for index, variable in enumerate(program.variables):
        if variable.kind == "switch" and variable.releases_when is not None:
            broken.append(rest[index] == 1 and holds(variable.releases_when))
        elif variable.kind == "memory" and variable.stepping:
            broken.append(rest[index] != 0 and holds(variable.first_when))
        elif variable.kind == "memory":
            clears = holds(variable.clear_when)
            broken.append(clears if rest[index] else holds(variable.set_when) and not clears)
        elif variable.timer_kind == "off_delay":
            broken.append(not rest[index] and variable.at_most_ms is None and holds(variable.condition))
        elif variable.timer_kind == "on_delay":
            broken.append(bool(rest[index]) and not holds(variable.condition))
    return tuple(label for label, b in zip(constraint_labels(program), broken, strict=True) if b)


def assemble(program: Program, evidence: Evidence) -> Verdicts:
    """Verdicts out of evidence."""
    e = evidence

    def witness(goal: Goal) -> Witness | None:
        state = e.found.get(goal)
        return None if state is None else witness_of(program, *state, steps=e.steps.get(state))

    return Verdicts(
        engine=e.engine,
        reachable_states=e.count,
        rest_reachable=e.rest_reachable,
        unreachable_because=e.because,
        functions=tuple(
            FunctionVerdict(f.name, f.line, i in e.on, i in e.works, witness(("lost", i)))
            for i, f in enumerate(program.functions)
        )
        if e.standing
        else None,
        requirements=tuple(
            RequirementVerdict(
                name=r.name,
                line=r.line,
                holds=("require", n) not in e.found,
                witness=witness(("require", n)),
                only_when_lost=bool(e.found.get(("require", n), ((), ()))[1]),
                leans_on=e.leaning.get(n, ()),
            )
            for n, r in enumerate(program.requirements)
        ),
        never_lit=tuple(
            NeverLit(program.devices[i].id, c, "warning" in program.devices[i].tags)
            for i, c in lit_goals(program)
            if (i, c) not in e.lit
        )
        if e.standing
        else None,
        two_colours=tuple(
            _two_colours(program, i, state, e.steps.get(state))
            for i in range(len(program.devices))
            if (state := e.found.get(("two", i))) is not None
        )
        if e.standing
        else None,
        dark_zones=tuple(
            DarkZone(zone, explained, w)
            for zone in ZONES
            for kind, explained in (("dark", False), ("explained", True))
            if (w := witness((kind, zone))) is not None
        )
        if e.standing
        else None,
        dead_positions=None if e.told_apart is None else dead_positions(program, e.told_apart),
        notes=tuple(e.notes),
    )


def lit_goals(program: Program) -> list[tuple[int, str]]:
    """(lamp, colour) that ought to light in some state.

    A lamp that no function names is free (it may have a switch of its own), unless it is tagged `warning`.
    """
    return [
        (i, colour) for i, d in enumerate(program.devices) if d.entries or "warning" in d.tags for colour in d.colours
    ]


def _two_colours(program: Program, device: int, state: State, steps: tuple[str, ...] | None) -> TwoColours:
    d = program.devices[device]
    outcome = Evaluator(program).outcome(state[0], frozenset(state[1]))
    content, lit = program.contents[outcome.content[device]], {colour for colour, _ in outcome.lit[device]}
    pair = next(p for p in colours_together(content) if lit.issuperset(p))
    deciding = outcome.deciding[device]
    function = "" if deciding is None else program.functions[deciding].name
    return TwoColours(d.id, pair, function, witness_of(program, *state, steps=steps))


def dead_positions(program: Program, told_apart: set[tuple[int, int]]) -> tuple[DeadPosition, ...]:
    """Positions that no device can tell from rest and no memory or timer that reaches a device reads."""
    read, releases = remembered(program), releasing(program)
    result = []
    for index, variable in enumerate(program.variables):
        if variable.kind != "switch" or index in read:
            continue
        others = [p for p in range(len(variable.values)) if p != variable.rest]
        dead = [p for p in others if (index, p) not in told_apart]
        if dead:
            result.append(
                DeadPosition(
                    variable.name, tuple(variable.values[p] for p in dead), len(dead) == len(others), index in releases
                )
            )
    return tuple(result)
