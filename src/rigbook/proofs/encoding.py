"""A switching program as a formula: one literal for everything that verdicts ask.

A yes/no variable is one Boolean, a many-valued one has a Boolean a value of which exactly one holds. What functions
see has two rails, *known to hold* and *known not to hold*; neither holds where lost signals leave it unknown. For
parts that read no signal that can be lost the rails are one literal and its negation, by sharing of gates. Decision
lists are chains, shared between devices and between lists with a common head.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from rigbook.proofs.contents import colours_together, is_steady, lit_colours
from rigbook.proofs.gates import FALSE, TRUE, Gates
from rigbook.proofs.reading import variables_of
from rigbook.switching.evaluate import feeds_of
from rigbook.switching.program import (
    All,
    Any_,
    ConditionRef,
    Constant,
    Content,
    Device,
    DrivenPredicate,
    Is,
    LitPredicate,
    Not,
    Program,
    RequirementExpression,
    Rises,
    SeenPredicate,
    Tap,
)

Rails = tuple[int, int]  # known to hold, known not to hold


class Encoding:
    """Literals of one program. With `base` and `fixed`, of the same program with one variable fixed to a value."""

    def __init__(self, program: Program, gates: Gates) -> None:
        self.program = program
        self.gates = gates
        self.values: list[list[int]] = []
        self.lost: list[int] = []
        for variable in program.variables:
            if len(variable.values) == 1:
                self.values.append([TRUE])
            elif len(variable.values) == 2:
                yes = gates.new()
                self.values.append([-yes, yes])
            else:
                literals = [gates.new() for _ in variable.values]
                gates.exactly_one(literals)
                self.values.append(literals)
            can_be_lost = variable.kind == "signal" and variable.losable
            self.lost.append(gates.new() if can_be_lost else FALSE)
        self._base: Encoding | None = None
        self._fixed = -1
        self._forget()

    def _forget(self) -> None:
        self._seen: dict[int, Rails] = {}
        self._true: dict[int, int] = {}
        self._memo: dict[tuple[Any, ...], int] = {}
        self._chains: dict[tuple[int, ...], list[int]] = {}
        self._reads: dict[int, frozenset[int]] = {}
        self._entries: dict[tuple[str, bool], list[tuple[int, Content, int]]] = {}
        self._doings: dict[int, list[int]] = {}

    def with_fixed(self, variable: int, value: int) -> Encoding:
        """The same program over the same variables, but for one that has this value; shares whatever does not read it."""
        copy = object.__new__(Encoding)
        copy.program, copy.gates, copy.lost = self.program, self.gates, self.lost
        copy.values = list(self.values)
        copy.values[variable] = [TRUE if i == value else FALSE for i in range(len(self.values[variable]))]
        copy._base, copy._fixed = self, variable
        copy._forget()
        return copy

    # --- expressions ------------------------------------------------------------------------------

    def _is(self, atom: Is) -> int:
        literals = self.values[atom.variable]
        if 0 in atom.values:
            return -self.gates.any_of(literals[i] for i in range(len(literals)) if i not in atom.values)
        return self.gates.any_of(literals[i] for i in atom.values)

    def truth(self, expression: RequirementExpression) -> int:
        """Whether it holds by the true values. An event is false."""
        gates = self.gates
        if isinstance(expression, Constant):
            return TRUE if expression.value else FALSE
        if isinstance(expression, Is):
            return self._is(expression)
        if isinstance(expression, Not):
            return -self.truth(expression.of)
        if isinstance(expression, All):
            return gates.all_of([self.truth(part) for part in expression.of])
        if isinstance(expression, Any_):
            return gates.any_of([self.truth(part) for part in expression.of])
        if isinstance(expression, ConditionRef):
            index = expression.condition
            if index not in self._true:
                self._true[index] = self.truth(self.program.conditions[index][1])
            return self._true[index]
        if isinstance(expression, Tap | Rises):
            return FALSE
        return self.predicate(expression)

    def rails(self, expression: RequirementExpression) -> Rails:
        """What functions see of it. An event is over when a state is looked at: it is false."""
        gates = self.gates
        if isinstance(expression, Is):
            holds, lost = self._is(expression), self.lost[expression.variable]
            return gates.all_of((holds, -lost)), gates.all_of((-holds, -lost))
        if isinstance(expression, Not):
            holds, fails = self.rails(expression.of)
            return fails, holds
        if isinstance(expression, All):
            parts = [self.rails(part) for part in expression.of]
            return gates.all_of([p[0] for p in parts]), gates.any_of([p[1] for p in parts])
        if isinstance(expression, Any_):
            parts = [self.rails(part) for part in expression.of]
            return gates.any_of([p[0] for p in parts]), gates.all_of([p[1] for p in parts])
        if isinstance(expression, ConditionRef):
            index = expression.condition
            if index not in self._seen:
                self._seen[index] = self.rails(self.program.conditions[index][1])
            return self._seen[index]
        if isinstance(expression, Tap | Rises):
            return FALSE, TRUE
        holds = self.truth(expression)
        return holds, -holds

    # --- functions, lists, feeds --------------------------------------------------------------------

    def active(self, function: int) -> int:
        """Whether the function is on."""
        return self._kept(("active", function), lambda: self._active(function))

    def _active(self, function: int) -> int:
        f = self.program.functions[function]
        if self._base is not None and self._fixed not in self._base.reads(function):
            return self._base.active(function)
        holds, fails = self.rails(f.when)
        return -fails if f.if_unknown else holds

    def reads(self, function: int) -> frozenset[int]:
        """Variables that the function's condition reads."""
        if function not in self._reads:
            self._reads[function] = variables_of(self.program, self.program.functions[function].when)
        return self._reads[function]

    def _kept(self, key: tuple[Any, ...], build: Any) -> int:
        literal = self._memo.get(key)
        if literal is None:
            literal = self._memo[key] = int(build())
        return literal

    def chain(self, functions: tuple[int, ...]) -> list[int]:
        """For a list of functions, most important first: which one decides; last, that none does."""
        known = self._chains.get(functions)
        if known is None:
            gates, none, known = self.gates, TRUE, []
            for function in functions:
                active = self.active(function)
                known.append(gates.all_of((none, active)))
                none = gates.all_of((none, -active))
            known.append(none)
            self._chains[functions] = known
        return known

    def entries(self, device: Device, *, cuts: bool = True) -> list[tuple[int, Content, int]]:
        """Entry number (-1: rest), content, and the literal that it decides."""
        known = self._entries.get((device.id, cuts))
        if known is None:
            known = self._entries[device.id, cuts] = list(self._listed(device, cuts))
        return known

    def _listed(self, device: Device, cuts: bool) -> Iterator[tuple[int, Content, int]]:
        numbers = [n for n, e in enumerate(device.entries) if cuts or e.kind != "cut"]
        chain = self.chain(tuple(device.entries[n].function for n in numbers))
        for number, decides in zip(numbers, chain, strict=False):
            yield number, self.program.contents[device.entries[number].content], decides
        yield -1, self.program.contents[device.rest], chain[-1]

    def live(self, feed: int | None) -> int:
        """Whether the feed is live."""
        return TRUE if feed is None else self._kept(("live", feed), lambda: self._live(feed))

    def powered(self, device: Device, channel: str) -> int:
        """Whether every feed that the colour or state hangs on is live."""
        if not device.feeds:
            return TRUE
        key = ("powered", device.id, channel)
        return self._kept(key, lambda: self.gates.all_of([self.live(f) for f in feeds_of(device, channel)]))

    def _live(self, feed: int) -> int:
        f = self.program.feeds[feed]
        needs = [self.live(f.above)]
        if f.live_when is not None:
            needs.append(self.truth(f.live_when))
        if f.through is not None:
            needs.append(self.in_state(f.through, "closed"))
        if f.sheds is not None:
            needs += [-self.rails(when)[0] for step, when in self.program.shedding if f.sheds <= step]
        return self.gates.all_of(needs)

    def present(self, device: Device, content: Content) -> int:
        """Whether a content shows what it says: what is left to the vehicle only while that commands it."""
        if not content.commanded:
            return TRUE
        return FALSE if device.commanded_when is None else self.truth(device.commanded_when)

    def shows(self, device: int, colour: str, *, steady: bool | None = None, cuts: bool = True) -> int:
        """Whether the lamp lights the colour: at all, steadily, or flashing."""
        return self._kept(("shows", device, colour, steady, cuts), lambda: self._shows(device, colour, steady, cuts))

    def _shows(self, device: int, colour: str, steady: bool | None, cuts: bool) -> int:
        d = self.program.devices[device]
        ways = []
        for _number, content, decides in self.entries(d, cuts=cuts):
            for name, timeline in content.channels:
                if name == colour and name in lit_colours(content) and steady in (None, is_steady(timeline)):
                    ways.append(self.gates.all_of((decides, self.present(d, content))))
        return self.gates.all_of((self.gates.any_of(ways), self.powered(d, colour)))

    def in_state(self, device: int, state: str) -> int:
        """Whether a device that is not a lamp is in the state, with a live feed."""
        return self._kept(("state", device, state), lambda: self._in_state(device, state))

    def _in_state(self, device: int, state: str) -> int:
        d = self.program.devices[device]
        # A relay without power goes to its rest.
        rests = d.kind == "relay" and self.program.contents[d.rest].state == state
        ways = []
        for _number, content, decides in self.entries(d):
            powered = FALSE if content.state is None else self.powered(d, content.state)
            if content.state == state:
                ways.append(self.gates.all_of((decides, powered)))
            if rests:
                ways.append(self.gates.all_of((decides, -powered)))
        return self.gates.any_of(ways)

    # --- predicates -----------------------------------------------------------------------------------

    def predicate(self, predicate: LitPredicate | SeenPredicate | DrivenPredicate) -> int:
        """Whether a predicate of a requirement holds."""
        if isinstance(predicate, DrivenPredicate):
            return self.in_state(predicate.device, predicate.state)
        if isinstance(predicate, SeenPredicate):
            return self.seen(predicate.zone, predicate.colour)
        if predicate.what == "all_lit":
            having = [i for i in predicate.devices if self._named(i, predicate.colour)]
            return self.gates.all_of([self.any_colour(i, predicate.colour) for i in having]) if having else FALSE
        steady = {"lit": None, "steady": True, "flashing": False}[predicate.what]
        return self.gates.any_of([self.any_colour(i, predicate.colour, steady=steady) for i in predicate.devices])

    def _named(self, device: int, colour: str | None) -> tuple[str, ...]:
        colours = self.program.devices[device].colours
        return colours if colour is None else tuple(c for c in colours if c == colour)

    def any_colour(self, device: int, colour: str | None, *, steady: bool | None = None, cuts: bool = True) -> int:
        """Whether the lamp lights the colour (None: any of its colours)."""
        return self.gates.any_of(
            [self.shows(device, name, steady=steady, cuts=cuts) for name in self._named(device, colour)]
        )

    def seen(self, zone: str, colour: str | None, *, only_warning: bool = False, cuts: bool = True) -> int:
        """Whether some lamp shows the colour toward the zone, in its present pose."""
        key = ("seen", zone, colour, only_warning, cuts)
        return self._kept(key, lambda: self._seen_in(zone, colour, only_warning, cuts))

    def _seen_in(self, zone: str, colour: str | None, only_warning: bool, cuts: bool) -> int:
        ways = []
        for i, device in enumerate(self.program.devices):
            if not only_warning or "warning" in device.tags:
                faces = self.faces(device, zone)
                if faces != FALSE:
                    ways.append(self.gates.all_of((self.any_colour(i, colour, cuts=cuts), faces)))
        return self.gates.any_of(ways)

    def faces(self, device: Device, zone: str) -> int:
        """Whether the device's present pose covers the zone: the first pose whose condition holds."""
        before, ways = TRUE, []
        for pose in device.poses:
            here = TRUE if pose.when is None else self.truth(pose.when)
            if zone in pose.zones:
                ways.append(self.gates.all_of((before, here)))
            before = self.gates.all_of((before, -here))
        return self.gates.any_of(ways)

    # --- what is asked of functions and devices ---------------------------------------------------------

    def felt(self, device: Device, number: int) -> int:
        """Whether a decision of this entry can be felt: one of the channels it speaks of has a live feed."""
        entry = device.entries[number]
        content = self.program.contents[entry.content]
        channels: Iterable[str]
        if entry.kind == "show":
            channels = lit_colours(content)
        elif entry.kind == "drive" and content.state is not None:
            channels = (content.state,)
        else:
            channels = (*device.colours, *device.states) or ("",)
        return self.gates.any_of([self.powered(device, c) for c in channels])

    def dimmable(self, device: Device) -> int:
        """Whether the lamp is lit by an entry of its list that dims touch."""
        return self._kept(("dimmable", device.id), lambda: self._dimmable(device))

    def _dimmable(self, device: Device) -> int:
        ways = []
        for number, content, decides in self.entries(device):
            if number >= 0 and device.entries[number].kind == "show" and not content.undimmed:
                live = self.gates.any_of([self.powered(device, c) for c in lit_colours(content)])
                ways.append(self.gates.all_of((decides, live)))
        return self.gates.any_of(ways)

    def dims(self, device: Device, number: int) -> int:
        """Whether this dim of the device sets its intensity: it is the first of the lowest that are on."""
        order = sorted(range(len(device.dims)), key=lambda n: (device.dims[n].to, n))
        before = [-self.active(device.dims[n].function) for n in order[: order.index(number)]]
        return self.gates.all_of((self.active(device.dims[number].function), *before, self.dimmable(device)))

    def effects(self) -> list[int]:
        """For each function, whether it decides a device whose feed is live, or dims one."""
        ways: list[list[int]] = [[] for _ in self.program.functions]
        for device in self.program.devices:
            for number, _content, decides in self.entries(device):
                if number >= 0:
                    both = self.gates.all_of((decides, self.felt(device, number)))
                    ways[device.entries[number].function].append(both)
            for number, dim in enumerate(device.dims):
                ways[dim.function].append(self.dims(device, number))
        return [self.gates.any_of(w) for w in ways]

    def two_colours(self, device: Device) -> int:
        """Whether the lamp is asked for two colours for a positive time."""
        ways = []
        for _number, content, decides in self.entries(device):
            for a, b in colours_together(content):
                live = (self.powered(device, a), self.powered(device, b))
                ways.append(self.gates.all_of((decides, *live, self.present(device, content))))
        return self.gates.any_of(ways)

    def dark(self, zone: str) -> Rails:
        """Whether warning is due and the zone sees none: and would not were cuts inactive, or would."""
        assert self.program.warning_when is not None
        due = self.truth(self.program.warning_when)
        dark = self.gates.all_of((due, -self.seen(zone, None, only_warning=True)))
        saved = self.seen(zone, None, only_warning=True, cuts=False)
        return self.gates.all_of((dark, -saved)), self.gates.all_of((dark, saved))

    def doings(self, device: int) -> list[int]:
        """Literals that together say what the device does; equal lists of values mean equal doings."""
        if device not in self._doings:
            self._doings[device] = self._all_doings(device)
        return self._doings[device]

    def affected(self) -> list[int]:
        """Devices that may do something else because one variable is fixed; the others share all their literals."""
        base, program = self._base, self.program
        assert base is not None
        functions = {f for f in range(len(program.functions)) if self.active(f) != base.active(f)}
        feeds = {f for f in range(len(program.feeds)) if self.live(f) != base.live(f)}
        return [
            i
            for i, d in enumerate(program.devices)
            if any(e.function in functions for e in d.entries)
            or any(dim.function in functions for dim in d.dims)
            or any(feed in feeds for _channel, feed in d.feeds)
            or self._fixed in variables_of(program, d.commanded_when)
        ]

    def _all_doings(self, device: int) -> list[int]:
        d = self.program.devices[device]
        shown: dict[Any, list[int]] = {}
        for _number, content, decides in self.entries(d):
            present = self.present(d, content)
            for colour, timeline in content.channels:
                if colour in lit_colours(content):
                    way = self.gates.all_of((decides, present, self.powered(d, colour)))
                    shown.setdefault((colour, timeline), []).append(way)
            if content.state is not None:
                shown[content.state] = [self.in_state(device, content.state)]
        levels: dict[float, list[int]] = {}
        for number, dim in enumerate(d.dims):
            if dim.to < 1:
                levels.setdefault(dim.to, []).append(self.dims(d, number))
        return [self.gates.any_of(ways) for ways in (*shown.values(), *levels.values())]
