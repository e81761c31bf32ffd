"""Stepping through states as a crew and a vehicle would: the same events give the same outcome, here and in the browser.

Time is whole milliseconds from 0. What falls due at t acts before an event at t; several things due at one
moment act one after another: switches held, then signals, then timers in order of dependency.
"""

from __future__ import annotations

import copy
from collections.abc import Mapping

from rigbook.switching.language import nearest
from rigbook.switching.logic import Closures, Lost, State
from rigbook.switching.program import Program, Variable
from rigbook.switching.settling import Due, Settling, StepError
from rigbook.switching.states import value_index

__all__ = ["StepError", "Stepper"]


class Stepper:
    """A program being operated. Starts at rest, or in a given state with its delays beginning now.

    Every event either happens wholly or raises StepError and changes nothing (but `hold`, which may have pressed)."""

    def __init__(self, program: Program, state: State | None = None) -> None:
        self.program = program
        self._index = {v.name: i for i, v in enumerate(program.variables)}
        closures = Closures(program)
        self._impossible = tuple((closures.two(e), file, line) for e, file, line in program.impossible)
        self._core = Settling(program, list(program.rest if state is None else state))
        self._true = list(self._core.values)
        self._ready: set[int] = set()
        for index, v in enumerate(program.variables):
            if v.tap_under_ms is not None and self._core.values[index] == 1:
                self._core.due[(0, index, 0)] = v.tap_under_ms
        self._core.start()

    # -- what can be read

    @property
    def state(self) -> State:
        """The present value index of every variable."""
        return tuple(self._core.values)

    @property
    def lost(self) -> Lost:
        """Signals that are lost."""
        return frozenset(self._core.lost)

    @property
    def now_ms(self) -> int:
        """Time since the start, ms."""
        return self._core.now_ms

    @property
    def next_due_ms(self) -> int | None:
        """When the next delay, settling or hold ends; None where none runs."""
        return min(self._core.due.values(), default=None)

    def value(self, name: str) -> str:
        """The present value of a variable by name."""
        at = self._named(name)
        return self.program.variables[at].values[self._core.values[at]]

    def copy(self) -> Stepper:
        """A stepper that goes on from here on its own."""
        other = copy.copy(self)
        other._core = self._core.copied()
        other._true = list(self._true)
        other._ready = set(self._ready)
        return other

    def key(self) -> tuple[object, ...]:
        """Equal for two steppers that will answer every event alike; times count from now."""
        core, now = self._core, self._core.now_ms
        due = tuple(sorted((d, at - now) for d, at in core.due.items()))
        pauses = tuple(sorted((i, at - now) for i, at in core.pause_until.items() if at > now))
        last = tuple(sorted(core.last.items()))
        before = tuple(core.before.get(e, False) for e in core.rising)
        ready = tuple(sorted(self._ready))
        return (self.state, tuple(self._true), self.lost, due, tuple(sorted(core.blocked)), pauses, last, before, ready)

    # -- switches

    def press(self, name: str) -> None:
        """Press a latching or momentary switch. A latching one whose `releases_when` is known to hold stays as it is."""
        at, v = self._switch(name, "pressed")
        core = self._core
        if v.switch_kind == "momentary":
            if core.values[at]:
                raise StepError(f"{name} is pressed already")
            core.values[at] = 1
            if v.tap_under_ms is not None:
                core.due[(0, at, 0)] = core.now_ms + v.tap_under_ms
        elif v.switch_kind == "latching":
            if core.known(v.releases_when):
                return
            core.values[at] = 1 - core.values[at]
            if core.values[at]:
                for group in self.program.exclusive:
                    if at in group:
                        for other in group:
                            core.values[other] = core.values[other] if other == at else 0
        else:
            raise StepError(f"{name} is a {v.switch_kind}: it is set to a position, not pressed")
        core.settle()

    def release(self, name: str) -> None:
        """Let a momentary switch, or a position that springs back, go. A tap is seen now."""
        at, v = self._switch(name, "released")
        core = self._core
        before = core.values[at]
        springs = dict(v.springs_back)
        if v.switch_kind != "momentary":
            if before not in springs:
                raise StepError(f"{name} is in no position that springs back")
            core.values[at] = springs[before]
            core.settle()
            return
        if not before:
            raise StepError(f"{name} is not pressed")
        core.values[at] = 0
        core.due.pop((0, at, 0), None)
        tapped = v.tap_under_ms is not None and before == 1
        core.settle(frozenset({at}) if tapped else frozenset())

    def tap(self, name: str) -> None:
        """Press and release a momentary switch at once."""
        self._momentary(name)
        self.press(name)
        self.release(name)

    def hold(self, name: str) -> None:
        """Press a momentary switch and keep it; with `tap_under` until it counts as held."""
        v = self._momentary(name)
        self.press(name)
        if v.tap_under_ms is not None:
            self.wait(v.tap_under_ms)

    def set(self, changes: Mapping[str, str]) -> None:
        """Move one slide, rotary or rocker, or change one or more signals, in one event."""
        kinds = {self.program.variables[self._named(name)].kind for name in changes}
        if kinds == {"signal"}:
            self._set_signals(changes)
            return
        if len(changes) != 1:
            raise StepError("one switch, or signals alone, can be set in one event")
        ((name, text),) = changes.items()
        at, v = self._switch(name, "set")
        if v.switch_kind in ("latching", "momentary"):
            raise StepError(f"{name} is a {v.switch_kind} switch: it is pressed, not set")
        self._core.values[at] = self._value(v, text)
        self._core.settle()

    # -- signals

    def lose(self, name: str) -> None:
        """A data-bus signal is lost."""
        at = self._losable(name)
        if at in self._core.lost:
            raise StepError(f"{name} is lost already")
        self._core.lost.add(at)
        self._core.settle()

    def restore(self, name: str) -> None:
        """A lost signal comes back, with its true value."""
        at = self._losable(name)
        if at not in self._core.lost:
            raise StepError(f"{name} is not lost")
        self._core.lost.remove(at)
        self._core.settle()

    def measure(self, name: str, value: float) -> None:
        """A recorded value of a measured signal (SI); it stands until the next one."""
        at = self._named(name)
        v = self.program.variables[at]
        t = v.threshold
        if t is None:
            raise StepError(f"{name} measures nothing")
        beyond = value < t.at if t.side == "below" else value > t.at
        back = value > t.clears if t.side == "below" else value < t.clears
        due = (1, at, 0)
        if self._true[at]:
            if back:
                self._set_signals({name: "no"})
        elif not beyond:
            self._core.due.pop(due, None)
        elif t.for_ms == 0:
            self._set_signals({name: "yes"})
        elif due not in self._core.due:
            self._core.due[due] = self._core.now_ms + t.for_ms

    def _set_signals(self, changes: Mapping[str, str]) -> None:
        wanted = list(self._true)
        for name, text in changes.items():
            at = self._named(name)
            wanted[at] = self._value(self.program.variables[at], text)
        self._refuse(wanted)
        for name in changes:
            at = self._named(name)
            self._arrive(at, wanted[at])
        self._take_ready()

    def _arrive(self, at: int, value: int) -> None:
        """A signal's true value; a wire that settles counts only once it has stood so long."""
        core, due = self._core, (1, at, 0)
        moved = self._true[at] != value
        self._true[at] = value
        if core.values[at] == value:
            core.due.pop(due, None)
            self._ready.discard(at)
        elif self.program.variables[at].settles_ms == 0 or self.program.variables[at].threshold is not None:
            core.due.pop(due, None)
            self._ready.add(at)
        elif moved:
            core.due[due] = core.now_ms + self.program.variables[at].settles_ms
            self._ready.discard(at)

    def _refuse(self, values: list[int]) -> None:
        """Refuse true values that the document calls impossible."""
        for holds, file, line in self._impossible:
            if holds(tuple(values)):
                raise StepError(f"refused: {file} line {line} calls this impossible", file, line)

    def _take_ready(self) -> None:
        """Take all settled signals over together, unless that would read as an impossible combination; then they wait
        for those that still settle."""
        core = self._core
        values = list(core.values)
        for at in self._ready:
            values[at] = self._true[at]
        if not any(holds(tuple(values)) for holds, _, _ in self._impossible):
            core.values[:] = values
            self._ready.clear()
        core.settle()

    # -- time

    def wait(self, ms: int) -> None:
        """Let whole milliseconds pass; what falls due acts in order, up to and at the end."""
        if ms < 0:
            raise StepError("time does not run backward")
        core = self._core
        end = core.now_ms + ms
        while core.due:
            at, which = min((at, which) for which, at in core.due.items())
            if at > end:
                break
            core.now_ms = at
            del core.due[which]
            self._fall_due(which)
        core.now_ms = end

    def _fall_due(self, which: Due) -> None:
        core = self._core
        kind, place, end = which
        if kind == 0:
            core.values[place] = 2
            core.settle()
        elif kind == 2:
            core.timer_due(place, end)
            core.settle()
        else:
            self._signal_due(place)

    def _signal_due(self, at: int) -> None:
        threshold = self.program.variables[at].threshold
        if threshold is not None:
            wanted = list(self._true)
            wanted[at] = 1
            if any(holds(tuple(wanted)) for holds, _, _ in self._impossible):
                self._core.due[(1, at, 0)] = self._core.now_ms + threshold.for_ms
                return
            self._true[at] = 1
        self._ready.add(at)
        self._take_ready()

    # -- names

    def _named(self, name: str) -> int:
        at = self._index.get(name)
        if at is None:
            near = nearest(name, self._index)
            raise StepError(f"nothing is called {name}" + (f"; did you mean {near}?" if near else ""))
        return at

    def _switch(self, name: str, done: str) -> tuple[int, Variable]:
        at = self._named(name)
        v = self.program.variables[at]
        if v.kind != "switch":
            raise StepError(f"{name} is a {v.kind}: only a switch is {done}")
        return at, v

    def _momentary(self, name: str) -> Variable:
        _, v = self._switch(name, "tapped or held")
        if v.switch_kind != "momentary":
            raise StepError(f"{name} is a {v.switch_kind} switch: only a momentary one is tapped or held")
        return v

    def _losable(self, name: str) -> int:
        at = self._named(name)
        if not self.program.variables[at].losable:
            raise StepError(f"{name} does not come over a data bus: it cannot be lost")
        return at

    def _value(self, v: Variable, text: str) -> int:
        value = value_index(v, text)
        if value is None:
            raise StepError(f"{text} is no value of {v.name}; it has {', '.join(v.values)}")
        return value
