"""How a crew gets from rest to a state: a search through the stepping rules.

The search is A* over the stepper's own states, so what it finds is shortest among the events that it tries: presses,
releases, taps, holds and positions of switches; one signal, or all that still differ, to a value; the loss of a signal
that the state has lost; and waiting for what falls due next. The estimate counts switches that must still be moved
away from rest (one event each), signals that differ (together one event at least) and losses still to come: never
more than is needed. It first tries only what has to do with the state, then everything.
"""

from __future__ import annotations

import heapq
from collections.abc import Iterator
from dataclasses import dataclass

from rigbook.proofs.evidence import State
from rigbook.proofs.reading import inputs_of, variables_of
from rigbook.switching.program import Program
from rigbook.switching.stepping import StepError, Stepper


@dataclass(frozen=True, slots=True)
class Event:
    """One thing a crew or a vehicle does. `what` and `changes` (name, value) are enough to do it and to say it."""

    what: str
    changes: tuple[tuple[str, str], ...] = ()
    wait_ms: int = 0

    def act(self, stepper: Stepper) -> None:
        """Do it; StepError where it cannot be done."""
        if self.what == "wait":
            stepper.wait(self.wait_ms)
        elif self.what in ("set", "signal"):
            stepper.set(dict(self.changes))
        else:
            getattr(stepper, self.what)(self.changes[0][0])

    def __str__(self) -> str:
        if self.what == "wait":
            return f"wait {self.wait_ms} ms"
        if self.what in ("set", "signal"):
            return f"{self.what} " + ", ".join(f"{name} {value}" for name, value in self.changes)
        return f"{self.what} {self.changes[0][0]}"


@dataclass(frozen=True, slots=True)
class Sought:
    """What a search came to: the events, or None; how many states it looked at; whether it ran into that bound."""

    events: tuple[Event, ...] | None
    states: int
    cut_short: bool


def find_steps(program: Program, target: State, *, most_events: int, most_states: int) -> Sought:
    """Shortest events from rest to the state, within the bounds.

    A program whose repetition does not end has none; that is an error of the document, found elsewhere.
    """
    near = concerned(program, target)
    tried = [near] if len(near) == len(program.variables) else [near, frozenset(range(len(program.variables)))]
    looked_at = 0
    sought = Sought(None, 0, False)
    for scope in tried:
        sought = _search(program, target, scope, most_events, most_states // len(tried))
        looked_at += sought.states
        if sought.events is not None:
            break
    return Sought(sought.events, looked_at, sought.cut_short)


def concerned(program: Program, target: State) -> frozenset[int]:
    """Variables off rest in the state, those that their memories, timers and releases read, and so on."""
    values, lost = target
    scope = {i for i, v in enumerate(program.variables) if values[i] != v.rest} | set(lost)
    pending = list(scope)
    while pending:
        variable = program.variables[pending.pop()]
        for more in inputs_of(program, variable) | variables_of(program, variable.releases_when):
            if more not in scope:
                scope.add(more)
                pending.append(more)
    return frozenset(scope)


def _missing(program: Program, stepper: Stepper, target: State) -> int:
    """A number of events that are certainly still needed."""
    values, lost = target
    missing, signals = 0, False
    for index, (now, wanted) in enumerate(zip(stepper.state, values, strict=True)):
        if now != wanted:
            kind = program.variables[index].kind
            if kind == "switch" and wanted != 0:
                missing += 1
            signals = signals or kind == "signal"
    missing += len(set(lost) - stepper.lost) + signals
    return missing or int(stepper.state != values or stepper.lost != set(lost))


def _search(program: Program, target: State, scope: frozenset[int], most_events: int, most_states: int) -> Sought:
    try:
        start = Stepper(program)
    except StepError:
        return Sought(None, 0, False)
    queue: list[tuple[int, int, int, Stepper, tuple[Event, ...]]] = []
    best = {start.key(): 0}
    number = 0
    heapq.heappush(queue, (_missing(program, start, target), 0, number, start, ()))
    while queue:
        estimate, _negative, _number, stepper, path = heapq.heappop(queue)
        if stepper.state == target[0] and stepper.lost == set(target[1]):
            return Sought(path, len(best), False)
        if best[stepper.key()] < len(path):
            continue
        for event in _events(program, stepper, target, scope):
            following = stepper.copy()
            try:
                event.act(following)
            except StepError:
                continue
            key = following.key()
            length = len(path) + 1
            estimate = length + _missing(program, following, target)
            if estimate > most_events or best.get(key, length + 1) <= length:
                continue
            if len(best) >= most_states:
                return Sought(None, len(best), True)
            best[key] = length
            number += 1
            heapq.heappush(queue, (estimate, -length, number, following, (*path, event)))
    return Sought(None, len(best), False)


def _events(program: Program, stepper: Stepper, target: State, scope: frozenset[int]) -> Iterator[Event]:
    """Events worth trying, in file order."""
    values, lost = target
    state = stepper.state
    differing = tuple(
        (v.name, v.values[values[i]])
        for i, v in enumerate(program.variables)
        if v.kind == "signal" and state[i] != values[i]
    )
    if len(differing) > 1:
        yield Event("signal", differing)
    for index in sorted(scope):
        variable = program.variables[index]
        if variable.kind == "switch":
            yield from switch_events(program, index, state[index])
        elif variable.kind == "signal":
            for value, name in enumerate(variable.values):
                if value != state[index]:
                    yield Event("signal", ((variable.name, name),))
            if index in lost and index not in stepper.lost:
                yield Event("lose", ((variable.name, ""),))
    due_ms = stepper.next_due_ms
    if due_ms is not None:
        yield Event("wait", wait_ms=due_ms - stepper.now_ms)


def events_towards(program: Program, stepper: Stepper, target: State, scope: frozenset[int]) -> Iterator[Event]:
    """The same events, those on what is not yet as wanted first."""
    names = {
        v.name for v, now, wanted in zip(program.variables, stepper.state, target[0], strict=True) if now != wanted
    }
    later = []
    for event in _events(program, stepper, target, scope):
        if event.changes and event.changes[0][0] in names:
            yield event
        else:
            later.append(event)
    yield from later


def switch_events(program: Program, index: int, now: int) -> Iterator[Event]:
    """Everything that can be done with a switch from the position it is in."""
    variable = program.variables[index]
    name = ((variable.name, ""),)
    if variable.switch_kind == "latching":
        yield Event("press", name)
    elif variable.switch_kind == "momentary":
        if now:
            yield Event("release", name)
        else:
            yield Event("press", name)
            if variable.tap_under_ms is not None:
                yield Event("tap", name)
                yield Event("hold", name)
    else:
        for value, position in enumerate(variable.values):
            if value != now:
                yield Event("set", ((variable.name, position),))
