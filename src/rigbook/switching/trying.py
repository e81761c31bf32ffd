"""Trying a program out line by line: what a typed line means, and a plain picture of what is lit.

No reading, no printing: `Trial.do` takes a line and gives the text to show.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Literal

from rigbook.quantities.parse import QuantityError, parse_quantity
from rigbook.quantities.units import Dimension
from rigbook.switching.evaluate import Evaluator, Lit, Outcome
from rigbook.switching.language import ZONES, nearest
from rigbook.switching.logic import Lost, State
from rigbook.switching.program import Program
from rigbook.switching.stepping import StepError, Stepper
from rigbook.switching.timeline import is_steady

What = Literal[
    "press",
    "release",
    "tap",
    "hold",
    "set",
    "signal",
    "measure",
    "lose",
    "restore",
    "wait",
    "show",
    "undo",
    "help",
    "quit",
]
Currents = Callable[[State, Lost], Mapping[str, float]]
"""Gives currents in A by label for a state and its lost signals."""

USAGE: Mapping[What, str] = {
    "press": "press SWITCH",
    "release": "release SWITCH",
    "tap": "tap SWITCH",
    "hold": "hold SWITCH",
    "set": "set SWITCH POSITION",
    "signal": "signal NAME VALUE [NAME VALUE …]",
    "measure": "measure SIGNAL QUANTITY (measure auxiliary_low 11.6 V)",
    "lose": "lose SIGNAL",
    "restore": "restore SIGNAL",
    "wait": "wait TIME (wait 400 ms)",
    "show": "show",
    "undo": "undo",
    "help": "help",
    "quit": "quit",
}
_MEASURED: Mapping[str, Dimension] = {"voltage": "voltage", "speed": "speed", "temperature": "temperature"}


class TryError(Exception):
    """A line that cannot be read, or an event that cannot be; the text says what would do."""


@dataclass(frozen=True, slots=True)
class Command:
    """One typed line: what, for which names, with which values; `wait_ms` for wait."""

    what: What
    changes: tuple[tuple[str, str], ...] = ()
    wait_ms: int = 0


def parse_line(line: str) -> Command:
    """Read a line. Raises TryError with the way the command is written."""
    words = line.split()
    if not words:
        return Command("show")
    what = next((known for known in USAGE if known == words[0]), None)
    if what is None:
        near = nearest(words[0], USAGE)
        raise TryError(f"{words[0]} is no command" + (f"; did you mean {near}?" if near else "; help lists them"))
    rest = words[1:]
    if what == "wait":
        return Command(what, wait_ms=_milliseconds(" ".join(rest)))
    if what == "measure" and len(rest) >= 2:
        return Command(what, ((rest[0], " ".join(rest[1:])),))
    if what == "signal" and rest and len(rest) % 2 == 0:
        names = rest[::2]
        if len(set(names)) < len(names):
            raise TryError("a signal is named twice")
        return Command(what, tuple(zip(names, rest[1::2], strict=True)))
    if what == "set" and len(rest) == 2:
        return Command(what, ((rest[0], rest[1]),))
    if what in ("press", "release", "tap", "hold", "lose", "restore") and len(rest) == 1:
        return Command(what, ((rest[0], ""),))
    if what in ("show", "undo", "help", "quit") and not rest:
        return Command(what)
    raise TryError(f"write: {USAGE[what]}")


def _milliseconds(text: str) -> int:
    try:
        seconds = parse_quantity(text, "duration")
    except QuantityError as error:
        raise TryError(f"write: {USAGE['wait']}; {error}") from error
    ms = round(seconds * 1000)
    if ms < 0 or abs(seconds * 1000 - ms) > 1e-6:
        raise TryError("time passes in whole milliseconds")
    return ms


class Trial:
    """A program being tried: steps, undo, and the picture after each line."""

    def __init__(self, program: Program, state: State | None = None, currents: Currents | None = None) -> None:
        self.program = program
        self.stepper = Stepper(program, state)
        self.over = False
        self._evaluator = Evaluator(program)
        self._currents = currents
        self._before: list[Stepper] = []

    def do(self, line: str) -> str:
        """Carry out a line and give what to show. Raises TryError; then nothing has changed."""
        command = parse_line(line)
        if command.what == "quit":
            self.over = True
            return ""
        if command.what == "help":
            return "\n".join(USAGE.values())
        if command.what == "undo":
            if not self._before:
                raise TryError("there is nothing to undo")
            self.stepper = self._before.pop()
        elif command.what != "show":
            moved = self.stepper.copy()
            try:
                self._step(moved, command)
            except StepError as error:
                raise TryError(error.says) from error
            self._before.append(self.stepper)
            self.stepper = moved
        return self.show()

    def _step(self, stepper: Stepper, command: Command) -> None:
        if command.what == "wait":
            stepper.wait(command.wait_ms)
            return
        name, text = command.changes[0]
        if command.what in ("set", "signal"):
            for one, _ in command.changes:
                self._check_signal(one, command.what)
            stepper.set(dict(command.changes))
        elif command.what == "measure":
            stepper.measure(name, self._measured(name, text))
        else:
            operate = {
                "press": stepper.press,
                "release": stepper.release,
                "tap": stepper.tap,
                "hold": stepper.hold,
                "lose": stepper.lose,
                "restore": stepper.restore,
            }[command.what]
            operate(name)

    def _check_signal(self, name: str, what: str) -> None:
        variable = next((v for v in self.program.variables if v.name == name), None)
        if variable is not None and what == "signal" and variable.kind != "signal":
            raise TryError(f"{name} is a {variable.kind}, not a signal")

    def _measured(self, name: str, text: str) -> float:
        variable = next((v for v in self.program.variables if v.name == name), None)
        kind = variable.measures.split(".")[0] if variable is not None else ""
        if kind not in _MEASURED:
            raise TryError(f"{name} measures nothing")
        try:
            return parse_quantity(text, _MEASURED[kind])
        except QuantityError as error:
            raise TryError(str(error)) from error

    def show(self) -> str:
        """Time, what is off rest, what is lit and driven, and the currents."""
        stepper = self.stepper
        outcome = self._evaluator.outcome(stepper.state, stepper.lost)
        lines = [f"at {stepper.now_ms / 1000:.3f} s", *off_rest(self.program, stepper.state, stepper.lost)]
        lines += picture(self.program, outcome)
        if self._currents is not None:
            found = self._currents(stepper.state, stepper.lost)
            lines += [f"{label}: {amperes:.2f} A" for label, amperes in found.items()]
        return "\n".join(lines)


def off_rest(program: Program, state: State, lost: Lost) -> list[str]:
    """One line a kind of variable: what is off rest, and what is lost."""
    lines = []
    for kind, title in (("switch", "switches"), ("signal", "signals"), ("memory", "memories"), ("timer", "timers")):
        found = [
            f"{v.name} {v.values[state[i]]}" + (" (lost)" if i in lost else "")
            for i, v in enumerate(program.variables)
            if v.kind == kind and (state[i] != program.rest[i] or i in lost)
        ]
        if found:
            lines.append(f"{title}: {', '.join(found)}")
    return lines


def letters(lit: Lit) -> str:
    """A letter a colour: capital where steady-burning, small where flashing; a dot where dark."""
    return "".join(c[0].upper() if is_steady(t) else c[0].lower() for c, t in lit) or "."


def picture(program: Program, outcome: Outcome) -> list[str]:
    """What is lit, a line a zone, and what is driven. The lamps of a row stand together."""
    lines = []
    for zone in (*ZONES, ""):
        shown: dict[str, str] = {}
        for index, device in enumerate(program.devices):
            here = zone in device.zones if zone else not device.zones
            if device.colours and here:
                row = device.id.split(".")[0]
                shown[row] = shown.get(row, "") + letters(outcome.lit[index])
        if shown:
            lines.append(f"{zone or 'elsewhere':<10}" + "  ".join(f"{name} {marks}" for name, marks in shown.items()))
    driven = [
        f"{d.id} {state}"
        for d, state in zip(program.devices, outcome.driven, strict=True)
        if state is not None and state != program.contents[d.rest].state
    ]
    if driven:
        lines.append(f"{'driven':<10}" + ", ".join(driven))
    return lines
