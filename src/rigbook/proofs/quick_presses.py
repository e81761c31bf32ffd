"""Some way for a crew to get from rest to a state: not always the shortest, but soon found.

A search through the stepping rules that goes on with the first event that brings the state nearer, and comes back to
the others only where that leads nowhere. It serves where hundreds of states are asked for; `rigbook.proofs.presses`
finds shortest ways. What it finds has been stepped through, so it is a proof as good as any other.
"""

from __future__ import annotations

import heapq
from collections.abc import Iterator

from rigbook.proofs.evidence import State
from rigbook.proofs.presses import Event, Sought, concerned, events_towards
from rigbook.switching.program import Program
from rigbook.switching.stepping import StepError, Stepper

MOST_EVENTS = 24
MOST_STATES = 1_000
AWAY_WEIGHS = 4
"""How many events a state may be longer on its way for one thing less that is not yet as wanted."""


class QuickSearch:
    """Searches from the rest state of one program."""

    def __init__(
        self, program: Program, *, most_events: int = MOST_EVENTS, most_states: int = MOST_STATES, together: int = 10**9
    ) -> None:
        """most_events: of one way. most_states: that one search looks at; together: that all of them look at."""
        self.program = program
        self.most_events, self.most_states, self.left = most_events, most_states, together
        try:
            self._start: Stepper | None = Stepper(program)
        except StepError:  # a repetition without an end: an error of the document, found elsewhere
            self._start = None

    def find(self, target: State) -> Sought:
        """Events that lead from rest to the state, or None within the bounds."""
        most = min(self.most_states, self.left)
        if self._start is None or most <= 0:
            return Sought(None, 0, most <= 0)
        sought = self._search(self._start, target, most)
        self.left -= sought.states
        return sought

    def _search(self, start: Stepper, target: State, most_states: int) -> Sought:
        scope = concerned(self.program, target)
        seen = {start.key()}
        if not self._away(start, target):
            return Sought((), 1, False)
        queue: list[tuple[int, int, _Node]] = []
        heapq.heappush(queue, (0, 0, _Node(self, start, (), target, scope)))
        number = 0
        while queue:
            rank, _number, node = heapq.heappop(queue)
            for event in node.events:
                following = node.stepper.copy()
                try:
                    event.act(following)
                except StepError:
                    continue
                if (key := following.key()) in seen:
                    continue
                if len(seen) >= most_states:
                    return Sought(None, len(seen), True)
                seen.add(key)
                path = (*node.path, event)
                child = _Node(self, following, path, target, scope)
                if not child.away:
                    return Sought(path, len(seen), False)
                if len(path) < self.most_events:
                    number += 1
                    heapq.heappush(queue, (AWAY_WEIGHS * child.away + len(path), number, child))
                if child.away < node.away:
                    number += 1
                    heapq.heappush(queue, (rank, number, node))  # its other events, should this one lead nowhere
                    break
        return Sought(None, len(seen), False)

    def _away(self, stepper: Stepper, target: State) -> int:
        """How many values and losses are not yet as wanted; signals that differ can come in one event."""
        values, lost = target
        away = signals = 0
        for variable, now, wanted in zip(self.program.variables, stepper.state, values, strict=True):
            if now != wanted:
                if variable.kind == "signal":
                    signals = 1
                else:
                    away += 1
        return away + signals + len(set(lost) ^ stepper.lost)


class _Node:
    """A stepper on its way, and the events not yet tried from it: those straight to what is wanted first."""

    __slots__ = ("away", "events", "path", "stepper")

    def __init__(
        self, search: QuickSearch, stepper: Stepper, path: tuple[Event, ...], target: State, scope: frozenset[int]
    ) -> None:
        self.stepper, self.path = stepper, path
        self.away = search._away(stepper, target)
        self.events: Iterator[Event] = events_towards(search.program, stepper, target, scope)
