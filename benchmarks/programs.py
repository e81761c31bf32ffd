"""Seeded switching programs at size, for benchmarks: 60 lamps and 8 devices, 10 to 120 functions.

Guards read 2 to 6 inputs, each device stands in 3 to 8 functions; there are exclusive groups, releases, memories,
timers, signals that can be lost, feeds, patterns of four periods, and requirements of which some fail. With 120
functions the states number more than 2^70. Everything is invented; equal seeds give equal programs.
"""

from __future__ import annotations

import random
from dataclasses import replace
from typing import Any

from rigbook.switching.program import (
    All,
    Any_,
    Content,
    Device,
    DimEntry,
    DrivenPredicate,
    Entry,
    Expression,
    Feed,
    Function,
    Is,
    LitPredicate,
    Not,
    Pose,
    Program,
    Requirement,
    SeenPredicate,
    Span,
    Timeline,
    Variable,
)
from rigbook.switching.states import rest_state

ZONES = ("front", "right", "rear", "left")
COLOURS = ("blue", "white", "amber")
PERIODS_MS = (400, 600, 800, 1000)
RANKS = ("cruise", "warning", "direction", "scene", "cut-off")


def _literal(r: random.Random, variables: list[Variable], index: int) -> Expression:
    size = len(variables[index].values)
    atom = Is(index, frozenset((1,) if size == 2 else r.sample(range(1, size), r.randint(1, size - 1))))
    return Not(atom) if r.random() < 0.3 else atom


def _guard(r: random.Random, variables: list[Variable], pool: list[int], most: int = 6) -> Expression:
    chosen = r.sample(pool, min(len(pool), r.randint(2, most)))
    first, *others = (_literal(r, variables, i) for i in chosen)
    if len(others) > 1 and r.random() < 0.5:
        return All((first, Any_(tuple(others))))
    return All((first, *others[:2])) if r.random() < 0.7 else Any_((first, All(tuple(others))))


def _inputs(r: random.Random, functions: int) -> list[Variable]:
    made: list[Variable] = []
    for i in range(4 + functions // 3):
        shape = r.random()
        if shape < 0.12:
            positions: tuple[str, ...] = ("off", "one", "two", "three")
            made.append(Variable(f"slide{i}", "switch", positions, 0, True, i, "b", switch_kind="slide"))
        elif shape < 0.2:
            positions = ("off", "left", "right")
            made.append(Variable(f"rotary{i}", "switch", positions, 0, True, i, "b", switch_kind="rotary"))
        elif shape < 0.25:
            made.append(Variable(f"press{i}", "switch", ("no", "yes"), 0, False, i, "b", switch_kind="momentary"))
        else:
            made.append(Variable(f"latch{i}", "switch", ("no", "yes"), 0, False, i, "b", switch_kind="latching"))
    values = (("park", "reverse", "neutral", "drive"), ("off", "accessory", "run"))
    for i in range(4 + functions // 10):
        named = values[i] if i < len(values) else ("no", "yes")
        losable = i == 0 or r.random() < 0.3
        made.append(Variable(f"signal{i}", "signal", named, 0, i < len(values), i, "b", losable=losable))
    return made


def _kept(r: random.Random, variables: list[Variable], functions: int) -> None:
    for i in range(1 + functions // 15):
        pool = list(range(len(variables)))
        both = {"set_when": _guard(r, variables, pool, 3), "clear_when": _guard(r, variables, pool, 3)}
        variables.append(Variable(f"memory{i}", "memory", ("no", "yes"), 0, False, i, "b", **both))
    for i in range(1 + functions // 15):
        pool = list(range(len(variables)))
        kind: Any = r.choice(("off_delay", "on_delay", "pulse"))
        condition = _guard(r, variables, pool, 3)
        variables.append(
            Variable(
                f"timer{i}", "timer", ("no", "yes"), 0, False, i, "b", timer_kind=kind, condition=condition, for_ms=9000
            )
        )


def _released(r: random.Random, variables: list[Variable], signals: list[int]) -> list[Variable]:
    result = []
    for v in variables:
        if v.switch_kind == "latching" and r.random() < 0.2:
            fields = {f: getattr(v, f) for f in v.__slots__}
            fields["releases_when"] = _literal(r, variables, r.choice(signals))
            v = Variable(**fields)
        result.append(v)
    return result


def _timeline(r: random.Random) -> Timeline:
    if r.random() < 0.25:
        return Timeline(1, (Span(0, 1, 1.0, 1.0),))
    period_ms = r.choice(PERIODS_MS)
    start_ms = r.choice((0, period_ms // 4, period_ms // 2))
    return Timeline(period_ms, (Span(start_ms, start_ms + period_ms // r.choice((2, 4)), 1.0, 1.0),))


def _contents(r: random.Random) -> list[Content]:
    contents = [Content(), Content(state="standby"), Content(state="on")]
    for _ in range(40):
        colours = r.sample(COLOURS, r.choice((1, 1, 1, 2)))
        contents.append(Content(channels=tuple((c, _timeline(r)) for c in colours)))
    return contents


def _devices(r: random.Random, contents: list[Content], functions: list[Function], feeds: int) -> list[Device]:
    made = []
    shows = list(range(3, len(contents)))
    groups = [r.sample(range(len(functions)), min(len(functions), r.randint(3, 8))) for _ in range(24)]
    for i in range(68):
        is_lamp = i < 60
        chosen = sorted(r.choice(groups), key=lambda f: (-functions[f].rank, -f))
        entries = tuple(
            Entry(f, "cut", 0 if is_lamp else 1)
            if functions[f].rank == 4
            else Entry(f, "show" if is_lamp else "drive", r.choice(shows) if is_lamp else 2)
            for f in chosen
        )
        zones = frozenset(r.sample(ZONES, r.choice((1, 1, 2))))
        made.append(
            Device(
                id=f"lamp{i}" if is_lamp else f"device{i}",
                kind="lamp" if is_lamp else "device",
                tags=frozenset({"warning"}) if is_lamp and i % 3 else frozenset(),
                zones=zones if is_lamp else frozenset(),
                colours=COLOURS if is_lamp else (),
                states=() if is_lamp else ("standby", "on"),
                one_colour_at_a_time=is_lamp and i % 4 == 0,
                clock=f"controller{i % 4}",
                rest=0 if is_lamp else 1,
                entries=entries,
                dims=(DimEntry(r.randrange(len(functions)), 0.4),) if is_lamp and i % 5 == 0 else (),
                poses=(Pose(None, zones),) if is_lamp else (),
                feeds=tuple((c, r.randrange(feeds)) for c in (COLOURS if is_lamp else ("on",))),
            )
        )
    return made


def _requirements(r: random.Random, variables: list[Variable], pool: list[int], devices: list[Device]) -> list[Any]:
    made = []
    lamps = [i for i, d in enumerate(devices) if d.colours]
    for n in range(12):
        colour = r.choice((*COLOURS, None))
        predicate: Any = r.choice(
            (
                LitPredicate(r.choice(("lit", "steady", "flashing")), tuple(sorted(r.sample(lamps, 6))), colour),
                SeenPredicate(r.choice(ZONES), colour),
                DrivenPredicate(r.randrange(60, 68), "on"),
            )
        )
        # Every second one forbids what cannot be: a switch at rest and off rest at once.
        guard = _guard(r, variables, pool, 4)
        never = All((guard, predicate)) if n % 2 else All((guard, predicate, Not(guard)))
        made.append(Requirement(f"requirement {n}", never, "b", n))
    return made


def big_program(seed: int, functions: int) -> Program:
    """A program with so many functions (10 to 120)."""
    r = random.Random(f"{seed} {functions}")
    variables = _inputs(r, functions)
    signals = [i for i, v in enumerate(variables) if v.kind == "signal"]
    switches = [i for i, v in enumerate(variables) if v.kind == "switch"]
    _kept(r, variables, functions)
    variables = _released(r, variables, signals)
    pool = list(range(len(variables)))
    made = [
        Function(
            f"function {i}", r.choice((0, 1, 1, 1, 2, 3, 3, 4)), _guard(r, variables, pool), r.random() < 0.1, "b", i
        )
        for i in range(functions)
    ]
    latching = [i for i in switches if variables[i].switch_kind == "latching"]
    r.shuffle(latching)
    groups = tuple(tuple(sorted(latching[k : k + 3])) for k in range(0, len(latching) // 2, 3))
    feeds = (
        Feed("battery", None, None, None),
        Feed("ignition", None, Is(signals[1], frozenset((2,))), None),
        Feed("shed", 1, None, None, 2),
    )
    contents = _contents(r)
    devices = _devices(r, contents, made, len(feeds))
    program = Program(
        variables=tuple(variables),
        conditions=(),
        functions=tuple(made),
        devices=tuple(devices),
        contents=tuple(contents),
        feeds=feeds,
        exclusive=tuple(g for g in groups if len(g) > 1),
        impossible=((All((Is(signals[1], frozenset((0,))), Is(signals[0], frozenset((3,))))), "b", 1),),
        settle_order=tuple(i for i, v in enumerate(variables) if v.kind in ("memory", "timer")),
        requirements=tuple(_requirements(r, variables, pool, devices)),
        modes=(),
        warning_when=Is(switches[0], frozenset((1,))),
        shedding=((2, Is(signals[3], frozenset((1,)))),),
        ranks=RANKS,
        rest=tuple(v.rest for v in variables),
    )
    return replace(program, rest=rest_state(program))
