"""What happens when a crew does something: found by stepping the program and evaluating it, never by reading it."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from rigbook.switching.evaluate import Evaluator, Outcome
from rigbook.switching.logic import Lost, State
from rigbook.switching.plain_words import depends_on, name_of
from rigbook.switching.program import Device, Expression, Program, Timeline, Variable
from rigbook.switching.stepping import StepError, Stepper
from rigbook.switching.timeline import is_steady

LAMPS = ("lamp", "factory-lamp")
MOST_CHANGES = 5
MOST_TRIES = 4000
"""How far a demonstration of one function is sought; beyond it the paper says that none was found."""


@dataclass(frozen=True, slots=True)
class Step:
    """One thing done: `press`, `hold`, `tap`, `set`, `signal`, `wait`; its name and value; and in words."""

    what: str
    name: str
    value: str
    words: str

    def act(self, stepper: Stepper) -> None:
        """Do it; StepError where it cannot be done."""
        if self.what in ("set", "signal"):
            stepper.set({self.name: self.value})
        elif self.what == "wait":
            stepper.wait(int(self.value))
        else:
            getattr(stepper, self.what)(self.name)


@dataclass(frozen=True, slots=True)
class Shown:
    """What one colour or state of some devices does: `manner` is flashing and how often, steady-burning, dark, driven or
    power (colour empty: lost)."""

    colour: str
    manner: str
    devices: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Demonstration:
    """How a function is brought about from a standing start, and what it then decides."""

    function: int
    start: str
    steps: tuple[Step, ...]
    stepper: Stepper
    before: Outcome
    after: Outcome


class Bench:
    """One program being tried. Holds the standing starts (in park, in motion) and remembers demonstrations."""

    def __init__(self, program: Program) -> None:
        self.program = program
        self.evaluator = Evaluator(program)
        self._when = [self.evaluator.closures.two(f.when) for f in program.functions]
        self.index = {v.name: i for i, v in enumerate(program.variables)}
        self.starts: Mapping[str, Stepper] = dict(self._standing_starts())
        self._shown: dict[int, Demonstration | None] = {}
        self._outcomes: dict[tuple[State, Lost], Outcome] = {}
        self.start_words = {name: self._start_words(s) for name, s in self.starts.items()}

    # -- standing starts

    def _standing_starts(self) -> Iterator[tuple[str, Stepper]]:
        roles = dict(self.program.roles)
        parked, running, key = (roles.get(f"{r}_when") for r in ("parked", "running", "key_on"))
        wanted = [e for e in (parked, running, key) if e is not None]
        about = sorted({v for e in wanted for v in depends_on(self.program, e)})
        for name, value in (("in park", True), ("in motion", False)):
            found = self._start(about, {parked: value, running: True, key: True})
            if found is not None:
                yield name, found
            if parked is None:
                break

    def _start(self, about: list[int], wanted: Mapping[Expression | None, bool]) -> Stepper | None:
        """The start with fewest signals off rest that makes the roles come out as wanted; `run` before `crank`."""
        variables = self.program.variables
        signals = [i for i in about if variables[i].kind == "signal"]
        closures = self.evaluator.closures
        tests = [(closures.two(e), v) for e, v in wanted.items() if e is not None]
        choices = [range(len(variables[i].values)) for i in signals]
        # the last gear stands for motion: what releases in drive must be seen to release
        ranked = sorted(itertools.product(*choices), key=lambda c: self._rank(signals, c, wanted))
        for values in ranked:
            stepper = Stepper(self.program)
            changes = {variables[i].name: variables[i].values[v] for i, v in zip(signals, values, strict=True)}
            try:
                if changes:
                    stepper.set(changes)
                    self._settle(stepper)
            except StepError:
                continue
            state = stepper.state
            if all(test(state) == value for test, value in tests):
                return stepper
        return None

    def _rank(
        self, signals: list[int], values: tuple[int, ...], wanted: Mapping[Expression | None, bool]
    ) -> tuple[int, ...]:
        off = sum(v != self.program.variables[i].rest for i, v in zip(signals, values, strict=True))
        drive = any(self.program.variables[i].values[v] == "drive" for i, v in zip(signals, values, strict=True))
        return (off, 0 if drive else 1, *values)

    def _settle(self, stepper: Stepper) -> None:
        """Let wires settle: nothing longer than a second is waited for."""
        due = stepper.next_due_ms
        if due is not None and due - stepper.now_ms <= 1000:
            stepper.wait(due - stepper.now_ms)

    def _start_words(self, stepper: Stepper) -> str:
        found = []
        for i, v in enumerate(self.program.variables):
            if v.kind == "signal" and stepper.state[i] != v.rest:
                found.append(f"{name_of(v)} {v.values[stepper.state[i]]}")
        return ", ".join(found) or "everything at rest"

    # -- steps

    def steps_of(self, index: int, now: int) -> list[tuple[Step, ...]]:
        """What can be done with one variable from where it is."""
        v = self.program.variables[index]
        name = name_of(v)
        if v.kind == "signal":
            return [
                (Step("signal", v.name, value, f"{name} to {value}" if len(v.values) > 2 else f"{name}: {value}"),)
                for i, value in enumerate(v.values)
                if i != now
            ]
        if v.kind != "switch":
            return []
        if v.switch_kind == "latching":
            return [(Step("press", v.name, "", f"press {name}" if now == 0 else f"press {name} off"),)]
        if v.switch_kind == "momentary":
            tap, twice = Step("tap", v.name, "", f"tap {name}"), Step("tap", v.name, "", f"tap {name} again")
            if v.tap_under_ms is None:
                return [(Step("press", v.name, "", f"press and keep {name}"),)]
            return [(Step("hold", v.name, "", f"hold {name}"),), (tap,), (tap, twice)]
        return [(Step("set", v.name, value, f"{name} to {value}"),) for i, value in enumerate(v.values) if i != now]

    def done(self, stepper: Stepper, steps: tuple[Step, ...]) -> Stepper | None:
        """A copy after the steps; None where one cannot be done."""
        moved = stepper.copy()
        try:
            for step in steps:
                step.act(moved)
                self._settle(moved)
        except StepError:
            return None
        return moved

    def outcome(self, stepper: Stepper) -> Outcome:
        """What the program does now; remembered by state and lost signals."""
        key = (stepper.state, stepper.lost)
        found = self._outcomes.get(key)
        if found is None:
            found = self._outcomes[key] = self.evaluator.outcome(*key)
        return found

    # -- demonstrations

    def demonstration(self, function: int) -> Demonstration | None:
        """The fewest things done, from park first, that let the function decide or dim some device; None: none found."""
        if function not in self._shown:
            self._shown[function] = self._demonstrate(function)
        return self._shown[function]

    def _demonstrate(self, function: int) -> Demonstration | None:
        own = depends_on(self.program, self.program.functions[function].when)
        found = self._search(function, own)
        if found is not None:
            return found
        # what only dims, or takes from others, needs something lit first
        touched = [
            d
            for d in self.program.devices
            if function in {e.function for e in d.entries} | {e.function for e in d.dims}
        ]
        others = {e.function for d in touched for e in d.entries}
        more = {v for f in others for v in depends_on(self.program, self.program.functions[f].when)}
        return self._search(function, own | more) if more - own else None

    def _search(self, function: int, variables: frozenset[int]) -> Demonstration | None:
        about = sorted(variables, key=self._order)
        operable = [i for i in about if self.program.variables[i].kind in ("switch", "signal")]
        delay = max(
            (self.program.variables[i].for_ms for i in about if self.program.variables[i].timer_kind == "on_delay"),
            default=0,
        )
        tries = 0
        for many in range(MOST_CHANGES + 1):
            for name, start in self.starts.items():
                before = self.outcome(start)
                for chosen in itertools.combinations(operable, many):
                    options = [self.steps_of(i, start.state[i]) for i in chosen]
                    for picked in itertools.product(*options):
                        tries += 1
                        if tries > MOST_TRIES:
                            return None
                        found = self._tried(function, name, start, before, tuple(s for p in picked for s in p), delay)
                        if found is not None:
                            return found
        return None

    def _order(self, index: int) -> tuple[int, int]:
        """Signals first, then switches, as a crew would: the vehicle is put where it is to be, then the switch is used."""
        return (0 if self.program.variables[index].kind == "signal" else 1, index)

    def _tried(
        self, function: int, name: str, start: Stepper, before: Outcome, steps: tuple[Step, ...], delay: int
    ) -> Demonstration | None:  # fmt: skip
        moved = self.done(start, steps)
        if moved is None:
            return None
        if not self._acts(function, moved) and delay:
            steps = (*steps, Step("wait", "", str(delay), f"wait {delay / 1000:g} s"))
            moved.wait(delay)
        if not self._acts(function, moved):
            return None
        after = self.outcome(moved)
        return Demonstration(function, name, steps, moved, before, after) if self._works(function, after) else None

    def _acts(self, function: int, stepper: Stepper) -> bool:
        """Whether its condition holds: asked before anything is worked out."""
        return self._when[function](stepper.state)

    def _works(self, function: int, outcome: Outcome) -> bool:
        """Whether something differs from what it would be without the function: a cut of what is dark shows nothing."""
        if not outcome.active[function] or not (function in outcome.deciding or function in outcome.dimmed_by):
            return False
        without = self.evaluator.decisions((*outcome.active[:function], False, *outcome.active[function + 1 :]))
        return any(
            function in (outcome.deciding[i], outcome.dimmed_by[i])
            and (self.program.contents[d.content], d.factor)
            != (self.program.contents[outcome.content[i]], outcome.factor[i])
            for i, d in enumerate(without)
        )


# --- what is seen --------------------------------------------------------------------------------------------------


def changes(program: Program, before: Outcome, after: Outcome) -> list[Shown]:
    """What a person sees change: colours that light, change their manner or go dark, and devices that move."""
    groups: dict[tuple[str, str], list[int]] = {}
    for index, device in enumerate(program.devices):
        was, now = _looks(before, index), _looks(after, index)
        for colour, how in now.items():
            if was.get(colour) != how:
                groups.setdefault((colour, how), []).append(index)
        for colour in was:
            if colour not in now:
                groups.setdefault((colour, "dark"), []).append(index)
        if after.driven[index] != before.driven[index] and device.kind not in LAMPS:
            groups.setdefault(_moved(device, before.driven[index], after.driven[index]), []).append(index)
    return [Shown(colour, how, tuple(devices)) for (colour, how), devices in groups.items()]


def decided_by(program: Program, outcome: Outcome, function: int) -> list[Shown]:
    """What the devices show that one function decides or dims."""
    groups: dict[tuple[str, str], list[int]] = {}
    for index, device in enumerate(program.devices):
        if function not in (outcome.deciding[index], outcome.dimmed_by[index]):
            continue
        looks = _looks(outcome, index)
        for colour, how in looks.items():
            groups.setdefault((colour, how), []).append(index)
        if not looks and device.kind in LAMPS:
            groups.setdefault(("", "dark"), []).append(index)
        if outcome.driven[index] is not None and device.kind not in LAMPS:
            groups.setdefault((str(outcome.driven[index]), "driven"), []).append(index)
    return [Shown(colour, how, tuple(devices)) for (colour, how), devices in groups.items()]


def _moved(device: Device, was: str | None, now: str | None) -> tuple[str, str]:
    """A device that nothing drives only gains or loses its power."""
    if not device.entries and None in (was, now):
        return ("live" if now is not None else "", "power")
    return (now if now is not None else "without power", "driven")


def _looks(outcome: Outcome, index: int) -> dict[str, str]:
    return {colour: manner(timeline) for colour, timeline in outcome.lit[index]}


def manner(timeline: Timeline) -> str:
    """How a lamp shows a timeline: `flashing every 0.8 s at 40 %`. The time is that after which it repeats."""
    most = max((span.intensity_from for span in timeline.spans), default=0.0)
    how = "steady-burning" if is_steady(timeline) else f"flashing every {timeline.period_ms / 1000:g} s"
    return how if most > 0.999 else f"{how} at {most * 100:.0f} %"


def said(program: Program, shown: list[Shown], *, most_named: int = 3) -> str:
    """What is seen in one line: `blue flashing to the front and rear (24 lamps); siren-amp wail`."""
    lines = []
    for one in shown:
        rows = list(dict.fromkeys(program.devices[i].id.split(".")[0] for i in one.devices))
        if one.manner == "driven":
            lines.append(", ".join(rows) + f" {one.colour}")
            continue
        if one.manner == "power":
            lines.append(", ".join(rows) + (" live" if one.colour else " without power"))
            continue
        zones = [
            z for z in ("front", "right", "rear", "left") if any(z in program.devices[i].zones for i in one.devices)
        ]
        if len(rows) <= most_named:
            where = ", ".join(rows)
        elif len(zones) == 4:
            where = f"all round ({len(one.devices)} lamps)"
        else:
            where = f"{' and '.join(zones) or 'inside'} ({len(one.devices)} lamps)"
        look = (
            f"{one.colour} goes dark"
            if one.manner == "dark" and one.colour
            else one.manner
            if one.manner == "dark"
            else f"{one.colour} {one.manner}"
        )
        lines.append(f"{look}: {where}")
    return "; ".join(lines)


def losable_of(program: Program, function: int) -> list[Variable]:
    """Data-bus signals a function's condition depends on."""
    about = depends_on(program, program.functions[function].when)
    return [program.variables[i] for i in sorted(about) if program.variables[i].losable]
