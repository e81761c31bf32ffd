"""Demonstrations and the switch table, against the stepper and the evaluator themselves."""

from __future__ import annotations

import pytest

from rigbook.shop.behaviour import Bench, changes, said
from rigbook.shop.switch_table import NOTHING, switch_table
from rigbook.switching.evaluate import Evaluator
from tests.papers.example_builds import BUILDS, desk


@pytest.mark.parametrize("build", BUILDS)
def test_every_demonstration_when_done_again_lets_its_function_decide(build: str) -> None:
    bench = desk(build).bench
    evaluator, shown = Evaluator(bench.program), 0
    for number in range(len(bench.program.functions)):
        found = bench.demonstration(number)
        if found is None:
            continue
        again = bench.done(bench.starts[found.start], tuple(s for s in found.steps if s.what != "wait"))
        assert again is not None
        for step in found.steps:
            if step.what == "wait":
                step.act(again)
        outcome = evaluator.outcome(again.state, again.lost)
        assert number in outcome.deciding or number in outcome.dimmed_by
        shown += 1
    assert shown >= 8


@pytest.mark.parametrize("build", ("flood-support-van", "boat-crew-pickup", "duty-officer-utility"))
def test_every_effective_function_of_the_sound_builds_is_demonstrated(build: str) -> None:
    bench, verdicts = desk(build).bench, desk(build).assessment.verdicts
    assert verdicts is not None and verdicts.functions
    for number, verdict in enumerate(verdicts.functions):
        assert verdict.effective == (bench.demonstration(number) is not None), verdict.name


def test_what_is_proved_to_have_no_effect_is_not_demonstrated() -> None:
    bench, verdicts = desk("planted-faults").bench, desk("planted-faults").assessment.verdicts
    assert verdicts is not None and verdicts.functions
    idle = [n for n, v in enumerate(verdicts.functions) if not v.effective]
    assert idle and all(bench.demonstration(n) is None for n in idle)


def test_standing_starts_are_in_park_and_in_motion() -> None:
    bench = desk("flood-support-van").bench
    assert {n: s.value("gear") for n, s in bench.starts.items()} == {"in park": "park", "in motion": "drive"}
    assert all(s.value("ignition") == "run" and s.value("engine_running") == "yes" for s in bench.starts.values())


def test_every_position_of_every_switch_has_a_row() -> None:
    bench = Bench(desk("flood-support-van").rig.program)
    rows = switch_table(bench)
    for v in bench.program.variables:
        if v.kind == "switch" and v.switch_kind not in ("latching", "momentary"):
            found = {r.position for r in rows if r.switch == v.name}
            assert found == set(v.values) - {v.values[v.rest]}
    by = {(r.label, r.position): dict(r.effects) for r in rows}
    assert by["SCENE LEFT", "on"]["in motion"].does == "does not stay on"
    assert by["SIREN", "wail"]["in park"].does == NOTHING
    wail = by["SIREN", "wail"]["in motion"]
    assert (wail.after, wail.does) == ("WARN to responding", "siren-amp wail")
    assert ("gear", "siren-amp standby") in wail.lost


def test_nothing_changes_between_equal_outcomes() -> None:
    bench = desk("duty-officer-utility").bench
    outcome = bench.outcome(bench.starts["in park"])
    assert changes(bench.program, outcome, outcome) == [] and said(bench.program, []) == ""
