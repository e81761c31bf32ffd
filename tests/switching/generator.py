"""Seeded random programs through the real compiler, reaching every construct of the language.

`generate(seed, size)` gives a compiled program and what it was made of; `report(programs)` the share of programs in
which each construct of `CONSTRUCTS` stands. Sizes: `small` has at most 4,096 combinations of values (brute force),
`medium` is for stepping and comparing evaluators.
"""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Any, Literal

from rigbook.documents.schema.base import Placed, Where
from rigbook.documents.schema.switching import Signal, Switching
from rigbook.switching.compile import compile_program
from rigbook.switching.language import parse_selector
from rigbook.switching.program import DeviceFacts, FeedFacts, PoseFacts, Program
from rigbook.switching.selectors import Selectors, selectors_of
from rigbook.switching.trouble import Trouble

Size = Literal["small", "medium"]
ORDERS = ("left-to-right", "right-to-left", "front-to-rear", "rear-to-front", "out-to-in", "in-to-out")
CONSTRUCTS = (
    *("slide", "rotary", "rocker", "latching", "momentary", "tap_under", "springs_back", "releases_when", "exclusive"),
    *("yes-no signal", "signal values", "signal rest", "data-bus", "wire settles", "broken_reads", "measured below"),
    *("measured above", "vehicle signal", "impossible", "vehicle impossible", "condition", "condition of conditions"),
    *(
        "condition of memory or timer",
        "set_when",
        "clear_when",
        "starts",
        "set on tap",
        "set on rises",
        "clear on event",
    ),
    *("steps", "next_on tap", "next_on level", "next_on mixed", "first_when", "off_delay", "at_most", "on_delay"),
    *("pulse level", "pulse event", "again_after", "timer of memory or timer", "and", "or", "not", "==", "!=", "in"),
    *("<", "<=", ">", ">=", "parentheses", "held", "literal", "bare name", "bare tapped switch"),
    *("selector id", "selector row", "selector row.n", "selector tag", "selector zone", "selector half"),
    *("selector level", "selector inside", "selector &", "selector -", "selector list"),
    *("show", "colours", "steady", "pattern", "shipped pattern", "own pattern", "phase", "phase map", "intensity"),
    *("fill", "walk", *ORDERS, "shared rank", "undimmed", "dim", "two dims", "cut", "drive", "drive a relay"),
    *("if_unknown on", "lamps that lack it", "equal rank", "factory lamp", "factory lamp shown", "commanded_when"),
    *("open pose", "one colour at a time", "own clock", "feed", "feed above", "live_when", "through a relay", "sheds"),
    *(
        "shedding",
        "feed per colour",
        "rest state",
        "relay rests closed",
        "never",
        "always",
        "lit",
        "all_lit",
        "steady of",
    ),
    *("flashing", "seen", "driven", "any colour", "mode", "warning_when", "role"),
)


@dataclass(frozen=True)
class Generated:
    """A random program and what the compiler was given."""

    seed: int
    size: Size
    program: Program
    constructs: frozenset[str]
    section: Switching
    given: dict[str, Any] = field(hash=False)


def generate(seed: int, size: Size = "small") -> Generated:
    """The program of a seed. Equal seed and size, equal program."""
    maker = _Maker(random.Random(f"{size}-{seed}"), size)
    section, given = maker.make()
    compiled = compile_program(section, **given)
    assert compiled.program is not None, (seed, compiled.problems)
    if any("stay as they are" in note.says for note in compiled.notes):
        maker.use("lamps that lack it")
    unknown = maker.used - set(CONSTRUCTS)
    assert not unknown, unknown
    return Generated(seed, size, compiled.program, frozenset(maker.used), section, given)


def report(programs: Iterable[Generated]) -> dict[str, float]:
    """Share of programs that hold each construct, in the order of `CONSTRUCTS`."""
    counts: Counter[str] = Counter()
    total = 0
    for made in programs:
        total += 1
        counts.update(made.constructs)
    return {name: counts[name] / total for name in CONSTRUCTS}


def random_state(program: Program, rng: random.Random) -> tuple[int, ...]:
    """Any combination of values, reachable or not."""
    return tuple(rng.randrange(len(v.values)) for v in program.variables)


def random_lost(program: Program, rng: random.Random) -> frozenset[int]:
    """Half the time none; else some of the signals that can be lost."""
    losable = [i for i, v in enumerate(program.variables) if v.losable]
    if not losable or rng.random() < 0.5:
        return frozenset()
    return frozenset(i for i in losable if rng.random() < 0.6)


Event = tuple[str, Any]


def random_events(program: Program, rng: random.Random, count: int) -> list[Event]:
    """Events for a stepper; some cannot be and must be refused alike."""
    switches = [v for v in program.variables if v.kind == "switch"]
    signals = [v for v in program.variables if v.kind == "signal"]
    losable = [v.name for v in program.variables if v.losable]
    found: list[Event] = []
    while len(found) < count:
        what = rng.choice(["switch", "switch", "switch", "signal", "signal", "lost", "wait", "wait"])
        if what == "switch" and switches:
            found.append(_switch_event(rng.choice(switches), rng))
        elif what == "signal" and signals:
            found.append(_signal_event(signals, rng))
        elif what == "lost" and losable:
            found.append((rng.choice(["lose", "restore"]), rng.choice(losable)))
        else:
            found.append(("wait", rng.choice([0, 1, 50, 100, 149, 150, 200, 250, 399, 400, 500, 1000, 2000, 5000])))
    return found


def _switch_event(switch: Any, rng: random.Random) -> Event:
    if switch.switch_kind == "momentary":
        return (rng.choice(["press", "release", "release", "tap", "tap", "hold"]), switch.name)
    if switch.switch_kind == "latching":
        return ("press", switch.name)
    if switch.springs_back and rng.random() < 0.4:
        return ("release", switch.name)
    return ("set", {switch.name: rng.choice(switch.values)})


def _signal_event(signals: Sequence[Any], rng: random.Random) -> Event:
    chosen = rng.sample(signals, min(len(signals), rng.choice([1, 1, 1, 2, 3])))
    measured = chosen[0]
    if measured.threshold is not None and rng.random() < 0.7:
        at, clears = measured.threshold.at, measured.threshold.clears
        return (
            "measure",
            [measured.name, rng.choice([at - 1, at, (at + clears) / 2, clears, clears + 1, at + 1, clears - 1])],
        )
    return ("set", {s.name: rng.choice(s.values) for s in chosen})


@dataclass
class _Maker:
    rng: random.Random
    size: Size
    used: set[str] = field(default_factory=set)
    states: int = 1
    comparable: dict[str, tuple[tuple[str, ...], bool]] = field(default_factory=dict)
    bare: list[str] = field(default_factory=list)
    tapped: list[str] = field(default_factory=list)
    signals: dict[str, tuple[tuple[str, ...], bool]] = field(default_factory=dict)
    rest_of: dict[str, str] = field(default_factory=dict)

    def use(self, *constructs: str) -> None:
        self.used.update(constructs)

    def some(self, chance: float) -> bool:
        return self.rng.random() < chance

    def room(self, values: int) -> bool:
        """Whether another variable of so many values fits the size; if so it is counted."""
        most = 4096 if self.size == "small" else 10**9
        if self.states * values > most:
            return False
        self.states *= values
        return True

    # -- the whole

    def make(self) -> tuple[Switching, dict[str, Any]]:
        small = self.size == "small"
        named = ("gear", "door", "shore")[: self.rng.randint(1, 2) if small else 3]
        vehicle = [s for s in (self.signal(n, vehicle=True) for n in named) if s]
        switches = [s for s in (self.switch(f"switch_{n}") for n in range(self.rng.randint(2, 4 if small else 6))) if s]
        signals = [s for s in (self.signal(f"signal_{n}") for n in range(self.rng.randint(0, 2 if small else 3))) if s]
        for switch in switches:
            if switch["kind"] == "latching" and self.some(0.4):
                switch["releases_when"] = self.expression(1)
                self.use("releases_when")
        section: dict[str, Any] = {"switches": switches, "signals": signals}
        section["exclusive"] = self.exclusive(switches)
        vehicle_impossible = self.impossible([s["id"] for s in vehicle], "vehicle impossible")
        section["impossible"] = self.impossible([s["id"] for s in (*vehicle, *signals)], "impossible")
        section["conditions"] = self.conditions("condition")
        section["memory"] = [m for m in (self.memory(f"memory_{n}") for n in range(self.rng.randint(0, 2))) if m]
        section["timers"] = [t for t in (self.timer(f"timer_{n}") for n in range(self.rng.randint(0, 2))) if t]
        inner = [m["id"] for m in (*section["memory"], *section["timers"])]
        if inner and self.some(0.5):
            name = self.rng.choice(inner)
            bare = name in self.bare
            section["conditions"]["late"] = f"not {name}" if bare else f"{name} != {self.comparable[name][0][0]}"
            self.bare.append("late")
            self.use("condition of memory or timer", "not" if bare else "!=")
        devices, feeds = self.devices()
        selectors = selectors_of(devices, Trouble())
        section["ranks"] = ["low", "middle", "high"]
        section["patterns"] = {"own": ["70", "30", "50", "50"]} if self.some(0.5) else {}
        section["functions"] = self.functions(selectors, "own" in section["patterns"])
        self.ends(section, selectors)
        given = {
            "vehicle_signals": [Signal.model_validate(s) for s in vehicle],
            "vehicle_impossible": [Placed(t, Where("vehicles/random.yaml", 9, 5)) for t in vehicle_impossible],
            "vehicle_roles": {"parked_when": Placed(self.atom(self.signals))}
            if self.signals and self.some(0.5)
            else {},
            "shop_patterns": {"shop": [125, 75, 125, 175]},
            "devices": devices,
            "feeds": feeds,
        }
        if given["vehicle_roles"]:
            self.use("role")
        return Switching.model_validate(section), given

    # -- names

    def enter(self, name: str, values: tuple[str, ...], ordered: bool, *, bare: bool, signal: bool = False) -> None:
        self.comparable[name] = (values, ordered)
        if bare:
            self.bare.append(name)
        if signal:
            self.signals[name] = (values, ordered)

    def switch(self, name: str) -> dict[str, Any] | None:
        kind = self.rng.choice(
            ["slide", "rotary", "rocker", "latching", "latching", "latching", "momentary", "momentary"]
        )
        made: dict[str, Any] = {"id": name, "kind": kind}
        if kind in ("slide", "rotary", "rocker"):
            positions = ["rest", "one", "two", "three"][: self.rng.randint(2, 3 if self.size == "small" else 4)]
            if not self.room(len(positions)):
                return None
            made["positions"] = positions
            if len(positions) > 2 and self.some(0.4):
                made["springs_back"] = {positions[-1]: self.rng.choice(positions[:-1])}
                self.use("springs_back")
            self.enter(name, tuple(positions), True, bare=False)
        elif kind == "momentary" and self.some(0.7):
            if not self.room(3):
                return None
            made["tap_under"] = self.rng.choice(["400 ms", "0.25 s"])
            self.tapped.append(name)
            self.enter(name, ("no", "pressed", "held"), False, bare=True)
            self.use("tap_under")
        else:
            if not self.room(2):
                return None
            self.enter(name, ("no", "yes"), False, bare=True)
        self.use(kind)
        return made

    def signal(self, name: str, *, vehicle: bool = False) -> dict[str, Any] | None:
        made: dict[str, Any] = {"id": name}
        source = self.rng.choice(["data-bus", "data-bus", "wire", "sensor"])
        values = ("no", "yes")
        if source == "sensor" and not vehicle:
            return self.measured(name)
        source = "wire" if source == "sensor" else source
        if name == "gear" or (name != "door" and self.some(0.3)):
            values = ("park", "reverse", "drive") if self.size == "medium" or self.some(0.4) else ("park", "drive")
            made["values"] = list(values)
        if not self.room(len(values)):
            return None
        self.use("signal values" if "values" in made else "yes-no signal", *(["vehicle signal"] if vehicle else []))
        made["source"] = source
        if source == "data-bus":
            self.use("data-bus")
        if source == "wire":
            if self.some(0.6):
                made["settles"] = "150 ms"
                self.use("wire settles")
            if self.some(0.5):
                made["broken_reads"] = self.rng.choice(values)
                self.use("broken_reads")
        self.rest_of[name] = values[0]
        if self.some(0.3):
            made["rest"] = self.rest_of[name] = self.rng.choice(values)
            self.use("signal rest")
        self.enter(name, values, "values" in made, bare="values" not in made, signal=True)
        return made

    def measured(self, name: str) -> dict[str, Any] | None:
        if not self.room(2):
            return None
        self.rest_of[name] = "no"
        self.enter(name, ("no", "yes"), False, bare=True, signal=True)
        wait = self.rng.choice(["0 s", "0.2 s", "2 s"])
        if self.some(0.5):
            self.use("measured below")
            return {
                "id": name,
                "measures": "voltage.auxiliary",
                "below": "11.8 V",
                "for": wait,
                "clears_above": "12.8 V",
            }
        self.use("measured above")
        return {"id": name, "measures": "temperature.cabin", "above": "60 C", "for": wait, "clears_below": "50 C"}

    def exclusive(self, switches: Sequence[dict[str, Any]]) -> list[list[str]]:
        latching = [s["id"] for s in switches if s["kind"] == "latching"]
        if len(latching) < 2 or self.some(0.3):
            return []
        self.use("exclusive")
        return [latching[:3]]

    def impossible(self, names: Sequence[str], construct: str) -> list[str]:
        """Two signals off rest at once: the rest state stays possible."""
        if len(names) < 2 or self.some(0.5):
            return []
        parts = []
        for name in self.rng.sample(list(names), 2):
            others = [v for v in self.signals[name][0] if v != self.rest_of[name]]
            parts.append(f"{name} == {self.rng.choice(others)}")
        self.use(construct)
        return [" and ".join(parts)]

    # -- expressions

    def atom(self, among: dict[str, tuple[tuple[str, ...], bool]] | None = None) -> str:
        """A comparison, a bare name, held(…) or a literal."""
        if among is None:
            if self.tapped and self.some(0.12):
                self.use("held")
                return f"held({self.rng.choice(self.tapped)})"
            if self.some(0.02):
                self.use("literal")
                return self.rng.choice(["yes", "no", "true", "false"])
            if self.bare and self.some(0.5):
                name = self.rng.choice(self.bare)
                self.use("bare tapped switch" if name in self.tapped else "bare name")
                return name
            among = self.comparable
        if not among:
            return "no"
        name = self.rng.choice(sorted(among))
        values, ordered = among[name]
        operator = self.rng.choice(["==", "==", "!=", "in", *(("<", "<=", ">", ">=") if ordered else ())])
        self.use(operator)
        if operator == "in":
            return f"{name} in ({', '.join(self.rng.sample(values, self.rng.randint(1, len(values))))})"
        return f"{name} {operator} {self.rng.choice(values)}"

    def expression(self, depth: int = 2, among: dict[str, tuple[tuple[str, ...], bool]] | None = None) -> str:
        if depth == 0 or self.some(0.3):
            return self.atom(among)
        how = self.rng.choice(["and", "or", "not", "group"])
        if how == "not":
            self.use("not")
            inner = self.atom(among)
            return f"not {inner}"
        self.use("and" if how == "group" else how)
        parts = [self.expression(depth - 1, among) for _ in range(2)]
        if how == "group":
            self.use("parentheses", "or")
            return f"({parts[0]} or {parts[1]}) and {self.atom(among)}"
        return f" {how} ".join(parts)

    def conditions(self, stem: str) -> dict[str, str]:
        found = {}
        for n in range(self.rng.randint(0, 3)):
            name = f"{stem}_{n}"
            text = self.expression()
            if found and self.some(0.5):
                text = f"{self.rng.choice(list(found))} and {text}" if " or " not in text else text
                self.use("and", "condition of conditions")
            found[name] = text
            self.use("condition")
        self.bare.extend(found)
        return found

    def event(self, construct_tap: str, construct_rises: str) -> str:
        if self.tapped and self.some(0.6):
            self.use(construct_tap)
            return f"tap({self.rng.choice(self.tapped)})"
        self.use(construct_rises)
        return f"rises({self.expression(1)})"

    def memory(self, name: str) -> dict[str, Any] | None:
        made: dict[str, Any] = {"id": name}
        if self.some(0.45):
            steps = ["first", "second", "third"][: self.rng.randint(2, 3)]
            if not self.room(len(steps)):
                return None
            kind = self.rng.choice(["tap", "tap", "level", "mixed", "mixed"]) if self.tapped else "level"
            tap = f"tap({self.rng.choice(self.tapped)})" if self.tapped else ""
            level = self.expression(1)
            made |= {"steps": steps, "next_on": {"tap": tap, "level": level, "mixed": f"{tap} and ({level})"}[kind]}
            self.use("steps", f"next_on {kind}")
            if self.some(0.6):
                made["first_when"] = self.expression(1)
                self.use("first_when")
            if self.some(0.3):
                made["starts"] = self.rng.choice(steps)
                self.use("starts")
            self.enter(name, tuple(steps), False, bare=False)
            return made
        if not self.room(2):
            return None
        self.use("set_when")
        made["set_when"] = self.event("set on tap", "set on rises") if self.some(0.6) else self.expression(1)
        if self.some(0.8):
            self.use("clear_when")
            made["clear_when"] = (
                self.event("clear on event", "clear on event") if self.some(0.3) else self.expression(1)
            )
        if self.some(0.3):
            made["starts"] = self.rng.choice(["yes", "no"])
            self.use("starts")
        self.bare.append(name)
        return made

    def timer(self, name: str) -> dict[str, Any] | None:
        if not self.room(2):
            return None
        made: dict[str, Any] = {"id": name, "for": self.rng.choice(["250 ms", "1 s", "2 s"])}
        kind = self.rng.choice(["off_delay", "off_delay", "on_delay", "pulse", "pulse"])
        text = self.expression(1)
        inner = [b for b in self.bare if b.startswith(("memory", "timer"))]
        if inner and self.some(0.4):
            text = f"{self.rng.choice(inner)} or {text}"
            self.use("or", "timer of memory or timer")
        made[kind] = text
        if kind == "off_delay" and self.some(0.5):
            made["at_most"] = self.rng.choice(["0.5 s", "5 s"])
            self.use("at_most")
        if kind == "pulse":
            if self.some(0.5):
                made[kind] = self.event("pulse event", "pulse event")
            else:
                self.use("pulse level")
            if self.some(0.5):
                made["again_after"] = "1 s"
                self.use("again_after")
        else:
            self.use(kind)
        self.bare.append(name)
        return made

    # -- devices

    def lamp(self, name: str, row: str | None = None, **facts: Any) -> DeviceFacts:
        shared = self.some(0.7)
        if not shared:
            self.use("own clock")
        facts.setdefault("kind", "lamp")
        return DeviceFacts(
            name, row or name, clock="control" if shared else name, file="builds/random.yaml", line=7, **facts
        )

    def devices(self) -> tuple[list[DeviceFacts], list[FeedFacts]]:
        signal = self.expression(1, self.signals) if self.signals else "no"
        feeds = self.feeds(signal)
        by_feed: tuple[tuple[str, str], ...] = ()
        if feeds and self.some(0.6):
            by_feed = self.rng.choice(((("*", feeds[-1].id),), (("blue", feeds[-1].id), ("white", feeds[0].id))))
            self.use("feed", *(["feed per colour"] if len(by_feed) > 1 else []))
        one = self.some(0.5)
        if one:
            self.use("one colour at a time")
        dual: dict[str, Any] = {"colours": ("blue", "white"), "one_colour_at_a_time": one, "level": "lower"}
        warning, front = frozenset({"warning"}), frozenset({"front"})
        found = [
            self.lamp(
                "grille-a", tags=warning, zones=front, half="left", at_mm=(-900, -400, 700), feeds=by_feed, **dual
            ),
            self.lamp("grille-b", tags=warning, zones=front, half="right", at_mm=(-900, 400, 700), **dual),
            self.lamp(
                "side-a",
                tags=warning,
                zones=frozenset({"left"}),
                half="left",
                level="upper",
                at_mm=(2000, -1000, 2000),
                colours=("blue",),
            ),
            self.lamp("cabin-a", zones=frozenset(), inside=True, at_mm=(1000, 0, 1800), colours=("white", "red")),
        ]
        pose = (PoseFacts(signal, self.rng.choice([frozenset(), frozenset({"left"})])),) if self.some(0.6) else ()
        self.use(*(["open pose"] if pose else []))
        found.append(
            self.lamp(
                "hatch-a",
                tags=warning,
                zones=frozenset({"rear"}),
                half="left",
                level="upper",
                at_mm=(4900, -600, 2200),
                colours=("blue", "amber"),
                poses=pose,
            )
        )
        shared = self.some(0.3)
        self.use(*(["shared rank"] if shared else []))
        for n in range(1, 4):
            y = -500 + 500 * (n - 1) if not (shared and n == 3) else 0
            found.append(
                self.lamp(
                    f"stick.{n}", "stick", zones=frozenset({"rear"}), at_mm=(4900 + n, y, 2400), colours=("amber",)
                )
            )
        if self.some(0.6):
            found.append(
                self.lamp(
                    "tail-a",
                    kind="factory-lamp",
                    zones=frozenset({"rear"}),
                    half="left",
                    colours=("red",),
                    at_mm=(5000, -900, 900),
                    commanded_when=signal,
                )
            )
            self.use("factory lamp", "commanded_when")
        rest = "standby" if self.some(0.6) else None
        self.use(*(["rest state"] if rest else []))
        amplifier_feed = (("*", feeds[-1].id),) if feeds and self.some(0.5) else ()
        self.use(*(["feed"] if amplifier_feed else []))
        found.append(
            DeviceFacts(
                "amplifier", "amplifier", "device", states=("standby", "wail", "yelp"), rest=rest, feeds=amplifier_feed
            )
        )
        closed = self.some(0.5)
        self.use(*(["relay rests closed"] if closed else []))
        found.append(
            DeviceFacts(
                "relay-a",
                "relay-a",
                "relay",
                rest="closed" if closed else None,
                feeds=(("closed", feeds[0].id),) if feeds and self.some(0.5) else (),
            )
        )
        return found, feeds

    def feeds(self, signal: str) -> list[FeedFacts]:
        if self.some(0.3):
            return []
        live = signal if self.some(0.5) else None
        through = "relay-a" if self.some(0.4) else None
        sheds = self.rng.choice([1, 3, 5]) if self.some(0.4) else None
        self.use(
            *(["live_when"] if live else []),
            *(["through a relay"] if through else []),
            *(["sheds"] if sheds else []),
            "feed above",
        )
        return [FeedFacts("main"), FeedFacts("branch", above="main", live_when=live, through=through, sheds=sheds)]

    # -- selectors

    def selector(self, selectors: Selectors, *, plain: bool = False) -> tuple[str, frozenset[int]]:
        """A selector that selects something, and what."""
        words = {
            "id": ["grille-a", "grille-b", "side-a", "hatch-a", "cabin-a"],
            "row": ["stick"],
            "row.n": ["stick.1", "stick.2", "stick.3"],
            "tag": ["warning"],
            "zone": ["front", "rear", "left"],
            "half": ["left-half", "right-half"],
            "level": ["upper", "lower"],
            "inside": ["inside"],
        }
        while True:
            kinds = [self.rng.choice(sorted(words))]
            text = self.rng.choice(words[kinds[0]])
            if not plain and self.some(0.35):
                how = self.rng.choice(["&", "-"])
                other = self.rng.choice(sorted(words))
                text += f" {how} {self.rng.choice(words[other])}"
                kinds += [other, how]
            steps = parse_selector(text)
            found = frozenset[int]()
            for step in steps:
                named = selectors.select(parse_selector(step.name))
                found = named if step.how == "start" else found & named if step.how == "and" else found - named
            found = frozenset(i for i in found if selectors.devices[i].colours)
            if found:
                self.use(*(f"selector {kind}" for kind in kinds))
                return text, found

    # -- functions

    def functions(self, selectors: Selectors, own: bool) -> list[dict[str, Any]]:
        found = []
        ranks = []
        dims = 0
        for n in range(self.rng.randint(3, 6 if self.size == "small" else 10)):
            rank = self.rng.choice(["low", "middle", "high"])
            if rank in ranks:
                self.use("equal rank")
            ranks.append(rank)
            function: dict[str, Any] = {"name": f"Function {n}", "rank": rank, "when": self.expression()}
            if self.some(0.3):
                function["if_unknown"] = "on"
                self.use("if_unknown on")
            kind = self.rng.choice(["show", "show", "show", "show", "cut", "dim", "drive"])
            if kind == "show":
                function["show"] = [self.show(selectors, own)]
            elif kind == "cut":
                text, _ = self.selector(selectors)
                function["cut"] = text
                if self.some(0.4):
                    function["cut"] = ["amplifier", text]
                    self.use("selector list")
            elif kind == "dim":
                dims += 1
                text, _ = self.selector(selectors)
                function["dim"] = [{"lamps": text, "to": self.rng.choice(["40 %", "25 %", "60 %"])}]
                self.use(*(["two dims"] if dims > 1 else []))
            if kind == "drive" or self.some(0.2):
                device = self.rng.choice(["amplifier", "amplifier", "relay-a"])
                if device != "amplifier" or not isinstance(function.get("cut"), list):
                    states = ["open", "closed"] if device == "relay-a" else ["standby", "wail", "yelp"]
                    function["drive"] = [{"device": device, "state": self.rng.choice(states)}]
                    self.use("drive", *(["drive a relay"] if device == "relay-a" else []))
            self.use(kind)
            found.append(function)
        return found

    def show(self, selectors: Selectors, own: bool) -> dict[str, Any]:
        text, selected = self.selector(selectors)
        if any(d.id == "tail-a" for d in selectors.devices) and self.some(0.25):
            text = "tail-a"
            selected = selectors.select(parse_selector(text))
        colours = sorted({c for i in selected for c in selectors.devices[i].colours})
        if any(selectors.devices[i].kind == "factory-lamp" for i in selected):
            self.use("factory lamp shown")
        made: dict[str, Any] = {"lamps": text}
        if len(colours) > 1 and self.some(0.5):
            self.use("colours")
            made["colours"] = {c: self.times(selectors, own) for c in self.rng.sample(colours, 2)}
        else:
            made["colour"] = self.rng.choice(colours)
            made |= self.times(selectors, own)
        if self.some(0.3):
            made["undimmed"] = "yes"
            self.use("undimmed")
        return made

    def times(self, selectors: Selectors, own: bool) -> dict[str, Any]:
        made: dict[str, Any] = {}
        kind = self.rng.choice(["steady", "pattern", "pattern", "sequence", "sequence"])
        if kind == "pattern":
            name = self.rng.choice(["shop", "single", "triple", "quad", *(["own"] if own else [])])
            made["pattern"] = name
            self.use("pattern", *(["own pattern"] if name == "own" else ["shipped pattern"] if name != "shop" else []))
        elif kind == "sequence":
            order = self.rng.choice(ORDERS)
            how = self.rng.choice(["fill", "walk"])
            step, hold, gap = self.rng.choice(
                [("90 ms", "300 ms", "300 ms"), ("100 ms", "50 ms", "0 ms"), ("33 ms", "100 ms", "1 ms")]
            )
            made["sequence"] = {"kind": how, "order": order, "step": step, "hold": hold, "gap": gap}
            self.use(how, order)
        else:
            self.use("steady")
        if self.some(0.3):
            made["phase"] = self.rng.choice(["1/2", "0.25", "1/3", "2/7", "0"])
            self.use("phase")
        elif self.some(0.3):
            made["phase"] = {"left-half": "0", "right-half": self.rng.choice(["1/2", "1/3"])}
            self.use("phase map")
        if self.some(0.3):
            made["intensity"] = self.rng.choice(["50 %", "30 %", "100 %"])
            self.use("intensity")
        return made

    # -- requirements and the rest

    def ends(self, section: dict[str, Any], selectors: Selectors) -> None:
        section["require"] = [
            {"name": f"Requirement {n}", self.rng.choice(["never", "never", "always"]): self.requirement(selectors)}
            for n in range(self.rng.randint(1, 3))
        ]
        for line in section["require"]:
            self.use("never" if "never" in line else "always")
        if self.some(0.5):
            section["modes"] = [{"id": "calling", "title": "Calling", "when": self.expression(1), "purpose": "calling"}]
            self.use("mode")
        if self.some(0.6):
            section["warning_when"] = self.expression(1)
            self.use("warning_when")
        if self.some(0.4):
            section["shedding"] = [{"step": "3", "when": self.expression(1)}, {"step": "1", "when": self.expression(1)}]
            self.use("shedding")

    def requirement(self, selectors: Selectors) -> str:
        parts = [self.predicate(selectors)]
        if self.some(0.7):
            parts.append(self.atom())
        if self.some(0.2):
            parts.append(self.predicate(selectors))
        self.rng.shuffle(parts)
        how = self.rng.choice([" and ", " and ", " or "])
        if len(parts) > 1:
            self.use(how.strip())
        if self.some(0.2):
            parts[0] = f"not {parts[0]}"
            self.use("not")
        return how.join(parts)

    def predicate(self, selectors: Selectors) -> str:
        kind = self.rng.choice(["lit", "lit", "all_lit", "steady", "flashing", "seen", "driven"])
        self.use("steady of" if kind == "steady" else kind)
        if kind == "driven":
            return f"driven(amplifier, {self.rng.choice(['standby', 'wail', 'yelp'])})"
        text, selected = self.selector(selectors)
        colours = sorted({c for i in selected for c in selectors.devices[i].colours})
        colour = self.rng.choice([*colours, "any"])
        if kind == "seen":
            text = self.rng.choice(["front", "right", "rear", "left"])
            colour = self.rng.choice(["blue", "white", "amber", "any"])
        self.use(*(["any colour"] if colour == "any" else []))
        return f"{kind}({text}, {colour})"
