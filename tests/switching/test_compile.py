from __future__ import annotations

import pytest

from rigbook.documents.schema.base import Placed
from rigbook.switching.compile import compile_program
from rigbook.switching.program import DeviceFacts, FeedFacts
from tests.switching.sections import (
    EXCERPT,
    FILE,
    compiled,
    example_devices,
    lamp,
    program_of,
    section_of,
    try_section,
    vehicle_signals,
)


def function(body: str) -> str:
    lines = "\n".join("    " + line for line in body.strip().splitlines())
    return f"ranks: [low, high]\nfunctions:\n  - name: F\n    rank: low\n    when: gear == drive\n{lines}\n"


def test_the_documented_excerpt_compiles():
    program = program_of(EXCERPT)
    assert [v.name for v in program.variables][:8] == [
        *("response", "scene_left", "horn_ring", "rear_off", "night", "arrow", "siren"),
        "gear",
    ]
    assert [v.kind for v in program.variables][-3:] == ["memory", "memory", "timer"]
    grille = next(d for d in program.devices if d.id == "grille-left")
    assert [program.functions[e.function].name for e in grille.entries] == [
        "White added ahead in motion",
        "Warning on every side",
    ]
    assert [d.to for d in grille.dims] == [0.4]
    stick = [d for d in program.devices if d.id.startswith("stick.")]
    starts = [program.contents[d.entries[0].content].channels[0][1].spans[0].start_ms for d in stick]
    assert starts == [360, 270, 180, 90, 0]
    assert {program.contents[d.entries[0].content].channels[0][1].period_ms for d in stick} == {4 * 90 + 300 + 300}
    assert program.rest[0] == 0
    assert program.requirements[0].name == "No white ahead when parked"


def test_a_rank_goes_before_the_file_and_later_lines_before_earlier_ones():
    text = """
    ranks: [low, high]
    functions:
      - {name: A, rank: high, when: gear == drive, show: [{lamps: front, colour: blue}]}
      - {name: B, rank: low, when: gear == drive, show: [{lamps: front, colour: blue}]}
      - {name: C, rank: low, when: gear == drive, cut: front}
      - {name: D, rank: high, when: gear == drive, cut: front}
    """
    lists = program_of(text).devices[0].entries
    assert [e.function for e in lists] == [3, 0, 2, 1]
    assert [e.kind for e in lists] == ["cut", "show", "cut", "show"]


ERRORS = [
    ("switches: [{id: lit, kind: latching}]", "word of the language", ""),
    ("switches: [{id: inside, kind: latching}]", "word of the language", ""),
    ("switches: [{id: gear, kind: latching}]", "named twice", ""),
    ("conditions: {gear: gear == park}", "named twice", ""),
    ("conditions: {x: gea == park}", "nothing is called gea", "gear"),
    ("conditions: {x: gear == parc}", "no value of gear", "park"),
    ("conditions: {x: gear}", "not yes or no", ""),
    ("conditions: {x: gear == ignition}", "never compared with a name", ""),
    ("conditions: {x: rear_door < yes}", "have no order", ""),
    ("conditions: {x: gear == park, y: x == yes}", "is a condition", ""),
    ("conditions: {x: y, y: not x}", "in a circle: x → y → x", ""),
    ("conditions: {x: x}", "in a circle", ""),
    ("conditions: {x: t}\ntimers: [{id: t, on_delay: x, for: 1 s}]", "in a circle", ""),
    ("timers: [{id: t, on_delay: rear_door, for: 1 s}]\nconditions: {x: t == yes}", "is a timer", ""),
    ("conditions: {x: tap(gear)}", "is an event", ""),
    ("conditions: {x: held(rear_door)}", "no tap_under", ""),
    ("switches: [{id: m, kind: momentary}]\nmemory: [{id: k, set_when: tap(m)}]", "no tap_under", ""),
    ("memory: [{id: k, set_when: rises(tap(gear))}]", "not an event", ""),
    ("memory: [{id: k, clear_when: rear_door}]", "nothing ever sets k", ""),
    ("memory: [{id: k, steps: [a, b]}]", "nothing steps it on", ""),
    ("memory: [{id: k, steps: [a, b], next_on: rear_door, set_when: rear_door}]", "does not belong", ""),
    ("memory: [{id: k, set_when: rear_door, starts: maybe}]", "no value of k", ""),
    ("timers: [{id: t, for: 1 s}]", "one of off_delay", ""),
    ("timers: [{id: t, on_delay: rear_door, for: 1 s, at_most: 2 s}]", "belongs to an off_delay", ""),
    ("timers: [{id: t, on_delay: rear_door, for: 1 s, again_after: 2 s}]", "belongs to a pulse", ""),
    ("timers: [{id: t, on_delay: rear_door, for: 0.1 ms}]", "whole milliseconds", ""),
    ("switches: [{id: s, kind: slide}]", "needs positions", ""),
    ("switches: [{id: s, kind: slide, positions: [a]}]", "at least two", ""),
    ("switches: [{id: s, kind: slide, positions: [a, a]}]", "listed twice", ""),
    ("switches: [{id: s, kind: latching, positions: [a, b]}]", "has no positions", ""),
    ("switches: [{id: s, kind: latching, tap_under: 1 s}]", "only a momentary", ""),
    ("switches: [{id: s, kind: momentary, releases_when: rear_door}]", "only a latching", ""),
    ("switches: [{id: s, kind: latching, springs_back: {yes: no}}]", "spring back", ""),
    ("switches: [{id: s, kind: rocker, positions: [a, b], springs_back: {b: c}}]", "no position of s", ""),
    ("switches: [{id: s, kind: rocker, positions: [a, b], springs_back: {a: b}}]", "rest position", ""),
    ("switches: [{id: s, kind: momentary}]\nexclusive: [[s, gear]]", "latching switches only", ""),
    ("switches: [{id: s, kind: latching}]\nexclusive: [[s]]", "two switches or more", ""),
    ("switches: [{id: s, kind: latching}]\nimpossible: [s and gear == park]", "signals only; s is a switch", ""),
    ("switches: [{id: s, kind: latching}]\nconditions: {c: s}\nimpossible: [c]", "signals only; s is a switch", ""),
    ("signals: [{id: v, measures: voltage.aux, below: 11 V, clears_above: 10 V}]", "clear before it is set", ""),
    ("signals: [{id: v, measures: voltage.aux}]", "one of below and above", ""),
    ("signals: [{id: v, measures: noise, below: 3 V}]", "nothing that can be measured", ""),
    ("signals: [{id: v, measures: voltage.aux, below: 3 A}]", "", ""),
    ("signals: [{id: v, source: data-bus, broken_reads: no}]", "over the data bus", ""),
    ("signals: [{id: v, values: [a, b], source: wire, broken_reads: c}]", "no value of v", ""),
    (function("show: [{lamps: fron, colour: blue}]"), "no device and no tag", "front"),
    (function("show: [{lamps: front & rear, colour: blue}]"), "selects nothing", ""),
    (function("show: [{lamps: stick.9, colour: blue}]"), "no device and no tag", "stick.5"),
    (function("show: [{lamps: stick, colour: blue}]"), "no lamp selected has blue", ""),
    (function("show: [{lamps: stick, colour: ambr}]"), "no lamp selected has ambr", "amber"),
    (function("show: [{lamps: front}]"), "needs colour or colours", ""),
    (function("show: [{lamps: front, colour: blue, colours: {blue: {}}}]"), "beside each other", ""),
    (function("show: [{lamps: front, pattern: double, colours: {blue: {}}}]"), "under each colour", ""),
    (function("show: [{lamps: front, colour: blue, pattern: doubel}]"), "no pattern is called", "double"),
    (function("show: [{lamps: front, colour: blue, phase: 1}]"), "", ""),
    (function("show: [{lamps: warning, colour: blue, phase: {left-half: 0, front: 1/2}}]"), "under two phases", ""),
    (function("show: [{lamps: front, colour: blue, intensity: 0 %}]"), "intensity", ""),
    (
        function(
            "show:\n  - lamps: stick\n    colour: amber\n    pattern: double\n"
            "    sequence: {kind: fill, order: in-to-out, step: 1 s, hold: 1 s, gap: 1 s}"
        ),
        "its own times",
        "",
    ),
    (function("show: [{lamps: front, colour: blue}]\ncut: warning"), "names grille-left twice", ""),
    (function("show: [{lamps: front, colour: blue}]\ndim: [{lamps: front, to: 40 %}]"), "names grille-left twice", ""),
    (function("dim: [{lamps: siren-amp, to: 40 %}]"), "selects no lamp", ""),
    (function("drive: [{device: siren-amp, state: wale}]"), "no state wale", "wail"),
    (function("drive: [{device: grille-left, state: wail}]"), "not driven", ""),
    ("ranks: [low, low]", "listed twice", ""),
    ("ranks: [high]\nfunctions: [{name: F, rank: hihg, when: rear_door}]", "no rank is called", "high"),
    (
        "ranks: [a]\nfunctions: [{name: F, rank: a, when: rear_door}, {name: F, rank: a, when: rear_door}]",
        "two functions",
        "",
    ),
    ("ranks: [a]\nfunctions: [{name: F, rank: a, when: 'lit(front, blue)'}]", "`require` only", ""),
    ("require: [{name: R}]", "", ""),
    ("require: [{name: R, never: rear_door, always: rear_door}]", "", ""),
    ("require: [{name: R, never: 'lit(front, pink)'}]", "no lamp selected has pink", ""),
    ("require: [{name: R, never: 'lit(siren-amp, any)'}]", "selects no lamp", ""),
    ("require: [{name: R, never: 'seen(upper, any)'}]", "takes a zone", ""),
    ("require: [{name: R, never: 'driven(siren-amp, hum)'}]", "no state hum", ""),
    ("require: [{name: R, never: 'driven(grille-left, wail)'}]", "one device", ""),
    ("patterns: {p: [100]}", "even count", ""),
    ("shedding: [{step: 0, when: rear_door}]", "shed step", ""),
    ("modes: [{id: m, title: M, when: x, purpose: work}]", "nothing is called x", ""),
]


@pytest.mark.parametrize(("text", "says", "near"), ERRORS)
def test_every_slip_has_its_place_and_its_sentence(text, says, near):
    """Some slips the schema stops already; they count as long as it says the same with a place."""
    section, problems = try_section(text)
    if section is not None:
        done = compiled(text)
        assert done.program is None
        problems = done.problems
    assert any(says in p.says for p in problems), problems
    assert all(p.file == FILE and p.line >= 1 and p.column >= 1 for p in problems)
    if near:
        assert near in [p.nearest for p in problems]


def test_most_slips_reach_the_compiler():
    assert sum(try_section(text)[0] is not None for text, _, _ in ERRORS) >= 60


def test_columns_point_at_the_word():
    done = compiled('conditions:\n  a: rear_door and gea == park\n  b: "rear_door or gearr == park"\n')
    assert [(p.line, p.column, p.found) for p in done.problems] == [(2, 20, "gea"), (3, 20, "gearr")]


def test_all_slips_come_at_once():
    done = compiled("conditions: {a: x, b: y}\nwarning_when: z\nranks: [r]\nfunctions: [{name: F, rank: q, when: w}]")
    assert {p.found for p in done.problems} == {"x", "y", "z", "q", "w"}


def test_names_of_things_and_tags_do_not_mix():
    devices = [lamp("a", tags=["b"]), lamp("b"), lamp("front"), lamp("a")]
    says = [p.says for p in compiled("{}", devices=devices, feeds=[]).problems]
    assert len(says) == 3
    assert any("b is an installed id and a tag" in s for s in says)
    assert any("front is a word" in s for s in says)
    assert any("a is installed twice" in s for s in says)


def test_feeds_and_relays_may_not_hang_on_each_other_in_a_circle():
    relay = DeviceFacts("r", "r", "relay", feeds=(("closed", "f"),), file=FILE, line=4)
    done = compiled(
        "{}",
        devices=[relay],
        feeds=[FeedFacts("f", above="g", file=FILE, line=2), FeedFacts("g", through="r", file=FILE, line=3)],
    )
    assert "in a circle: f → g → f" in done.problems[0].says
    above = [FeedFacts("f", above="f")]
    assert compiled("{}", devices=[], feeds=above).problems
    unknown = [FeedFacts("f", above="e", through="grille-left")]
    assert len(compiled("{}", devices=[], feeds=unknown).problems) == 2


def test_notes_for_lamps_that_lack_the_colour():
    done = compiled(function("show: [{lamps: front, colour: white}, {lamps: rear, colour: blue}]"))
    assert done.program is not None
    assert [n.subject for n in done.notes] == ["F"]
    assert "stick.1" in done.notes[0].says and "tail-left" in done.notes[0].says
    assert done.notes[0].line == 6


def test_wiring_may_name_signals_only():
    devices = [lamp("a", kind="factory-lamp", commanded_when="s")]
    done = compiled("switches: [{id: s, kind: latching}]", devices=devices, feeds=[])
    assert "signals only" in done.problems[0].says


def test_always_is_never_not_and_roles_are_compiled():
    program = program_of(
        "require: [{name: R, always: rear_door}]", vehicle_roles={"parked_when": Placed("gear == park")}
    )
    assert type(program.requirements[0].never).__name__ == "Not"
    assert program.roles[0][0] == "parked_when"


def test_settle_order_follows_dependency_then_the_file():
    program = program_of(
        """
        memory:
          - {id: a, set_when: b}
          - {id: b, set_when: t}
          - {id: c, set_when: rear_door}
        timers:
          - {id: t, on_delay: later, for: 1 s}
        conditions: {later: c}
        """
    )
    assert [program.variables[i].name for i in program.settle_order] == ["c", "t", "b", "a"]


def test_equal_input_gives_an_equal_program():
    assert program_of(EXCERPT) == program_of(EXCERPT)


def test_an_empty_section_is_a_program():
    done = compile_program(section_of("{}"), vehicle_signals=vehicle_signals(), devices=example_devices()[:3])
    assert done.program is not None and done.program.functions == ()
