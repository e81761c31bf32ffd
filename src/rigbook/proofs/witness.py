"""The order among states that show something, and the record of the smallest one.

Order (source: the project's own page on the switching language, *Witness*): fewest lost signals, then fewest
switches off rest, then fewest signals, memories and timers off rest, then first in file order comparing positions in
order. Two states that agree in all of that differ only in which signals are lost; then the set whose signals come
first in file order is smaller.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from rigbook.switching.program import Program, Variable, Witness

Key = tuple[int, int, int, tuple[int, ...], tuple[int, ...]]

ZONES = ("front", "right", "rear", "left")


def order_key(program: Program, values: Sequence[int], lost: Iterable[int]) -> Key:
    """A key that sorts states by the order above; smaller is the better witness."""
    off = [i for i, v in enumerate(program.variables) if values[i] != v.rest]
    switches = sum(1 for i in off if program.variables[i].kind == "switch")
    lost_in_order = tuple(sorted(lost))
    return (len(lost_in_order), switches, len(off) - switches, tuple(values), lost_in_order)


def is_free(variable: Variable) -> bool:
    """Whether the variable's value is taken as free by the proof, where a crew could only bring it about in time."""
    return variable.kind in ("memory", "timer")


def witness_of(
    program: Program, values: Sequence[int], lost: Iterable[int], *, steps: tuple[str, ...] | None = None
) -> Witness:
    """The state as its values off rest and its lost signals.

    `assumed` names the memories and timers off rest: without press steps their values are only allowed by the
    constraints. With press steps nothing is assumed.
    """
    off = [(v, v.values[values[i]]) for i, v in enumerate(program.variables) if values[i] != v.rest]
    assumed = tuple(f"{v.kind} {v.name} taken as {value}" for v, value in off if is_free(v)) if steps is None else ()
    return Witness(
        set=tuple((v.name, value) for v, value in off),
        lost=tuple(program.variables[i].name for i in sorted(lost)),
        steps=steps,
        assumed=assumed,
    )


def constraint_labels(program: Program) -> tuple[str, ...]:
    """A short label for each constraint on the reachable states, in the order in which all of `proofs` counts them."""
    labels = [f"impossible, {file}:{line}" for _expression, file, line in program.impossible]
    labels += ["exclusive " + ", ".join(program.variables[i].name for i in group) for group in program.exclusive]
    for variable in program.variables:
        if variable.kind == "switch" and variable.releases_when is not None:
            labels.append(f"switch {variable.name} releases")
        elif variable.kind == "memory" or (variable.kind == "timer" and variable.timer_kind != "pulse"):
            labels.append(f"{variable.kind} {variable.name}")
    return tuple(labels)


def state_of(program: Program, witness: Witness) -> tuple[tuple[int, ...], tuple[int, ...]]:
    """The values and lost signals that a witness names. KeyError or ValueError for one of another program."""
    numbers = {variable.name: i for i, variable in enumerate(program.variables)}
    values = [variable.rest for variable in program.variables]
    for name, value in witness.set:
        values[numbers[name]] = program.variables[numbers[name]].values.index(value)
    return tuple(values), tuple(sorted(numbers[name] for name in witness.lost))
