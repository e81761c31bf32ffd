"""What an inspection walk has to show: every function, lamp colour, override and interlock, each once.

A **goal** of a state is looked at in the state alone:

- *function*: it decides some device, and that differs from what the device would do without it; or it dims what burns;
- *colour*: a lamp shows the colour;
- *override*: a function takes a device from another one that is on, and that can be seen.

A goal of a step, an *interlock*, is looked at in the step: a switch that its `releases_when` lets go, a switch that
gives way to another of its `exclusive` group, and a function that needs a switch and is stopped by a signal alone.

Nothing is lost in a walk. What differs only behind a dead feed differs for nobody.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from typing import Literal

from rigbook.proofs.contents import lit_spans
from rigbook.proofs.encoding import Encoding
from rigbook.proofs.gates import FALSE, TRUE
from rigbook.switching.evaluate import Evaluator, feeds_of
from rigbook.switching.logic import State
from rigbook.switching.plain_words import depends_on
from rigbook.switching.program import Content, Device, Program

Kind = Literal["function", "colour", "override", "released", "gives way", "stopped"]
REST = -1


@dataclass(frozen=True, slots=True)
class Goal:
    """One thing to be shown.

    function: of `function`, `override`, `stopped`. over: the function that an override takes a device from.
    device, colour: of `colour`. switch: variable of `released` and `gives way`.
    """

    kind: Kind
    function: int = -1
    over: int = -1
    device: int = -1
    colour: str = ""
    switch: int = -1


Channel = tuple[str, object]


def _channels(content: Content) -> tuple[Channel, ...]:
    """What a content shows: colours that burn with their timelines, and the state of a device."""
    # sorted: the order in which a content names its colours shows nothing
    burning = sorted((pair for pair in content.channels if lit_spans(pair[1])), key=lambda pair: pair[0])
    return (*burning, *(((content.state, None),) if content.state is not None else ()))


def goals_of(program: Program) -> tuple[Goal, ...]:
    """Every goal that the program's text gives, in a fixed order; some may be out of reach."""
    found: dict[Goal, None] = {}
    for number in range(len(program.functions)):
        found[Goal("function", function=number)] = None
    for index, device in enumerate(program.devices):
        if device.entries:
            for colour in device.colours:
                found[Goal("colour", device=index, colour=colour)] = None
    for device in program.devices:
        for upper, lower in _pairs(program, device):
            if lower != REST:
                above, below = device.entries[upper].function, device.entries[lower].function
                found[Goal("override", function=above, over=below)] = None
    for index, variable in enumerate(program.variables):
        if variable.releases_when is not None:
            found[Goal("released", switch=index)] = None
    for group in program.exclusive:
        for index in group if len(group) > 1 else ():
            found[Goal("gives way", switch=index)] = None
    for number, function in enumerate(program.functions):
        kinds = {program.variables[v].kind for v in depends_on(program, function.when)}
        if {"switch", "signal"} <= kinds:
            found[Goal("stopped", function=number)] = None
    return tuple(found)


def _pairs(program: Program, device: Device) -> Iterator[tuple[int, int]]:
    """Entries (upper, lower; `REST` for rest) of a list that differ in what they show."""
    contents = [_channels(program.contents[e.content]) for e in device.entries]
    for upper, content in enumerate(contents):
        for lower in range(upper + 1, len(contents)):
            if contents[lower] != content:
                yield upper, lower
        yield upper, REST


# --- as literals: what can be reached at all -----------------------------------------------------------------------


def literals_of(encoding: Encoding, goals: tuple[Goal, ...]) -> dict[Goal, int]:
    """A literal for each goal of a state. A step's goal has that of the state before it: what must be on at least."""
    program, gates = encoding.program, encoding.gates
    shown: dict[int, list[int]] = {}
    over: dict[tuple[int, int], list[int]] = {}
    seen: set[tuple[object, ...]] = set()
    for device in program.devices:
        key = (device.entries, device.dims, device.rest, device.feeds, device.commanded_when, device.kind)
        if key in seen:
            continue
        seen.add(key)
        for upper, lower in _pairs(program, device):
            literal = _takes(encoding, device, upper, lower)
            function = device.entries[upper].function
            shown.setdefault(function, []).append(literal)
            if lower != REST:
                over.setdefault((function, device.entries[lower].function), []).append(literal)
        for number, dim in enumerate(device.dims):
            if dim.to < 1:
                shown.setdefault(dim.function, []).append(encoding.dims(device, number))
    nothing_lost = [-literal for literal in encoding.lost]
    found = {}
    for goal in goals:
        if goal.kind in ("function", "stopped"):
            literal = gates.any_of(shown.get(goal.function, ()))
        elif goal.kind == "override":
            literal = gates.any_of(over[goal.function, goal.over])
        elif goal.kind == "colour":
            literal = encoding.shows(goal.device, goal.colour)
        else:
            literal = encoding.values[goal.switch][1]
        found[goal] = gates.all_of((literal, *nothing_lost))
    return found


def _takes(encoding: Encoding, device: Device, upper: int, lower: int) -> int:
    """Whether the upper entry decides, the lower one would without it, and that can be told apart."""
    program, gates = encoding.program, encoding.gates
    chain = encoding.chain(tuple(e.function for e in device.entries))
    end = len(device.entries) if lower == REST else lower
    parts = [chain[upper], *(-encoding.active(device.entries[k].function) for k in range(upper + 1, end))]
    if lower != REST:
        parts.append(encoding.active(device.entries[lower].function))
    one = program.contents[device.entries[upper].content]
    other = program.contents[device.rest if lower == REST else device.entries[lower].content]
    ours, theirs = _showing(encoding, device, one), _showing(encoding, device, other)
    differ = [gates.differ(ours.get(c, FALSE), theirs.get(c, FALSE)) for c in {**ours, **theirs}]
    return gates.all_of((*parts, gates.any_of(differ)))


def _showing(encoding: Encoding, device: Device, content: Content) -> dict[Channel, int]:
    """For each channel of a content, whether it is shown where the content decides."""
    gates = encoding.gates
    present = encoding.present(device, content)
    found = {c: gates.all_of((encoding.powered(device, c[0]), present)) for c in _channels(content)}
    if device.kind == "relay":  # without power it goes to its rest
        for rest in _channels(encoding.program.contents[device.rest]):
            found[rest] = TRUE if rest in found else gates.all_of([-literal for literal in found.values()])
    return found


# --- as looked at: what a state and a step show --------------------------------------------------------------------


class Viewer:
    """What states and steps show, as sets of goals in bits. Remembers states; no other state."""

    def __init__(self, program: Program, goals: tuple[Goal, ...]) -> None:
        self.program = program
        self.goals = goals
        self.bit = {goal: 1 << n for n, goal in enumerate(goals)}
        self._evaluator = Evaluator(program)
        self._shown: dict[State, tuple[int, tuple[bool, ...]]] = {}
        self._feeds: dict[tuple[int, tuple[bool, ...]], int] = {}
        self._groups = self._grouped()
        relays = (program.devices[f.through] for f in program.feeds if f.through is not None)
        self._switching_feeds = _bits({e.function for d in relays for e in d.entries})
        closures = self._evaluator.closures
        self._commanded = [
            None if d.commanded_when is None else closures.two(d.commanded_when) for d in program.devices
        ]
        read = [f.live_when for f in program.feeds] + [w for _, w in program.shedding]
        read += [d.commanded_when for d in program.devices]
        self._facts = tuple(closures.two(e) for e in dict.fromkeys(e for e in read if e is not None))
        self._contents = [_channels(c) for c in program.contents]
        self._stops = [(g.function, self.bit[g], self.bit.get(Goal("function", function=g.function), 0))
                       for g in goals if g.kind == "stopped"]  # fmt: skip
        self._releases = [(g.switch, self.bit[g]) for g in goals if g.kind == "released"]
        self._gives = [(g.switch, self.bit[g]) for g in goals if g.kind == "gives way"]

    def _grouped(self) -> list[_Group]:
        """Devices that always do the same, together; devices that no function names are of no interest."""
        groups: dict[tuple[object, ...], list[int]] = {}
        for index, d in enumerate(self.program.devices):
            if d.entries:
                groups.setdefault((d.entries, d.dims, d.rest, d.feeds, d.commanded_when, d.kind), []).append(index)
        found = []
        for members in groups.values():
            d = self.program.devices[members[0]]
            functions = _bits({e.function for e in d.entries} | {dim.function for dim in d.dims})
            found.append(_Group(members[0], tuple(members), functions, _bits({feed for _, feed in d.feeds})))
        return found

    def state(self, state: State) -> int:
        """Goals that a state shows, nothing lost."""
        return self._of(state)[0]

    def _of(self, state: State) -> tuple[int, tuple[bool, ...]]:
        known = self._shown.get(state)
        if known is None:
            known = self._shown[state] = self._look(state)
        return known

    def step(self, before: State, after: State, *, moved: int) -> int:
        """Goals that one step shows: those of the state after it, and interlocks. `moved`: the switch that was
        operated, or -1 for a signal or a wait."""
        was, _ = self._of(before)
        mask, active = self._of(after)
        for switch, bit in self._releases:
            if before[switch] and not after[switch] and switch != moved and self._lets_go(switch, after):
                mask |= bit
        for switch, bit in self._gives:
            lost = before[switch] and not after[switch] and moved not in (-1, switch)
            if lost and any(switch in g and moved in g for g in self.program.exclusive):
                mask |= bit
        if moved == -1:
            for function, bit, shown in self._stops:
                if was & shown and not active[function]:
                    mask |= bit
        return mask

    def _lets_go(self, switch: int, state: State) -> bool:
        when = self.program.variables[switch].releases_when
        return when is not None and self._evaluator.closures.two(when)(state)

    def _look(self, state: State) -> tuple[int, tuple[bool, ...]]:
        active = self._evaluator.active(state)
        on = _bits(f for f, acts in enumerate(active) if acts)
        facts = tuple(fact(state) for fact in self._facts)
        key = (on & self._switching_feeds, facts)
        feeds = self._feeds.get(key)
        if feeds is None:
            live = self._evaluator.feeds_live(state, self._evaluator.decisions(active))
            feeds = self._feeds[key] = _bits(f for f, alive in enumerate(live) if alive)
        mask = 0
        for group in self._groups:
            when = self._commanded[group.first]
            look = (on & group.functions, feeds & group.feeds, when is not None and when(state))
            shown = group.shown.get(look)
            if shown is None:
                shown = group.shown[look] = self._shown_by(group, *look)
            mask |= shown
        return mask, active

    def _shown_by(self, group: _Group, on: int, feeds: int, commanded: bool) -> int:
        """Goals that one group of devices shows."""
        device, bit = self.program.devices[group.first], self.bit
        acting = [e for e in device.entries if on >> e.function & 1]
        now = self._seen(device, acting[0].content if acting else device.rest, feeds, commanded)
        mask = 0
        for colour, _timeline in now:
            for member in group.members:
                mask |= bit.get(Goal("colour", device=member, colour=colour), 0)
        if not acting:
            return mask
        first = acting[0]
        if now != self._seen(device, acting[1].content if len(acting) > 1 else device.rest, feeds, commanded):
            mask |= bit.get(Goal("function", function=first.function), 0)
            if len(acting) > 1:
                mask |= bit.get(Goal("override", function=first.function, over=acting[1].function), 0)
        if now and first.kind == "show" and not self.program.contents[first.content].undimmed:
            dims = [dim for dim in device.dims if on >> dim.function & 1]
            if dims and dims[0].to < 1:
                mask |= bit.get(Goal("function", function=dims[0].function), 0)
        return mask

    def _seen(self, device: Device, content: int, feeds: int, commanded: bool) -> tuple[Channel, ...]:
        """What a device shows of a content: channels with live feeds."""
        if self.program.contents[content].commanded and not commanded:
            return ()
        alive = self._contents[content]
        if device.feeds:
            alive = tuple(c for c in alive if all(feeds >> f & 1 for f in feeds_of(device, c[0])))
        # a relay without power goes to its rest
        return self._contents[device.rest] if device.kind == "relay" and not alive else alive


@dataclass(frozen=True, slots=True, eq=False)
class _Group:
    """Devices that always do the same: the first, all, the functions and feeds that touch them (in bits), and what
    they were found to show."""

    first: int
    members: tuple[int, ...]
    functions: int
    feeds: int
    shown: dict[tuple[int, int, bool], int] = field(default_factory=dict)


def _bits(numbers: Iterable[int]) -> int:
    found = 0
    for number in numbers:
        found |= 1 << number
    return found
