"""A recorded drive run through the stepping rules: what stood when, which requirements were broken, what it drew.

Between two recorded times everything that falls due acts at its own time, so timers and thresholds run as on the
vehicle. At one recorded time signals change together in one event, then losses, then what is measured, then switches
in the order of their columns. What stands for no time at all is not told.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from rigbook.switching.drive_file import LOST, Column, DriveFile, Row
from rigbook.switching.evaluate import Evaluator, Outcome
from rigbook.switching.logic import Lost, State
from rigbook.switching.program import Program, Variable
from rigbook.switching.stepping import StepError, Stepper
from rigbook.switching.timeline import is_steady

Currents = Callable[[State, Lost], Mapping[str, float]]


@dataclass(frozen=True, slots=True)
class Stretch:
    """A time in which nothing changes, ms from the start. `drawn`: A by label (average, RMS, peak)."""

    start_ms: int
    end_ms: int
    state: State
    lost: Lost
    drawn: Mapping[str, float]


@dataclass(frozen=True, slots=True)
class Doing:
    """A device that shows a colour, or is in a state off rest, throughout a time."""

    start_ms: int
    end_ms: int
    device: str
    what: str
    manner: str  # steady-burning, flashing, driven


@dataclass(frozen=True, slots=True)
class Broken:
    """A requirement that did not hold throughout a time."""

    start_ms: int
    end_ms: int
    requirement: str
    line: int


@dataclass(frozen=True, slots=True)
class Refused:
    """A recorded change that could not be: a line of the recording, its time, and why."""

    line: int
    at_ms: int
    says: str


@dataclass(frozen=True, slots=True)
class Drive:
    """What a drive came to."""

    stretches: tuple[Stretch, ...]
    doings: tuple[Doing, ...]
    broken: tuple[Broken, ...]
    refused: tuple[Refused, ...]

    @property
    def end_ms(self) -> int:
        """How long the recording is, ms."""
        return self.stretches[-1].end_ms if self.stretches else 0

    def mean(self, label: str) -> float:
        """The mean of one of the drawn currents over the whole drive, A."""
        whole = sum(s.end_ms - s.start_ms for s in self.stretches)
        return sum(s.drawn[label] * (s.end_ms - s.start_ms) for s in self.stretches) / whole if whole else 0.0

    def greatest(self, label: str) -> tuple[float, int]:
        """The greatest of one of the drawn currents, A, and when it first stood, ms."""
        best = max(self.stretches, key=lambda s: s.drawn[label])
        return best.drawn[label], best.start_ms


def run_drive(program: Program, recorded: DriveFile, currents: Currents) -> Drive:
    """Run a recording from rest. Its first line says what stands at its time; time counts from 0."""
    runner = _Runner(program, recorded)
    evaluator = Evaluator(program)
    drawn: dict[tuple[State, Lost], Mapping[str, float]] = {}
    outcomes: dict[tuple[State, Lost], Outcome] = {}
    stretches: list[Stretch] = []
    for start_ms, end_ms, state, lost in runner.spans():
        key = (state, lost)
        if key not in drawn:
            drawn[key], outcomes[key] = currents(state, lost), evaluator.outcome(state, lost)
        last = stretches[-1] if stretches else None
        if last is not None and (last.state, last.lost) == key:
            stretches[-1] = Stretch(last.start_ms, end_ms, state, lost, drawn[key])
        else:
            stretches.append(Stretch(start_ms, end_ms, state, lost, drawn[key]))
    return Drive(
        tuple(stretches),
        tuple(_doings(program, stretches, outcomes)),
        tuple(_broken(evaluator, stretches)),
        tuple(runner.refused),
    )


class _Runner:
    """Steps through a recording, and keeps what was refused."""

    def __init__(self, program: Program, recorded: DriveFile) -> None:
        self.stepper = Stepper(program)
        self.recorded = recorded
        self.refused: list[Refused] = []
        self._variables = {v.name: v for v in program.variables}
        self._measuring: dict[str, list[str]] = {}
        for v in program.variables:
            if v.measures:
                self._measuring.setdefault(v.measures, []).append(v.name)
        self._stood: dict[int, str] = {}

    def spans(self) -> Iterator[tuple[int, int, State, Lost]]:
        """Times between which nothing changes, with the state that stands."""
        for row in self.recorded.rows:
            yield from self._until(row.at_ms)
            self._record(row)

    def _until(self, end_ms: int) -> Iterator[tuple[int, int, State, Lost]]:
        stepper = self.stepper
        while stepper.now_ms < end_ms:
            start_ms, state, lost = stepper.now_ms, stepper.state, stepper.lost
            due_ms = stepper.next_due_ms
            next_ms = end_ms if due_ms is None else min(end_ms, due_ms)
            if next_ms > start_ms:
                yield start_ms, next_ms, state, lost
            stepper.wait(next_ms - start_ms)
        if stepper.next_due_ms is not None and stepper.next_due_ms <= end_ms:
            stepper.wait(0)

    def _record(self, row: Row) -> None:
        columns = self.recorded.columns
        news = [(i, text) for i, text in row.values if self._stood.get(i) != text]
        signals = {columns[i].name: text for i, text in news if columns[i].kind == "signal" and text != LOST}
        if signals:
            self._try(row, lambda: self.stepper.set(signals))
        for i, text in news:
            if columns[i].kind == "signal":
                self._lose(row, columns[i], text)
        for i, value in row.measured:
            for name in self._measuring[columns[i].name]:
                self._try(row, lambda name=name, value=value: self.stepper.measure(name, value))  # type: ignore[misc]
        for i, text in news:
            if columns[i].kind == "switch":
                self._operate(row, self._variables[columns[i].name], text)
        self._stood.update(news)

    def _lose(self, row: Row, column: Column, text: str) -> None:
        at = next(i for i, v in enumerate(self.stepper.program.variables) if v.name == column.name)
        gone = at in self.stepper.lost
        if text == LOST and not gone:
            self._try(row, lambda: self.stepper.lose(column.name))
        elif text != LOST and gone:
            self._try(row, lambda: self.stepper.restore(column.name))

    def _operate(self, row: Row, v: Variable, text: str) -> None:
        """Bring a switch to what is recorded. A latching one that does not stay is told."""
        now = self.stepper.value(v.name)
        if v.switch_kind == "latching":
            wanted = text in ("yes", "true")
            if (now != "no") != wanted:
                self._try(row, lambda: self.stepper.press(v.name))
                if (self.stepper.value(v.name) != "no") != wanted:
                    self.refused.append(
                        Refused(row.line, row.at_ms, f"{v.name} does not stay {'on' if wanted else 'off'}")
                    )
        elif v.switch_kind == "momentary":
            if text in ("no", "false"):
                if now != "no":
                    self._try(row, lambda: self.stepper.release(v.name))
            elif now == "no":
                self._try(row, lambda: self.stepper.press(v.name))
        elif text != now:
            self._try(row, lambda: self.stepper.set({v.name: text}))

    def _try(self, row: Row, act: Callable[[], None]) -> None:
        try:
            act()
        except StepError as why:
            self.refused.append(Refused(row.line, row.at_ms, why.says))


def _doings(
    program: Program, stretches: list[Stretch], outcomes: Mapping[tuple[State, Lost], Outcome]
) -> Iterator[Doing]:
    """What each device did, device by device, in order of time."""
    for index, device in enumerate(program.devices):
        rest = program.contents[device.rest].state
        open_: dict[tuple[str, str], int] = {}
        for stretch in stretches:
            outcome = outcomes[stretch.state, stretch.lost]
            now = {
                (colour, "steady-burning" if is_steady(timeline) else "flashing")
                for colour, timeline in outcome.lit[index]
            }
            driven = outcome.driven[index]
            if driven is not None and driven != rest:
                now.add((driven, "driven"))
            for key in sorted(set(open_) - now):
                yield Doing(open_.pop(key), stretch.start_ms, device.id, *key)
            for key in now - set(open_):
                open_[key] = stretch.start_ms
        for key in sorted(open_):
            yield Doing(open_[key], stretches[-1].end_ms, device.id, *key)


def _broken(evaluator: Evaluator, stretches: list[Stretch]) -> Iterator[Broken]:
    for requirement in evaluator.program.requirements:
        since: int | None = None
        for stretch in stretches:
            holds = evaluator.requirement_holds(requirement, stretch.state, stretch.lost)
            if holds and since is not None:
                yield Broken(since, stretch.start_ms, requirement.name, requirement.line)
                since = None
            elif not holds and since is None:
                since = stretch.start_ms
        if since is not None:
            yield Broken(since, stretches[-1].end_ms, requirement.name, requirement.line)
