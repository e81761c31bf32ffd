"""What a program does in a state: who decides each device, what is lit, what is driven, which feeds are live."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from rigbook.switching.logic import NONE_LOST, Closures, Lost, State
from rigbook.switching.program import (
    All,
    Any_,
    Content,
    Device,
    DimEntry,
    DrivenPredicate,
    Entry,
    LitPredicate,
    Not,
    Program,
    Requirement,
    RequirementExpression,
    SeenPredicate,
    Timeline,
)
from rigbook.switching.timeline import is_steady, scaled

EVERY_CHANNEL = "*"
"""In `Device.feeds`: the feed stands under every colour or state that no other line names."""

Lit = tuple[tuple[str, Timeline], ...]
DecisionList = tuple[tuple[Entry, ...], tuple[DimEntry, ...], int]


@dataclass(frozen=True, slots=True)
class Outcome:
    """One state worked out. Tuples are by device unless said otherwise.

    `active`: by function, after `if_unknown`. `deciding`: function index or None. `content`: index of what the list
    decided, rest where none did. `factor`: 0 to 1, what active dims leave. `dimmed_by`: the dim that set it.
    `feeds_live`: by feed. `lit`: colour and timeline of what burns after dims and feeds. `driven`: state a device is
    in, None without power or for lamps. `zones`: where it shows with its present pose."""

    active: tuple[bool, ...]
    deciding: tuple[int | None, ...]
    content: tuple[int, ...]
    factor: tuple[float, ...]
    dimmed_by: tuple[int | None, ...]
    feeds_live: tuple[bool, ...]
    lit: tuple[Lit, ...]
    driven: tuple[str | None, ...]
    zones: tuple[frozenset[str], ...]


@dataclass(frozen=True, slots=True)
class Decision:
    """What one decision list came to."""

    function: int | None
    content: int
    factor: float
    dimmed_by: int | None


class Evaluator:
    """Repeated evaluation of one program. Holds closures and a memory of lit timelines; no other state."""

    def __init__(self, program: Program) -> None:
        self.program = program
        closures = Closures(program)
        self.closures = closures
        self._when2 = tuple(closures.two(f.when) for f in program.functions)
        self._when3 = tuple(closures.three(f.when) for f in program.functions)
        self._unknown = tuple(f.if_unknown for f in program.functions)
        self._live_when = tuple(None if f.live_when is None else closures.two(f.live_when) for f in program.feeds)
        self._sheds = tuple((step, closures.known(when)) for step, when in program.shedding)
        self._commanded = tuple(
            None if d.commanded_when is None else closures.two(d.commanded_when) for d in program.devices
        )
        self._poses = tuple(
            tuple((None if p.when is None else closures.two(p.when), p.zones) for p in d.poses) for d in program.devices
        )
        self._closed_zones = tuple(d.poses[-1].zones if len(d.poses) == 1 else None for d in program.devices)
        self._requirements: dict[RequirementExpression, Callable[[State, Outcome], bool]] = {}
        self._lit: dict[tuple[int, float, tuple[bool, ...] | None, bool], Lit] = {}
        lists: dict[DecisionList, int] = {}
        self._list_of = tuple(lists.setdefault((d.entries, d.dims, d.rest), len(lists)) for d in program.devices)
        self._lists = tuple(lists)

    # -- functions and decisions

    def active(self, state: State, lost: Lost = NONE_LOST) -> tuple[bool, ...]:
        """By function: whether it acts; with an unknown condition as its `if_unknown` says."""
        if not lost:
            return tuple(when(state) for when in self._when2)
        found = []
        for when, unknown in zip(self._when3, self._unknown, strict=True):
            value = when(state, lost)
            found.append(unknown if value is None else value)
        return tuple(found)

    def decisions(self, active: tuple[bool, ...]) -> tuple[Decision, ...]:
        """By device: what its list decides."""
        per_list = [self._decide(one, active) for one in self._lists]
        return tuple(per_list[number] for number in self._list_of)

    def _decide(self, one: DecisionList, active: tuple[bool, ...]) -> Decision:
        entries, dims, rest = one
        for entry in entries:
            if active[entry.function]:
                break
        else:
            return Decision(None, rest, 1.0, None)
        if entry.kind == "show" and not self.program.contents[entry.content].undimmed:
            for dim in dims:
                if active[dim.function]:
                    return Decision(entry.function, entry.content, dim.to, dim.function)
        return Decision(entry.function, entry.content, 1.0, None)

    # -- feeds

    def feeds_live(self, state: State, decisions: tuple[Decision, ...], lost: Lost = NONE_LOST) -> tuple[bool, ...]:
        """By feed: live by its own condition, the feed above, its relay, and not shed."""
        feeds = self.program.feeds
        if not feeds:
            return ()
        shed = max((step for step, when in self._sheds if when(state, lost)), default=0)
        known: dict[int, bool] = {}

        def live(index: int) -> bool:
            if index not in known:
                feed = feeds[index]
                when = self._live_when[index]
                known[index] = (
                    (when is None or when(state))
                    and not (feed.sheds is not None and feed.sheds <= shed)
                    and (feed.above is None or live(feed.above))
                    and (feed.through is None or closed(feed.through))
                )
            return known[index]

        def closed(relay: int) -> bool:
            device = self.program.devices[relay]
            decided = self.program.contents[decisions[relay].content].state
            if decided is not None and all(live(f) for f in feeds_of(device, decided)):
                return decided == "closed"
            return self.program.contents[device.rest].state == "closed"

        return tuple(live(index) for index in range(len(feeds)))

    # -- the whole

    def outcome(self, state: State, lost: Lost = NONE_LOST) -> Outcome:
        """Work out one state. `lost` holds indexes of data-bus signals."""
        active = self.active(state, lost)
        decisions = self.decisions(active)
        feeds = self.feeds_live(state, decisions, lost)
        devices = self.program.devices
        return Outcome(
            active=active,
            deciding=tuple(d.function for d in decisions),
            content=tuple(d.content for d in decisions),
            factor=tuple(d.factor for d in decisions),
            dimmed_by=tuple(d.dimmed_by for d in decisions),
            feeds_live=feeds,
            lit=tuple(self._lit_of(i, decisions[i], state, feeds) for i in range(len(devices))),
            driven=tuple(self._driven_of(devices[i], decisions[i], feeds) for i in range(len(devices))),
            zones=tuple(
                self.present_zones(i, state) if zones is None else zones for i, zones in enumerate(self._closed_zones)
            ),
        )

    def _lit_of(self, index: int, decision: Decision, state: State, feeds: tuple[bool, ...]) -> Lit:
        content = self.program.contents[decision.content]
        if not content.channels:
            return ()
        commanded = True
        if content.commanded:
            when = self._commanded[index]
            commanded = when is not None and when(state)
        device = self.program.devices[index]
        lives: tuple[bool, ...] | None = None
        if device.feeds:
            lives = tuple(all(feeds[f] for f in feeds_of(device, colour)) for colour, _ in content.channels)
        key = (decision.content, decision.factor, lives, commanded)
        found = self._lit.get(key)
        if found is None:
            found = self._lit[key] = lit_channels(content, decision.factor, lives, commanded)
        return found

    def _driven_of(self, device: Device, decision: Decision, feeds: tuple[bool, ...]) -> str | None:
        state = self.program.contents[decision.content].state
        if state is not None and (not device.feeds or all(feeds[f] for f in feeds_of(device, state))):
            return state
        if device.kind == "relay":
            return self.program.contents[device.rest].state
        return None

    def present_zones(self, index: int, state: State) -> frozenset[str]:
        """Zones a device shows to with its present pose (true values)."""
        for when, zones in self._poses[index]:
            if when is None or when(state):
                return zones
        return frozenset()

    # -- requirements

    def requirement_holds(self, requirement: Requirement, state: State, lost: Lost = NONE_LOST) -> bool:
        """Whether a `require` line holds: names by true values, predicates by what happens with `lost`."""
        return not self.expression_holds(requirement.never, state, self.outcome(state, lost))

    def expression_holds(self, expression: RequirementExpression, state: State, outcome: Outcome) -> bool:
        """A requirement expression on an outcome of the state."""
        test = self._requirements.get(expression)
        if test is None:
            test = self._requirements[expression] = self._test(expression)
        return test(state, outcome)

    def _test(self, expression: RequirementExpression) -> Callable[[State, Outcome], bool]:
        match expression:
            case Not(of):
                inner = self._test(of)
                return lambda s, o: not inner(s, o)
            case All(of):
                every = tuple(self._test(part) for part in of)
                return lambda s, o: all(part(s, o) for part in every)
            case Any_(of):
                some = tuple(self._test(part) for part in of)
                return lambda s, o: any(part(s, o) for part in some)
            case LitPredicate():
                return lambda s, o: lit_predicate(self.program, expression, o)
            case SeenPredicate(zone, colour):
                return lambda s, o: bool(seen_by(o, zone, colour))
            case DrivenPredicate(device, driven):
                return lambda s, o: o.driven[device] == driven
            case _:
                plain = self.closures.two(expression)
                return lambda s, o: plain(s)


def feeds_of(device: Device, channel: str) -> tuple[int, ...]:
    """Feeds that must be live for a colour or state of a device; none: always live."""
    own = tuple(feed for name, feed in device.feeds if name == channel)
    return own or tuple(feed for name, feed in device.feeds if name == EVERY_CHANNEL)


def lit_channels(content: Content, factor: float, lives: tuple[bool, ...] | None, commanded: bool) -> Lit:
    """Colours of a content that burn, scaled by the dims' factor. `lives` is None where all are live."""
    if not commanded:
        return ()
    pairs = zip(content.channels, lives or (True,) * len(content.channels), strict=True)
    return tuple((colour, scaled(timeline, factor)) for (colour, timeline), live in pairs if live and timeline.spans)


def lit_predicate(program: Program, predicate: LitPredicate, outcome: Outcome) -> bool:
    """`lit`, `all_lit`, `steady`, `flashing` on an outcome."""
    colour = predicate.colour
    if predicate.what == "all_lit":
        able = [i for i in predicate.devices if colour is None or colour in program.devices[i].colours]
        return bool(able) and all(any(colour in (None, c) for c, _ in outcome.lit[i]) for i in able)
    shown = (timeline for i in predicate.devices for c, timeline in outcome.lit[i] if colour in (None, c))
    if predicate.what == "lit":
        return any(True for _ in shown)
    return any(is_steady(timeline) == (predicate.what == "steady") for timeline in shown)


def seen_by(outcome: Outcome, zone: str, colour: str | None = None) -> tuple[int, ...]:
    """Devices that show a colour (None: any) toward a zone."""
    return tuple(
        i
        for i, lit in enumerate(outcome.lit)
        if lit and zone in outcome.zones[i] and any(colour in (None, c) for c, _ in lit)
    )


def evaluate(program: Program, state: State, lost: Lost = NONE_LOST) -> Outcome:
    """One outcome of one state; for many states make one `Evaluator`."""
    return Evaluator(program).outcome(state, lost)


def requirement_holds(program: Program, requirement: Requirement, state: State, lost: Lost = NONE_LOST) -> bool:
    """One requirement in one state; for many states make one `Evaluator`."""
    return Evaluator(program).requirement_holds(requirement, state, lost)
