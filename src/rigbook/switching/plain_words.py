"""Expressions in plain words, as a person in the bay says them: `WARN at on-scene or responding, and not parked`."""

from __future__ import annotations

from collections.abc import Iterator

from rigbook.switching.program import (
    All,
    Any_,
    ConditionRef,
    Constant,
    DrivenPredicate,
    Expression,
    Is,
    LitPredicate,
    Not,
    Program,
    RequirementExpression,
    Rises,
    SeenPredicate,
    Tap,
    Variable,
)

YES_NO = ("no", "yes")


def name_of(variable: Variable) -> str:
    """A switch by its legend, everything else by its name with blanks."""
    return variable.label or variable.name if variable.kind == "switch" else variable.name.replace("_", " ")


def value_of(variable: Variable, index: int) -> str:
    """What a variable is at, in words: `WARN at responding`, `NIGHT on`, `gear drive`, `shore yes`."""
    name, value = name_of(variable), variable.values[index]
    if variable.kind == "switch":
        if variable.switch_kind in ("latching", "momentary"):
            return f"{name} {'off' if index == 0 else 'on' if value == 'yes' else value}"
        return f"{name} at {value}"
    return f"{name} {value}"


def words_of(program: Program, expression: RequirementExpression) -> str:
    """An expression in plain words, with brackets only where `and` and `or` meet."""
    return _words(program, expression, inside="")


def _words(program: Program, expression: RequirementExpression, *, inside: str) -> str:
    match expression:
        case Constant(value):
            return "always" if value else "never"
        case Is(variable, values):
            return _is(program.variables[variable], values)
        case ConditionRef(condition):
            return program.conditions[condition][0].replace("_", " ")
        case Tap(variable):
            return f"{name_of(program.variables[variable])} tapped"
        case Rises(of):
            return f"as {_words(program, of, inside='not')} turns true"
        case Not(Is(variable, values)):
            every = frozenset(range(len(program.variables[variable].values)))
            return _is(program.variables[variable], every - values)
        case Not(of):
            return f"not {_words(program, of, inside='not')}"
        case All(of):
            return _joined(program, of, "and", inside)
        case Any_(of):
            return _joined(program, of, "or", inside)
        case LitPredicate() | SeenPredicate() | DrivenPredicate():
            return _predicate(program, expression)


def _joined(program: Program, of: tuple[RequirementExpression, ...], word: str, inside: str) -> str:
    text = f" {word} ".join(_words(program, part, inside=word) for part in of)
    return f"({text})" if inside and len(of) > 1 else text


def _is(variable: Variable, values: frozenset[int]) -> str:
    name = name_of(variable)
    count = len(variable.values)
    if not values or len(values) == count:
        return "always" if values else "never"
    if variable.values == YES_NO:
        on = 1 in values
        if variable.kind == "switch":
            return f"{name} {'on' if on else 'off'}"
        return name if on else f"not {name}"
    rest = sorted(set(range(count)) - values)
    if len(values) > count / 2 and count > 2:
        return f"{name} not {' or '.join(variable.values[v] for v in rest)}"
    named = " or ".join(variable.values[v] for v in sorted(values))
    return (
        f"{name} at {named}" if variable.kind == "switch" and variable.switch_kind != "momentary" else f"{name} {named}"
    )


def _predicate(program: Program, predicate: LitPredicate | SeenPredicate | DrivenPredicate) -> str:
    match predicate:
        case SeenPredicate(zone, colour):
            return f"{colour or 'any colour'} seen from the {zone}"
        case DrivenPredicate(device, state):
            return f"{program.devices[device].id} driven to {state}"
        case LitPredicate(what, devices, colour):
            rows = list(dict.fromkeys(program.devices[d].id.split(".")[0] for d in devices))
            shown = ", ".join(rows) if len(rows) <= 4 else f"{len(devices)} lamps ({rows[0]} to {rows[-1]})"
            how = {"lit": "lit", "all_lit": "all lit", "steady": "steady-burning", "flashing": "flashing"}[what]
            return f"{shown} {how}" + (f" {colour}" if colour else "")


def variables_in(program: Program, expression: Expression | None) -> frozenset[int]:
    """Indexes of the variables an expression speaks of, through conditions, not through memories or timers."""
    return frozenset(_variables(program, expression))


def _variables(program: Program, expression: Expression | None) -> Iterator[int]:
    match expression:
        case Is(variable, _) | Tap(variable):
            yield variable
        case Not(of) | Rises(of):
            yield from _variables(program, of)
        case All(of) | Any_(of):
            for part in of:
                yield from _variables(program, part)
        case ConditionRef(condition):
            yield from _variables(program, program.conditions[condition][1])


def depends_on(program: Program, expression: Expression | None) -> frozenset[int]:
    """All variables an expression depends on, through conditions, memories and timers, themselves included."""
    found: set[int] = set()
    left = list(variables_in(program, expression))
    while left:
        index = left.pop()
        if index in found:
            continue
        found.add(index)
        v = program.variables[index]
        for inner in (v.set_when, v.clear_when, v.next_on, v.first_when, v.condition):
            left.extend(variables_in(program, inner))
    return frozenset(found)
