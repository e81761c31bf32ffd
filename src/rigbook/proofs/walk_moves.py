"""The moves of an inspection walk: one thing that a person does, through the stepping rules, and where it leads.

A move is one event and what settles by itself after it: a wire signal is waited for until it counts. Waiting for
something else that falls due is a move of its own, and none waits longer than a minute.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from rigbook.proofs.presses import Event, switch_events
from rigbook.proofs.walk_goals import Viewer
from rigbook.switching.program import Program
from rigbook.switching.stepping import StepError, Stepper

LONGEST_WAIT_MS = 60_000
"""A walk waits no longer than this for anything [common practice: nobody stands by for longer]."""


WAIT = Event("wait")
"""Waiting for what falls due next, however long that takes."""
MOST_REMEMBERED = 20_000
"""How many ways of standing are kept at hand."""


@dataclass(frozen=True, slots=True)
class Place:
    """A point of a walk: the program as it stands, its number where it is remembered (else -1), and the goals that the
    move to it showed."""

    stepper: Stepper
    number: int
    mask: int


class Moves:
    """What can be done with one program, and what each move shows. Counts the moves made: effort without a clock."""

    def __init__(self, program: Program, viewer: Viewer) -> None:
        self.program = program
        self.viewer = viewer
        self.made = 0
        self._known: dict[tuple[object, ...], tuple[int, Stepper]] = {}
        self._led: dict[tuple[int, Event], Place | None] = {}
        self._index = {v.name: i for i, v in enumerate(program.variables)}

    def start(self) -> Place:
        """At rest, with what rest shows."""
        number, stepper = self._remembered(Stepper(self.program))
        return Place(stepper, number, self.viewer.state(stepper.state))

    def _remembered(self, stepper: Stepper) -> tuple[int, Stepper]:
        """One stepper for all that will answer every event alike, and its number."""
        key = stepper.key()
        known = self._known.get(key)
        if known is None:
            if len(self._known) >= MOST_REMEMBERED:
                return -1, stepper
            known = self._known[key] = (len(self._known), stepper)
        return known

    def variable(self, event: Event) -> int:
        """The variable that an event moves; -1 for a wait."""
        return -1 if event.what == "wait" else self._index[event.changes[0][0]]

    def make(self, place: Place, event: Event) -> Place | None:
        """Where a move leads; None where it cannot be made."""
        self.made += 1
        if place.number < 0:
            return self._make(place, event)
        key = (place.number, event)
        if key not in self._led:
            led = self._make(place, event)
            if led is not None and led.number < 0:
                return led
            self._led[key] = led
        return self._led[key]

    def _make(self, place: Place, event: Event) -> Place | None:
        stepper = place.stepper.copy()
        before = stepper.state
        if event == WAIT and self.due_in_ms(place) is None:
            return None
        try:
            self.timed(place, event).act(stepper)
            settles_ms = self.settles_ms(event)
            if settles_ms:
                stepper.wait(settles_ms)
        except StepError:
            return None
        moved = -1 if event.what in ("signal", "wait") else self._index[event.changes[0][0]]
        mask = self.viewer.step(before, stepper.state, moved=moved)
        number, stepper = self._remembered(stepper)
        return Place(stepper, number, mask)

    def settles_ms(self, event: Event) -> int:
        """How long a signal's wire takes until it counts, ms."""
        if event.what != "signal":
            return 0
        variables = (self.program.variables[self._index[name]] for name, _ in event.changes)
        return max((v.settles_ms for v in variables if v.threshold is None), default=0)

    def open(self, place: Place, scope: Sequence[int] | None = None) -> Iterator[Event]:
        """Every move worth trying, in file order; with a scope those of its variables, and waiting."""
        state = place.stepper.state
        for index in range(len(self.program.variables)) if scope is None else scope:
            variable = self.program.variables[index]
            if variable.kind == "switch":
                for event in switch_events(self.program, index, state[index]):
                    # with a tap and a hold at hand, the bare press is half of one of them
                    if event.what != "press" or variable.tap_under_ms is None:
                        yield event
            elif variable.kind == "signal":
                for value, name in enumerate(variable.values):
                    if value != state[index]:
                        yield Event("signal", ((variable.name, name),))
        if self.due_in_ms(place) is not None:
            yield WAIT

    def due_in_ms(self, place: Place) -> int | None:
        """How long until what falls due next, ms; None where nothing does, or too late."""
        due_ms = place.stepper.next_due_ms
        left_ms = None if due_ms is None else due_ms - place.stepper.now_ms
        return left_ms if left_ms is not None and left_ms <= LONGEST_WAIT_MS else None

    def timed(self, place: Place, event: Event) -> Event:
        """The event with its time: how long a wait for what falls due next takes here."""
        return replace(event, wait_ms=self.due_in_ms(place) or 0) if event == WAIT else event
