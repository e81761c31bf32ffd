"""Programs for the tests of proofs: short ways to write one by hand, and a seeded maker of random ones."""

from __future__ import annotations

import random
from collections import Counter
from typing import Any

from rigbook.switching.program import (
    All,
    Any_,
    ConditionRef,
    Constant,
    Content,
    Device,
    DimEntry,
    DrivenPredicate,
    Entry,
    Feed,
    Function,
    Is,
    LitPredicate,
    Not,
    Pose,
    Program,
    Requirement,
    Rises,
    SeenPredicate,
    Span,
    Tap,
    Timeline,
    Variable,
)

STEADY = Timeline(1, (Span(0, 1, 1.0, 1.0),))
DARK = Content()


def blink(on_ms: int, off_ms: int, *, shift_ms: int = 0) -> Timeline:
    period_ms = on_ms + off_ms
    start = shift_ms % period_ms
    if start + on_ms <= period_ms:
        return Timeline(period_ms, (Span(start, start + on_ms, 1.0, 1.0),))
    return Timeline(period_ms, (Span(0, start + on_ms - period_ms, 1.0, 1.0), Span(start, period_ms, 1.0, 1.0)))


def show(colour: str, timeline: Timeline = STEADY, *, undimmed: bool = False) -> Content:
    return Content(channels=((colour, timeline),), undimmed=undimmed)


def latching(name: str, **more: Any) -> Variable:
    return Variable(name, "switch", ("no", "yes"), 0, False, 1, "t", switch_kind="latching", **more)


def slide(name: str, *positions: str, kind: Any = "slide") -> Variable:
    return Variable(name, "switch", positions, 0, True, 1, "t", switch_kind=kind)


def momentary(name: str, *, taps: bool = False) -> Variable:
    values = ("no", "pressed", "held") if taps else ("no", "yes")
    return Variable(
        name, "switch", values, 0, False, 1, "t", switch_kind="momentary", tap_under_ms=400 if taps else None
    )


def signal(name: str, *values: str, losable: bool = False, rest: int = 0) -> Variable:
    return Variable(name, "signal", values or ("no", "yes"), rest, bool(values), 1, "t", losable=losable)


def memory(name: str, **more: Any) -> Variable:
    return Variable(name, "memory", ("no", "yes"), 0, False, 1, "t", **more)


def stepping(name: str, *steps: str, **more: Any) -> Variable:
    return Variable(name, "memory", steps, 0, False, 1, "t", stepping=True, **more)


def timer(name: str, kind: Any, condition: Any, **more: Any) -> Variable:
    return Variable(
        name, "timer", ("no", "yes"), 0, False, 1, "t", timer_kind=kind, condition=condition, for_ms=1000, **more
    )


def function(name: str, when: Any, *, rank: int = 0, if_unknown: bool = False) -> Function:
    return Function(name, rank, when, if_unknown, "t", 1)


def lamp(name: str, *colours: str, entries: tuple[Entry, ...] = (), **more: Any) -> Device:
    zones = more.pop("zones", frozenset({"front"}))
    settings: dict[str, Any] = {
        "kind": "lamp", "tags": frozenset({"warning"}), "zones": zones, "states": (), "one_colour_at_a_time": False,
        "clock": "c", "rest": 0, "dims": (), "poses": (Pose(None, zones),), "feeds": (),
    }  # fmt: skip
    return Device(id=name, colours=colours, entries=entries, **(settings | more))


def device(name: str, *states: str, entries: tuple[Entry, ...] = (), rest: int, **more: Any) -> Device:
    settings: dict[str, Any] = {
        "kind": "device", "tags": frozenset(), "zones": frozenset(), "colours": (), "one_colour_at_a_time": False,
        "clock": "c", "dims": (), "poses": (), "feeds": (),
    }  # fmt: skip
    return Device(id=name, states=states, entries=entries, rest=rest, **(settings | more))


def program(**parts: Any) -> Program:
    """A program of these parts; everything else empty, the rest state as the variables say."""
    settings: dict[str, Any] = dict.fromkeys(
        ("variables", "conditions", "functions", "devices", "feeds", "exclusive", "impossible", "settle_order",
         "requirements", "modes", "shedding", "ranks"), ())  # fmt: skip
    settings |= {"contents": (DARK,), "warning_when": None}
    settings |= parts
    settings.setdefault("rest", tuple(v.rest for v in settings["variables"]))
    return Program(**settings)


ZONES = ("front", "right", "rear", "left")
COLOURS = ("blue", "white", "amber")


class Maker:
    """One random small program, and what it holds."""

    def __init__(self, seed: int) -> None:
        self.random = random.Random(seed)
        self.reached: Counter[str] = Counter()
        self.variables: list[Variable] = []
        self.conditions: list[tuple[str, Any]] = []

    def mark(self, what: str, chance: float = 1.0) -> bool:
        """Whether to use a construct, counted when used."""
        if chance < 1.0 and self.random.random() >= chance:
            return False
        self.reached[what] += 1
        return True

    def atom(self, pool: list[int]) -> Any:
        index = self.random.choice(pool)
        size = len(self.variables[index].values)
        if size == 2:
            return Is(index, frozenset((1,)))
        return Is(index, frozenset(self.random.sample(range(size), self.random.randint(1, size - 1))))

    def expression(self, pool: list[int], *, depth: int = 2, events: bool = False, predicates: Any = None) -> Any:
        r = self.random
        if predicates is not None and r.random() < 0.4:
            return predicates()
        if events and r.random() < 0.3:
            taps = [i for i in pool if len(self.variables[i].values) == 3 and self.variables[i].tap_under_ms]
            if taps and self.mark("tap", 0.6):
                return Tap(r.choice(taps))
            self.mark("rises")
            return Rises(self.expression(pool, depth=1))
        if depth == 0 or r.random() < 0.35:
            if self.conditions and self.mark("named condition", 0.2):
                return ConditionRef(r.randrange(len(self.conditions)))
            if self.mark("constant", 0.02):
                return Constant(r.random() < 0.5)
            return self.atom(pool)
        parts = tuple(
            self.expression(pool, depth=depth - 1, events=events, predicates=predicates) for _ in range(r.randint(2, 3))
        )
        kind = r.randrange(3)
        if kind == 0:
            self.mark("not")
            return Not(parts[0])
        if kind == 1:
            self.mark("and")
            return All(parts)
        self.mark("or")
        return Any_(parts)

    def make(self) -> Program:
        self._switches_and_signals()
        pool = list(range(len(self.variables)))
        for i in range(self.random.randint(0, 2)):
            self.conditions.append((f"c{i}", self.expression(pool)))
        self._memories_and_timers()
        pool = list(range(len(self.variables)))
        functions = tuple(
            function(
                f"f{i}", self.expression(pool), rank=self.random.randrange(2), if_unknown=self.mark("if_unknown", 0.3)
            )
            for i in range(self.random.randint(2, 6))
        )
        contents = self._contents()
        signals = [i for i, v in enumerate(self.variables) if v.kind == "signal"]
        feeds = self._feeds(signals)
        devices = self._devices(functions, contents, signals, len(feeds))
        made = program(
            variables=self._with_releases(),
            conditions=tuple(self.conditions),
            functions=functions,
            contents=tuple(contents),
            feeds=feeds,
            devices=devices,
            exclusive=self._exclusive(),
            impossible=tuple(
                (self.expression(signals, depth=1), "t", n) for n in range(2) if self.mark("impossible", 0.25)
            ),
            shedding=((2, self.expression(pool)),) if feeds and self.mark("shedding", 0.3) else (),
            warning_when=self.expression(pool) if self.mark("warning_when", 0.6) else None,
        )
        requirements = tuple(
            Requirement(f"r{n}", self.expression(pool, predicates=lambda: self._predicate(made)), "t", n)
            for n in range(3)
        )
        return Program(
            **{f: getattr(made, f) for f in made.__slots__ if f != "requirements"}, requirements=requirements
        )

    def _switches_and_signals(self) -> None:
        r = self.random
        makers = [
            lambda n: latching(n),
            lambda n: slide(n, "off", "one", "two"),
            lambda n: slide(n, "off", "left", "right", kind="rotary"),
            lambda n: momentary(n),
            lambda n: momentary(n, taps=True),
        ]
        for i in range(r.randint(1, 3)):
            self.variables.append(r.choice(makers)(f"s{i}"))
            self.mark(self.variables[-1].switch_kind)
        for i in range(r.randint(1, 3)):
            losable = self.mark("losable", 0.5)
            if self.mark("valued signal", 0.4):
                self.variables.append(signal(f"g{i}", "park", "reverse", "drive", losable=losable, rest=r.randrange(2)))
            else:
                self.variables.append(signal(f"g{i}", losable=losable))

    def _memories_and_timers(self) -> None:
        for i in range(self.random.randint(0, 2)):
            pool = list(range(len(self.variables)))
            event = {"events": True, "depth": 1}
            if self.mark("stepping memory", 0.4):
                first = self.expression(pool, depth=1) if self.mark("first_when", 0.6) else None
                self.variables.append(
                    stepping(f"m{i}", "a", "b", "c", next_on=self.expression(pool, **event), first_when=first)
                )
            else:
                self.mark("memory")
                clear = self.expression(pool, **event) if self.mark("clear_when", 0.7) else None
                self.variables.append(memory(f"m{i}", set_when=self.expression(pool, **event), clear_when=clear))
        for i in range(self.random.randint(0, 2)):
            pool = list(range(len(self.variables)))
            kind = self.random.choice(("off_delay", "on_delay", "pulse"))
            self.mark(kind)
            at_most = 5000 if kind == "off_delay" and self.mark("at_most", 0.4) else None
            self.variables.append(timer(f"t{i}", kind, self.expression(pool, depth=1), at_most_ms=at_most))

    def _with_releases(self) -> tuple[Variable, ...]:
        result = []
        for index, v in enumerate(self.variables):
            if v.switch_kind == "latching" and self.mark("releases_when", 0.3):
                pool = [i for i in range(len(self.variables)) if i != index]
                settings = {f: getattr(v, f) for f in v.__slots__ if f != "releases_when"}
                v = Variable(**settings, releases_when=self.expression(pool, depth=1))
            result.append(v)
        return tuple(result)

    def _exclusive(self) -> tuple[tuple[int, ...], ...]:
        group = tuple(i for i, v in enumerate(self.variables) if v.switch_kind == "latching")
        return (group,) if len(group) > 1 and self.mark("exclusive", 0.5) else ()

    def _contents(self) -> list[Content]:
        r = self.random
        contents = [DARK, Content(state="open"), Content(state="closed"), Content(state="wail")]
        for _ in range(5):
            timelines = [STEADY, blink(100, 300), blink(200, 200, shift_ms=100), blink(150, 250, shift_ms=300)]
            colours = r.sample(COLOURS, 2 if self.mark("two colours", 0.4) else 1)
            channels = tuple((c, r.choice(timelines)) for c in colours)
            contents.append(Content(channels=channels, undimmed=self.mark("undimmed", 0.2)))
        contents.append(Content(channels=(("amber", STEADY),), commanded=True))
        return contents

    def _feeds(self, signals: list[int]) -> tuple[Feed, ...]:
        feeds: list[Feed] = []
        for i in range(self.random.randint(0, 3)):
            self.mark("feed")
            feeds.append(
                Feed(
                    f"feed{i}",
                    above=i - 1 if i and self.mark("feed above", 0.5) else None,
                    live_when=self.expression(signals, depth=1) if self.mark("live_when", 0.5) else None,
                    through=0 if i and self.mark("relay", 0.4) else None,
                    sheds=self.random.randint(1, 3) if self.mark("sheds", 0.5) else None,
                )
            )
        return tuple(feeds)

    def _entries(self, functions: tuple[Function, ...], choices: list[int], kind: Any) -> tuple[Entry, ...]:
        chosen = self.random.sample(range(len(functions)), self.random.randint(0, min(4, len(functions))))
        chosen.sort(key=lambda f: (-functions[f].rank, -f))
        return tuple(
            Entry(f, "cut", 0) if self.mark("cut", 0.2) else Entry(f, kind, self.random.choice(choices)) for f in chosen
        )

    def _devices(
        self, functions: tuple[Function, ...], contents: list[Content], signals: list[int], feeds: int
    ) -> tuple[Device, ...]:
        r = self.random
        # The relay hangs on the first feed at most, which hangs on no relay: no circle.
        relay_feed = (("closed", 0),) if feeds and r.random() < 0.5 else ()
        made = [
            device("relay", "open", "closed", kind="relay", rest=1, feeds=relay_feed,
                   entries=self._entries(functions, [2], "drive")),
            device("siren", "standby", "wail", rest=0, feeds=(("wail", r.randrange(feeds)),) if feeds else (),
                   entries=self._entries(functions, [3], "drive")),
        ]  # fmt: skip
        for i in range(r.randint(2, 4)):
            factory = self.mark("factory lamp", 0.2)
            zones = frozenset(r.sample(ZONES, r.randint(0, 2)))
            poses = (Pose(None, zones),)
            if self.mark("pose", 0.3):
                poses = (Pose(self.expression(signals, depth=1), frozenset(r.sample(ZONES, 1))), *poses)
            dims = tuple(DimEntry(r.randrange(len(functions)), to) for to in (0.3, 0.6, 1.0) if self.mark("dim", 0.2))
            made.append(
                lamp(
                    f"l{i}", *COLOURS, zones=zones, poses=poses, dims=dims, rest=len(contents) - 1 if factory else 0,
                    kind="factory-lamp" if factory else "lamp",
                    tags=frozenset({"warning"}) if r.random() < 0.7 else frozenset(),
                    commanded_when=self.expression(signals, depth=1) if factory else None,
                    one_colour_at_a_time=self.mark("one colour", 0.6),
                    feeds=tuple((c, r.randrange(feeds)) for c in COLOURS if r.random() < 0.4) if feeds else (),
                    entries=self._entries(functions, list(range(4, len(contents) - 1)), "show"),
                )
            )  # fmt: skip
        return tuple(made)

    def _predicate(self, made: Program) -> Any:
        r = self.random
        lamps = [i for i, d in enumerate(made.devices) if d.colours]
        colour = r.choice((*COLOURS, None))
        what = r.choice(("lit", "all_lit", "steady", "flashing", "seen", "driven"))
        self.mark(what)
        if what == "seen":
            return SeenPredicate(r.choice(ZONES), colour)
        if what == "driven":
            return DrivenPredicate(*r.choice(((0, "closed"), (0, "open"), (1, "wail"))))
        return LitPredicate(what, tuple(sorted(r.sample(lamps, r.randint(1, len(lamps))))), colour)


CONSTRUCTS = frozenset(
    [
        "slide",
        "rotary",
        "latching",
        "momentary",
        "losable",
        "tap",
        "rises",
        "not",
        "and",
        "or",
        "constant",
        "memory",
        "clear_when",
        "first_when",
        "off_delay",
        "on_delay",
        "pulse",
        "at_most",
        "if_unknown",
        "releases_when",
        "exclusive",
        "impossible",
        "shedding",
        "warning_when",
        "feed",
        "live_when",
        "relay",
        "sheds",
        "cut",
        "dim",
        "undimmed",
        "pose",
        "lit",
        "all_lit",
        "steady",
        "flashing",
        "seen",
        "driven",
    ]
) | {"named condition", "valued signal", "stepping memory", "feed above", "two colours", "one colour", "factory lamp"}
