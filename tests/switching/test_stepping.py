"""Stepping, rule by rule; timers against the published behaviour of the standard timer blocks."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rigbook.switching.program import Is
from rigbook.switching.stepping import StepError, Stepper
from tests.switching.sections import program_of

TEXT = """
switches:
  - {id: s, kind: slide, positions: [off, one, two]}
  - {id: spring, kind: rocker, positions: [mid, up, down], springs_back: {up: mid}}
  - {id: a, kind: latching, releases_when: gear == drive}
  - {id: b, kind: latching}
  - {id: c, kind: latching}
  - {id: m, kind: momentary, tap_under: 400 ms}
  - {id: plain, kind: momentary}
exclusive: [[a, b], [b, c]]
signals:
  - {id: low, measures: voltage.auxiliary, below: 11.8 V, for: 2 s, clears_above: 12.8 V}
  - {id: hot, measures: temperature.cabin, above: 60 C, clears_below: 50 C}
  - {id: limit, source: wire, settles: 300 ms}
impossible:
  - limit and not rear_door
memory:
  - {id: tone, steps: [x, y, z], next_on: tap(m), first_when: s == off}
  - {id: level, steps: [x, y], next_on: b or tap(m)}
  - {id: tapped, set_when: tap(m), clear_when: held(m)}
  - {id: cleared, set_when: s == two, clear_when: tap(m)}
  - {id: risen, set_when: rises(s == one), clear_when: plain}
  - {id: known, set_when: gear == reverse}
timers:
  - {id: after, off_delay: rear_door, for: 1 s, at_most: 3 s}
"""
PROGRAM = program_of(TEXT)


def stepper(**start: str) -> Stepper:
    made = Stepper(PROGRAM)
    made.set({"ignition": "run"})
    for name, value in start.items():
        made.set({name: value})
    return made


def values(made: Stepper, *names: str) -> list[str]:
    return [made.value(n) for n in names]


def test_latching_toggles_releases_and_excludes():
    t = stepper()
    t.press("a")
    t.press("b")
    assert values(t, "a", "b") == ["no", "yes"]
    t.press("c")
    assert values(t, "a", "b", "c") == ["no", "no", "yes"]
    t.press("a")
    assert values(t, "a", "c") == ["yes", "yes"]
    t.set({"gear": "drive"})
    assert values(t, "a", "c") == ["no", "yes"]
    t.press("a")
    assert t.value("a") == "no"
    t.lose("gear")
    t.press("a")
    assert t.value("a") == "yes"
    t.restore("gear")
    assert t.value("a") == "no"


def test_taps_and_holds():
    t = stepper(s="one")
    t.press("m")
    assert values(t, "m", "tone", "tapped") == ["pressed", "x", "no"]
    t.wait(399)
    t.release("m")
    assert values(t, "m", "tone", "tapped") == ["no", "y", "yes"]
    t.press("m")
    t.wait(400)
    assert values(t, "m", "tapped") == ["held", "no"]
    t.release("m")
    assert values(t, "m", "tone") == ["no", "y"]
    t.tap("m")
    t.tap("m")
    assert t.value("tone") == "x"
    t.hold("m")
    assert (t.value("m"), t.now_ms) == ("held", 1199)
    t.set({"s": "off"})
    t.release("m")
    t.tap("m")
    assert t.value("tone") == "x"


def test_a_level_steps_on_when_it_turns_true():
    t = stepper()
    t.press("b")
    assert t.value("level") == "y"
    t.tap("m")
    assert t.value("level") == "y"
    t.press("b")
    t.tap("m")
    assert t.value("level") == "x"
    t.press("b")
    assert t.value("level") == "y"


def test_a_memory_cleared_by_a_tap_while_its_level_holds_is_on_again():
    t = stepper(s="two")
    t.tap("m")
    assert t.value("cleared") == "yes"
    t.set({"s": "one"})
    t.tap("m")
    assert t.value("cleared") == "no"


def test_rises_is_seen_once():
    t = stepper()
    t.set({"s": "one"})
    assert t.value("risen") == "yes"
    t.press("plain")
    t.release("plain")
    assert t.value("risen") == "no"
    t.set({"s": "two"})
    assert t.value("risen") == "no"
    t.set({"s": "one"})
    assert t.value("risen") == "yes"


def test_a_position_springs_back():
    t = stepper(spring="up")
    t.release("spring")
    assert t.value("spring") == "mid"
    t.set({"spring": "down"})
    with pytest.raises(StepError, match="no position that springs back"):
        t.release("spring")


def test_a_memory_acts_only_where_its_condition_is_known():
    t = stepper()
    t.lose("gear")
    t.set({"gear": "reverse"})
    assert t.value("known") == "no"
    t.restore("gear")
    assert t.value("known") == "yes"
    t.lose("gear")
    assert t.value("known") == "yes"


def test_impossible_changes_are_refused_with_the_line_and_change_nothing():
    t = stepper(gear="drive")
    before = t.key()
    with pytest.raises(StepError, match=r"refused: vehicles/van.yaml line 30") as refused:
        t.set({"ignition": "off", "headlamps": "low"})
    assert (refused.value.file, refused.value.line) == ("vehicles/van.yaml", 30)
    assert t.key() == before
    t.set({"ignition": "off", "gear": "park"})
    assert values(t, "gear", "ignition") == ["park", "off"]


def test_a_wire_settles():
    t = stepper()
    t.set({"rear_door": "yes"})
    t.wait(149)
    assert t.value("rear_door") == "no"
    t.set({"rear_door": "no"})
    t.set({"rear_door": "yes"})
    t.wait(149)
    assert t.value("rear_door") == "no"
    t.wait(1)
    assert values(t, "rear_door", "after") == ["yes", "yes"]
    t.set({"limit": "yes"})
    t.wait(300)
    assert t.value("limit") == "yes"
    t.set({"limit": "no", "rear_door": "no"})
    t.wait(150)
    assert values(t, "limit", "rear_door") == ["yes", "yes"], "alone it would read as impossible, so it waits"
    t.wait(150)
    assert values(t, "limit", "rear_door") == ["no", "no"]


def test_thresholds_with_hysteresis_and_time():
    t = stepper()
    t.measure("low", 11.8)
    t.wait(5000)
    assert t.value("low") == "no"
    t.measure("low", 11.7)
    t.wait(1999)
    t.measure("low", 11.9)
    t.wait(1000)
    assert t.value("low") == "no"
    t.measure("low", 11.0)
    t.wait(1000)
    t.measure("low", 11.5)
    t.wait(1000)
    assert t.value("low") == "yes"
    t.measure("low", 12.8)
    assert t.value("low") == "yes"
    t.measure("low", 12.9)
    assert t.value("low") == "no"
    t.measure("hot", 61.0)
    assert t.value("hot") == "yes"
    t.measure("hot", 50.0)
    assert t.value("hot") == "yes"
    t.measure("hot", 49.0)
    assert t.value("hot") == "no"


def test_at_most_until_its_condition_has_been_false():
    t = stepper()
    t.set({"rear_door": "yes"})
    t.wait(150 + 2999)
    assert t.value("after") == "yes"
    t.wait(1)
    assert t.value("after") == "no"
    t.wait(10000)
    assert t.value("after") == "no"
    t.set({"rear_door": "no"})
    t.wait(150)
    t.set({"rear_door": "yes"})
    t.wait(150)
    assert t.value("after") == "yes"


@pytest.mark.parametrize(
    ("what", "about", "says"),
    [
        ("press", "s", "set to a position"),
        ("press", "gear", "only a switch"),
        ("press", "aa", "nothing is called"),
        ("release", "m", "not pressed"),
        ("tap", "a", "only a momentary"),
        ("hold", "s", "only a momentary"),
        ("set", {"a": "yes"}, "it is pressed"),
        ("set", {"s": "three"}, "no value of s"),
        ("set", {"s": "one", "spring": "up"}, "in one event"),
        ("set", {"s": "one", "gear": "park"}, "in one event"),
        ("lose", "rear_door", "cannot be lost"),
        ("restore", "gear", "not lost"),
        ("wait", -1, "backward"),
    ],
)
def test_what_cannot_be_done_changes_nothing(what, about, says):
    t = stepper()
    before = t.key()
    with pytest.raises(StepError, match=says):
        getattr(t, what)(about)
    assert t.key() == before


def test_a_copy_goes_on_alone_and_equal_keys_answer_alike():
    t = stepper(s="one")
    t.press("m")
    other = t.copy()
    assert other.key() == t.key()
    other.wait(400)
    assert (t.value("m"), other.value("m")) == ("pressed", "held")
    t.wait(400)
    assert other.key() == t.key()


def test_a_repetition_that_does_not_end_is_an_error():
    """The compiler refuses circles, so one is made by hand: each memory the other's opposite."""
    program = program_of("memory: [{id: p, set_when: rear_door}, {id: q, set_when: rear_door}]")
    p, q = program.settle_order
    variables = list(program.variables)
    variables[p] = replace(variables[p], set_when=Is(q, frozenset({0})), clear_when=Is(q, frozenset({1})))
    variables[q] = replace(variables[q], set_when=Is(p, frozenset({1})), clear_when=Is(p, frozenset({0})))
    with pytest.raises(StepError, match="does not end"):
        Stepper(replace(program, variables=tuple(variables)))


# -- the standard timers

TIMERS = """
switches: [{id: in, kind: latching}]
timers:
  - {id: ton, on_delay: x, for: 500 ms}
  - {id: tof, off_delay: x, for: 500 ms}
  - {id: tp, pulse: x, for: 500 ms}
conditions: {x: input}
""".replace("id: in,", "id: input,")
BLOCKS = program_of(TIMERS)


class Standard:
    """TON, TOF and TP as function-block references publish them (IEC 61131-3 standard function blocks; behaviour as
    in makers' open references): scanned every millisecond with input IN, preset PT, elapsed ET and output Q."""

    def __init__(self, preset: int) -> None:
        self.preset = preset
        self.on = self.off = self.pulse = 0
        self.was = self.tof = self.tp = False

    def scan(self, value: bool) -> tuple[bool, bool, bool]:
        self.on = min(self.on + 1, self.preset) if value and self.was else 0
        if value:
            self.tof, self.off = True, 0
        elif self.tof:
            self.off = 0 if self.was else self.off + 1
            self.tof = self.off < self.preset
        if self.tp:
            self.pulse += 1
            self.tp = self.pulse < self.preset
        if not self.tp and value and not self.was:
            self.tp, self.pulse = True, 0
        ton = value and self.on >= self.preset
        self.was = value
        return ton, self.tof, self.tp


@pytest.mark.outside
@settings(max_examples=30, deadline=None)
@given(st.lists(st.integers(1, 900), min_size=1, max_size=6))
def test_delays_and_pulse_behave_as_the_published_timer_blocks(toggles):
    """on_delay is TON, off_delay is TOF, pulse is TP: Q compared at every millisecond."""
    t = Stepper(BLOCKS)
    standard = Standard(500)
    standard.scan(False)
    flips, at = set(), 0
    for gap in toggles:
        at += gap
        flips.add(at)
    value = False
    seen = set()
    for now in range(1, at + 1100):
        t.wait(1)
        if now in flips:
            t.press("input")
            value = not value
        expected = standard.scan(value)
        ours = tuple(t.value(n) == "yes" for n in ("ton", "tof", "tp"))
        assert ours == expected, now
        seen.add(ours)
    assert len(seen) > 1


def test_a_pulse_is_not_restarted_and_pauses():
    program = program_of(
        "switches: [{id: k, kind: latching}]\ntimers: [{id: blip, pulse: k, for: 1 s, again_after: 2 s}]"
    )
    t = Stepper(program)
    t.press("k")
    t.wait(500)
    t.press("k")
    t.press("k")
    assert t.value("blip") == "yes"
    t.wait(499)
    assert t.value("blip") == "yes"
    t.wait(1)
    assert t.value("blip") == "no"
    t.press("k")
    t.press("k")
    assert t.value("blip") == "no"
    t.wait(2000)
    assert t.value("blip") == "no"
    t.press("k")
    t.press("k")
    assert t.value("blip") == "yes"


def test_a_timer_due_acts_before_an_event_at_the_same_moment():
    """Else the run-on would only be lengthened, and the pulse below would not see it end."""
    program = program_of(
        """
        switches: [{id: k, kind: latching}]
        timers: [{id: run, off_delay: k, for: 1 s}, {id: again, pulse: k and run, for: 1 s}]
        """
    )
    t = Stepper(program)
    t.press("k")
    t.press("k")
    t.wait(1000)
    assert values(t, "run", "again") == ["no", "no"]
    t.press("k")
    assert values(t, "run", "again") == ["yes", "yes"]
