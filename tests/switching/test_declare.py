from __future__ import annotations

import pytest

from rigbook.documents.schema.base import Where
from rigbook.switching.declare import whole_ms
from rigbook.switching.evaluate import Evaluator
from rigbook.switching.trouble import Trouble
from tests.switching.sections import EXCERPT, compiled, program_of


def variable(text: str, name: str):
    return next(v for v in program_of(text).variables if v.name == name)


def test_order_of_variables_and_their_kinds():
    program = program_of(EXCERPT)
    kinds = [v.kind for v in program.variables]
    assert kinds == sorted(kinds, key=["switch", "signal", "memory", "timer"].index)
    signals = [v for v in program.variables if v.kind == "signal"]
    assert [v.from_vehicle for v in signals] == [True] * 4 + [False]


def test_switches():
    horn = variable(EXCERPT, "horn_ring")
    assert (horn.values, horn.tap_under_ms, horn.label) == (("no", "pressed", "held"), 400, "horn_ring")
    slide = variable(EXCERPT, "response")
    assert slide.ordered and slide.panel == "console-face" and slide.line == 4
    rocker = variable("switches: [{id: r, kind: rocker, positions: [a, b, c], springs_back: {c: b}}]", "r")
    assert rocker.springs_back == ((2, 1),)


@pytest.mark.parametrize(
    ("text", "losable", "source"),
    [
        ("{id: x}", False, "wire"),
        ("{id: x, from: family-a.Gear}", True, "data-bus"),
        ("{id: x, source: data-bus}", True, "data-bus"),
        ("{id: x, measures: speed, above: 5 km/h}", False, "sensor"),
        ("{id: x, source: wire, settles: 20 ms, broken_reads: yes}", False, "wire"),
    ],
)
def test_sources_of_signals(text, losable, source):
    x = variable(f"signals: [{text}]", "x")
    assert (x.losable, x.source) == (losable, source)


def test_thresholds_are_si_with_hysteresis():
    low = variable(EXCERPT, "auxiliary_low")
    assert low.threshold is not None
    assert (low.threshold.side, low.threshold.at, low.threshold.clears, low.threshold.for_ms) == (
        "below",
        11.8,
        12.8,
        120000,
    )
    fast = variable("signals: [{id: fast, measures: speed, above: 36 km/h}]", "fast")
    assert fast.threshold is not None and fast.threshold.at == pytest.approx(10.0) == fast.threshold.clears


def test_rest_of_signals_and_starts_of_memories():
    text = "signals: [{id: x, values: [a, b], rest: b}, {id: y, source: wire, broken_reads: yes}]\nmemory: [{id: k, steps: [u, v], next_on: y, starts: v}]"
    assert variable(text, "x").rest == 1
    assert variable(text, "y").broken_reads == 1
    assert program_of(text).rest[-1] == 1


def test_whole_milliseconds():
    trouble = Trouble()
    assert whole_ms(0.29, Where("f", 1, 1), trouble, what="for") == 290
    assert not trouble.problems
    whole_ms(0.0, Where("f", 1, 1), trouble, what="for")
    whole_ms(0.0005, Where("f", 1, 2), trouble, what="for")
    assert len(trouble.problems) == 2


def test_conditions_may_not_be_stacked_without_end():
    """Deep stacks are refused before anything walks them; shallower ones work."""

    def stack(count: int) -> str:
        return "conditions:\n  c0: rear_door\n" + "".join(f"  c{n}: not c{n - 1}\n" for n in range(1, count))

    done = compiled(stack(3000))
    assert [p.found for p in done.problems] == ["c50"]
    program = program_of(stack(45) + "ranks: [a]\nfunctions: [{name: F, rank: a, when: c44}]")
    assert Evaluator(program).active(program.rest) == (False,)
