"""The inspection walk in words: what is done, what must be seen and from where, and what it spares."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from importlib.util import find_spec
from itertools import pairwise

from rigbook.proofs.presses import Event
from rigbook.proofs.walk import Walk, WalkEffort, inspection_walk
from rigbook.proofs.walk_goals import Goal
from rigbook.shop.behaviour import LAMPS, Bench, Shown, changes, decided_by, manner, said
from rigbook.switching.evaluate import Outcome
from rigbook.switching.plain_words import name_of
from rigbook.switching.program import Program
from rigbook.switching.stepping import Stepper

ZONES = ("front", "right", "rear", "left")
ON_THE_WAY = "on the way"
KINDS: Mapping[str, str] = {
    "function": "functions", "colour": "lamp colours", "override": "overrides", "released": "interlocks", "gives way": "interlocks", "stopped": "interlocks",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Move:
    """One move: what it shows for the first time, what is done, what must then be seen, and from which zones."""

    shows: str
    do: str
    seen: str
    zones: str


@dataclass(frozen=True, slots=True)
class WalkForm:
    """A walk in words. shown: how many of each kind of thing it shows. bound: no walk that shows them is shorter.
    one_by_one, one_by_one_moves: functions that can be tried from a standing start, and the moves that takes, back to
    the start included. open: what no moves were found to, in words."""

    walk: Walk
    moves: tuple[Move, ...]
    shown: Mapping[str, int]
    one_by_one: int
    one_by_one_moves: int
    open: tuple[str, ...]

    @property
    def bound(self) -> int:
        """No walk that shows the same is shorter."""
        return self.walk.bound

    @property
    def spared_share(self) -> float:
        """The share of moves that the walk spares against trying each function alone, 0 to 1."""
        return 1 - len(self.moves) / self.one_by_one_moves if self.one_by_one_moves else 0.0


def walk_form(bench: Bench, effort: WalkEffort | None = None) -> WalkForm | None:
    """The walk of a program; None without the solver that it needs, and without anything to show."""
    if find_spec("pysat") is None or not bench.program.functions:
        return None
    walk = inspection_walk(bench.program, effort or WalkEffort())
    goals = [goal for step in walk.steps for goal in step.shows] + list(walk.at_rest)
    alone = [shown for f in range(len(bench.program.functions)) if (shown := bench.demonstration(f)) is not None]
    return WalkForm(
        walk=walk,
        moves=tuple(_moves(bench, walk)),
        shown=dict(Counter(KINDS[goal.kind] for goal in goals)),
        one_by_one=len(alone),
        one_by_one_moves=sum(2 * len(shown.steps) for shown in alone),
        open=tuple(goal_words(bench.program, goal) for goal in walk.open),
    )


def _moves(bench: Bench, walk: Walk) -> list[Move]:
    program, stepper = bench.program, Stepper(bench.program)
    before = bench.outcome(stepper)
    found = []
    for step in walk.steps:
        was_on = step.event.what == "press" and stepper.value(step.event.changes[0][0]) != "no"
        step.event.act(stepper)
        stepper.wait(step.settles_ms)
        after = bench.outcome(stepper)
        seen = changes(program, before, after)
        shows = shown_words(program, step.shows)
        found.append(
            Move(
                shows or (ON_THE_WAY if not step.shows else "lamp colours"),
                event_words(program, step.event, was_on=was_on),
                _seen(program, step.shows, seen, before, after),
                _zones(program, seen or _staying(program, step.shows, after), before, after),
            )
        )
        before = after
    return found


def shown_words(program: Program, goals: Sequence[Goal]) -> str:
    """What one move shows, by kind; lamp colours are not named: what is expected says them."""
    names = {n: f.name for n, f in enumerate(program.functions)}
    parts = [names[g.function] for g in goals if g.kind == "function"]
    over: dict[str, list[str]] = {}
    for goal in goals:
        if goal.kind == "override":
            over.setdefault(names[goal.function], []).append(names[goal.over])
    parts += [f"{name} over {' and '.join(others)}" for name, others in over.items()]
    for kind, words in (("released", "lets go by itself"), ("gives way", "gives way")):
        labels = [name_of(program.variables[g.switch]) for g in goals if g.kind == kind]
        parts += [f"{words}: {', '.join(labels)}"] if labels else []
    stopped = [names[g.function] for g in goals if g.kind == "stopped"]
    parts += [f"stopped: {', '.join(stopped)}"] if stopped else []
    return "; ".join(parts)


def _seen(program: Program, goals: Sequence[Goal], seen: list[Shown], before: Outcome, after: Outcome) -> str:
    """What must be seen: what changes, the flash that takes another's place, the way a row runs; else what stays."""
    parts = [said(program, seen)] if seen else []
    told = {(device, one.colour) for one in seen for device in one.devices}
    other = _other_flash(before, after, told)
    parts += [f"another flash: {said(program, other)}"] if other else []
    parts += _runs(
        program, after, {device for one in (*seen, *other) for device in one.devices if one.manner != "dark"}
    )
    off = [name_of(program.variables[g.switch]) for g in goals if g.kind in ("released", "gives way")]
    parts += [f"off on the panel: {', '.join(off)}"] if off else []
    staying = said(program, _staying(program, goals, after))
    if not parts and staying:
        return f"stays: {staying}"
    return "; ".join(parts) or "nothing changes"


def _staying(program: Program, goals: Sequence[Goal], after: Outcome) -> list[Shown]:
    """What the functions that a move shows go on doing."""
    functions = dict.fromkeys(g.function for g in goals if g.kind in ("function", "override"))
    return [shown for function in functions for shown in decided_by(program, after, function)]


def _other_flash(before: Outcome, after: Outcome, told: set[tuple[int, str]]) -> list[Shown]:
    """Colours that burned before and burn on at other times."""
    groups: dict[tuple[str, str], list[int]] = {}
    for device, lit in enumerate(after.lit):
        was = dict(before.lit[device])
        for colour, timeline in lit:
            if colour in was and was[colour] != timeline and (device, colour) not in told:
                groups.setdefault((colour, manner(timeline)), []).append(device)
    return [Shown(colour, how, tuple(devices)) for (colour, how), devices in groups.items()]


def _runs(program: Program, after: Outcome, devices: set[int]) -> list[str]:
    """Rows whose lamps start one after another, and which way."""
    rows: dict[str, list[int]] = {}
    for device in sorted(devices):
        row, _, number = program.devices[device].id.partition(".")
        if number and after.lit[device]:
            rows.setdefault(row, []).append(device)
    found = []
    for row, members in rows.items():
        starts = [t.spans[0].start_ms for d in members for _, t in after.lit[d][:1] if len(t.spans) == 1]
        if len(members) < 3 or len(starts) != len(members):
            continue
        first, last = (program.devices[members[n]].id for n in (0, -1))
        if all(a < b for a, b in pairwise(starts)):
            found.append(f"{row} runs from {first} to {last}")
        elif all(a > b for a, b in pairwise(starts)):
            found.append(f"{row} runs from {last} to {first}")
        elif len(set(starts)) > 2 and starts == starts[::-1]:
            found.append(
                f"{row} runs from the {'middle to both ends' if starts[0] > starts[len(starts) // 2] else 'ends to the middle'}"
            )
    return found


def _zones(program: Program, seen: list[Shown], before: Outcome, after: Outcome) -> str:
    """Where a person stands to see it: zones that the lamps concerned show to, with their present pose."""
    zones: set[str] = set()
    inside = at_device = False
    for one in seen:
        for device in one.devices:
            if program.devices[device].kind not in LAMPS:
                at_device = True
                continue
            own = (before if one.manner == "dark" else after).zones[device]
            zones |= own
            inside = inside or not own
    places = [z for z in ZONES if z in zones]
    words = [f"from {', '.join(places)}"] if places else []
    words += ["inside"] if inside else []
    words += ["at the device, by eye or ear"] if at_device else []
    return "; ".join(words) or "–"


def event_words(program: Program, event: Event, *, was_on: bool = False) -> str:
    """One move in words, as it is said in the bay."""
    if event.what == "wait":
        return f"wait {event.wait_ms / 1000:g} s"
    variables = {v.name: v for v in program.variables}
    if event.what == "signal":
        return ", ".join(
            f"{name_of(variables[name])}: {value}" if variables[name].values == ("no", "yes") else f"{name_of(variables[name])} to {value}"
            for name, value in event.changes
        )  # fmt: skip
    name, value = event.changes[0]
    label = name_of(variables[name])
    if event.what == "set":
        return f"{label} to {value}"
    words = {"press": f"press {label} off" if was_on else f"press {label}", "release": f"let {label} go"}
    if event.what == "press" and variables[name].switch_kind == "momentary":
        return f"press and keep {label}"
    return words.get(event.what, f"{event.what} {label}")


def goal_words(program: Program, goal: Goal) -> str:
    """What a goal shows, in words."""
    functions = program.functions
    if goal.kind == "colour":
        return f"{program.devices[goal.device].id} {goal.colour}"
    if goal.kind == "override":
        return f"{functions[goal.function].name} over {functions[goal.over].name}"
    if goal.kind == "released":
        return f"{name_of(program.variables[goal.switch])} lets go by itself"
    if goal.kind == "gives way":
        return f"{name_of(program.variables[goal.switch])} gives way"
    name = functions[goal.function].name
    return f"{name} stops" if goal.kind == "stopped" else name
