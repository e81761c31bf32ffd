"""What each position of each switch does, in park and in motion, and when a signal is lost: by trying it out."""

from __future__ import annotations

import itertools
from dataclasses import dataclass

from rigbook.shop.behaviour import Bench, Shown, Step, changes, said
from rigbook.switching.evaluate import Outcome
from rigbook.switching.plain_words import depends_on, name_of
from rigbook.switching.program import Program, Variable
from rigbook.switching.stepping import StepError, Stepper

NOTHING = "nothing by itself"
MOST_TRIES = 400


@dataclass(frozen=True, slots=True)
class Effect:
    """What one step does from one standing start: in words, after which other steps, and what a lost signal changes.
    `done`: every step that was tried, those that must stand first included."""

    does: str
    after: str
    lost: tuple[tuple[str, str], ...]
    done: tuple[Step, ...] = ()


@dataclass(frozen=True, slots=True)
class PositionRow:
    """One position of one switch. `effects` by standing start, in the bench's order."""

    switch: str
    label: str
    position: str
    effects: tuple[tuple[str, Effect], ...]


def switch_table(bench: Bench) -> list[PositionRow]:
    """Every position off rest of every switch, in the order of the build."""
    rows = []
    for index, v in enumerate(bench.program.variables):
        if v.kind != "switch":
            continue
        for steps in bench.steps_of(index, v.rest):
            effects = tuple((name, _effect(bench, index, start, steps)) for name, start in bench.starts.items())
            rows.append(PositionRow(v.name, name_of(v), _position(v, steps), effects))
    return rows


def _position(v: Variable, steps: tuple[Step, ...]) -> str:
    last = steps[-1]
    words = {
        "press": "on" if v.switch_kind == "latching" else "pressed",
        "hold": "held",
        "tap": "tapped twice" if len(steps) > 1 else "tapped",
    }
    return words.get(last.what, last.value)


def _effect(bench: Bench, index: int, start: Stepper, steps: tuple[Step, ...]) -> Effect:
    found = _try(bench, index, start, steps, ())
    if found is not None:
        return found
    for prepared in _preparations(bench, index, start):
        found = _try(bench, index, start, steps, prepared)
        if found is not None:
            return found
    found = _searched(bench, index, start, steps)
    if found is not None:
        return found
    moved = bench.done(start, steps)
    holds = (
        moved is not None and moved.state[index] == bench.program.variables[index].rest and steps[-1].what == "press"
    )
    return Effect("does not stay on" if holds else NOTHING, "", (), steps)


def _searched(bench: Bench, index: int, start: Stepper, steps: tuple[Step, ...]) -> Effect | None:
    """After other switches of the same functions have been used: two at most, fewest first."""
    about = {
        v
        for f in bench.program.functions
        if index in (known := depends_on(bench.program, f.when))
        for v in known
        if bench.program.variables[v].kind == "switch" and v != index
    }
    tries = 0
    for many in (1, 2):
        for chosen in itertools.combinations(sorted(about), many):
            for picked in itertools.product(*(bench.steps_of(i, start.state[i]) for i in chosen)):
                tries += 1
                if tries > MOST_TRIES:
                    return None
                found = _try(bench, index, start, steps, tuple(s for p in picked for s in p))
                if found is not None:
                    return found
    return None


def _preparations(bench: Bench, index: int, start: Stepper) -> list[tuple[Step, ...]]:
    """Steps of others that let a function that listens to this switch act: what it adds to."""
    found: list[tuple[Step, ...]] = []
    name = bench.program.variables[index].name
    for number, function in enumerate(bench.program.functions):
        if index not in depends_on(bench.program, function.when):
            continue
        shown = bench.demonstration(number)
        if shown is None:
            continue
        # signals stay as the standing start has them: the question is what the switch does there
        others = tuple(s for s in shown.steps if s.name != name and s.what not in ("signal", "wait"))
        signals = tuple(s for s in shown.steps if s.what == "signal" and not _starting(bench, s))
        for steps in (others, (*signals, *others)):
            if steps and steps not in found:
                found.append(steps)
    return sorted(found, key=len)


def _starting(bench: Bench, step: Step) -> bool:
    """Whether a signal is one of those that make the standing starts."""
    at = bench.index[step.name]
    values = {s.state[at] for s in bench.starts.values()}
    return len(values) > 1 or values != {bench.program.variables[at].rest}


def _try(
    bench: Bench, index: int, start: Stepper, steps: tuple[Step, ...], prepared: tuple[Step, ...]
) -> Effect | None:
    ready = bench.done(start, prepared) if prepared else start
    moved = bench.done(ready, steps) if ready is not None else None
    if ready is None or moved is None:
        return None
    before, after = bench.outcome(ready), bench.outcome(moved)
    seen = changes(bench.program, before, after)
    if not seen:
        return None
    after_words = "; ".join(s.words for s in prepared)
    lost = _lost(bench, moved, after, seen)
    return Effect(said(bench.program, seen), after_words, lost, (*prepared, *steps))


def _lost(bench: Bench, moved: Stepper, after: Outcome, seen: list[Shown]) -> tuple[tuple[str, str], ...]:
    """What the loss of each data-bus signal changes in what the switch has just done."""
    touched = {i for one in seen for i in one.devices}
    rows = []
    for v in bench.program.variables:
        if not v.losable:
            continue
        other = moved.copy()
        try:
            other.lose(v.name)
        except StepError:
            continue
        found = [_within(one, touched) for one in changes(bench.program, after, bench.outcome(other))]
        words = said(bench.program, [one for one in found if one.devices])
        if words:
            rows.append((name_of(v), words))
    return tuple(rows)


def _within(one: Shown, touched: set[int]) -> Shown:
    return Shown(one.colour, one.manner, tuple(i for i in one.devices if i in touched))


def lost_at_rest(program: Program) -> list[str]:
    """Data-bus signals that may be lost, by name."""
    return [name_of(v) for v in program.variables if v.losable]
