"""What the lines of the programming sheet speak of: signals, switches, conditions, memories, timers, shedding."""

from __future__ import annotations

from rigbook.papers.chapter import Desk
from rigbook.papers.pieces import DASH, Piece, column, heading, small, table
from rigbook.papers.pins import inputs_of
from rigbook.switching.plain_words import name_of, words_of
from rigbook.switching.program import Variable


def named_pieces(desk: Desk) -> list[Piece]:
    """The tables of names, in the order in which they are entered."""
    found = [*_signals(desk), *_switches(desk), *_names(desk), *_memories(desk), *_timers(desk), *_shedding(desk)]
    return [heading("What the lines speak of", level=2), *found] if found else []


def _signals(desk: Desk) -> list[Piece]:
    """Signals with their source, and what becomes of one that is lost."""
    names = {name_of(v) for v in desk.rig.program.variables if v.kind == "signal"}
    rows = [
        [i.signal, i.source, _reads(i.active, i.volts_true), DASH if i.settles_ms is None else str(i.settles_ms), i.if_lost.partition(":")[0]]
        for i in inputs_of(desk)
        if i.signal in names
    ]  # fmt: skip
    if not rows:
        return []
    columns = [column("Signal"), column("Source", share=1.2), column("True when", share=0.8), column("Settle ms", number=True), column("If lost", share=0.8)]  # fmt: skip
    return [
        table(caption="Signals and where they come from", columns=columns, rows=rows, size=8),
        small("Unknown: each line says what it then does. How to verify each input stands in the input list."),
    ]


def _reads(active: str, volts: str) -> str:
    return volts if active == DASH else f"{active}, {volts}"


def _switches(desk: Desk) -> list[Piece]:
    """Switches: what kind, which positions, when they let go by themselves."""
    program = desk.rig.program
    places = {p.id: p for p in desk.rig.switches}
    rows = []
    for index, v in enumerate(program.variables):
        if v.kind != "switch":
            continue
        lets = [f"when {words_of(program, v.releases_when)}"] if v.releases_when is not None else []
        others = [name_of(program.variables[i]) for g in program.exclusive if index in g for i in g if i != index]
        lets += [f"when {', '.join(others)} is pressed"] if others else []
        place = places.get(v.name)
        where = (place.panel or place.link or "") if place is not None else ""
        rows.append([name_of(v), where or DASH, _kind(v), "; ".join(lets) or DASH])
    if not rows:
        return []
    columns = [
        column("Switch"),
        column("Panel"),
        column("Kind and positions", share=1),
        column("Lets go by itself", share=1),
    ]
    return [
        table(caption="Switches", columns=columns, rows=rows, size=8),
        small(
            "A switch that lets go cannot be put on while that holds. A loss lets nothing go: only what is known does."
        ),
    ]


def _kind(v: Variable) -> str:
    if v.switch_kind == "latching":
        return "press on, press off"
    if v.switch_kind == "momentary":
        return "while pressed" if v.tap_under_ms is None else f"tap under {v.tap_under_ms} ms, else held"
    springs = dict(v.springs_back)
    positions = [
        p + (f" (springs back to {v.values[springs[i]]})" if i in springs else "") for i, p in enumerate(v.values)
    ]
    return f"{v.switch_kind}: {', '.join(positions)}"


def _shedding(desk: Desk) -> list[Piece]:
    """When feeds are shed. Which feed sheds at which step stands with the outputs and in the feed list."""
    program = desk.rig.program
    if not program.shedding:
        return []
    rows = []
    for step, when in program.shedding:
        feeds = [f.id for f in program.feeds if f.sheds is not None and f.sheds <= step]
        rows.append([str(step), words_of(program, when), ", ".join(feeds) or DASH])
    columns = [column("Step", number=True), column("When", share=0.6), column("Feeds that open", share=1)]
    return [table(caption="Load shedding", columns=columns, rows=rows, size=8)]


def _names(desk: Desk) -> list[Piece]:
    program = desk.rig.program
    if not program.conditions:
        return []
    rows = [[name.replace("_", " "), words_of(program, e)] for name, e in program.conditions]
    return [
        table(
            caption="Conditions by name",
            columns=[column("Condition"), column("Holds when", share=1)],
            rows=rows,
            size=8,
        )
    ]


def _memories(desk: Desk) -> list[Piece]:
    program = desk.rig.program
    rows = []
    for v in program.variables:
        if v.kind != "memory":
            continue
        if v.stepping:
            steps = (
                f"steps {', '.join(v.values)}; next on {words_of(program, v.next_on)}"
                if v.next_on is not None
                else ", ".join(v.values)
            )
            cleared = words_of(program, v.first_when) if v.first_when is not None else DASH
            rows.append([name_of(v), steps, f"back to {v.values[0]} while {cleared}", v.values[v.rest]])
        else:
            sets = words_of(program, v.set_when) if v.set_when is not None else DASH
            clears = words_of(program, v.clear_when) if v.clear_when is not None else DASH
            rows.append([name_of(v), f"set when {sets}", f"cleared when {clears}; clear wins", v.values[v.rest]])
    if not rows:
        return []
    columns = [column("Memory"), column("Set", share=1), column("Cleared", share=1), column("At start")]
    return [table(caption="Memories", columns=columns, rows=rows, size=8)]


def _timers(desk: Desk) -> list[Piece]:
    program = desk.rig.program
    rows = []
    for v in program.variables:
        if v.kind == "timer":
            rows.append(
                [
                    name_of(v),
                    v.timer_kind.replace("_", "-"),
                    words_of(program, v.condition) if v.condition is not None else DASH,
                    f"{v.for_ms / 1000:g}",
                    _more(v),
                ]
            )
    if not rows:
        return []
    columns = [
        column("Timer"),
        column("Kind"),
        column("Of", share=1),
        column("For s", number=True),
        column("More", share=0.6),
    ]
    return [table(caption="Timers", columns=columns, rows=rows, size=8)]


def _more(v: Variable) -> str:
    words = []
    if v.at_most_ms is not None:
        words.append(f"at most {v.at_most_ms / 1000:g} s")
    if v.again_after_ms:
        words.append(f"not again within {v.again_after_ms / 1000:g} s")
    return "; ".join(words) or DASH
