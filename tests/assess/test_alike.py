"""What could be one, in the example builds and in a small change of one."""

from __future__ import annotations

from collections.abc import Callable

from rigbook.assess.alike import alike_findings
from rigbook.assess.assessment import Assessment
from rigbook.switching.evaluate import Evaluator

from .conftest import BUILDS

Assess = Callable[[str], Assessment]


def test_outputs_said_to_be_alike_are_so_in_every_saved_state(assessed: Assess) -> None:
    looked = 0
    for name in BUILDS:
        assessment = assessed(name)
        rig, found, power = assessment.worked, assessment.alike, assessment.power
        assert found is not None
        assert power is not None
        for state in power.states:
            lit = {flow.id: flow.average_a > 0 for flow in state.circuits}
            for group in found.outputs:
                assert len(group) > 1
                assert len({lit[output] for output in group}) == 1, (name, state.id, group)
                looked += 1
        assert [v.name for v in rig.program.variables if v.name in found.switches] == list(found.switches)
    assert looked > 50


def test_pairs_that_one_output_could_carry_fit_it(assessed: Assess) -> None:
    notes = 0
    for name in BUILDS:
        assessment = assessed(name)
        found = list(alike_findings(assessment.worked, assessment.alike, assessment.power))
        notes += len(found)
        assert all(f.severity == "note" for f in found)
        assert list(alike_findings(assessment.worked, None, assessment.power)) == []
    assert notes >= 3


def test_alike_outputs_show_the_same_pattern_at_every_instant(assessed: Assess) -> None:
    assessment = assessed("duty-officer-utility.yaml")
    rig, found = assessment.worked, assessment.alike
    assert found is not None
    evaluator = Evaluator(rig.program)
    numbers = {d.id: n for n, d in enumerate(rig.program.devices)}
    outcome = evaluator.outcome(rig.program.rest)
    for group in found.outputs:
        shown = {
            tuple(sorted(repr(t) for c, t in outcome.lit[numbers[device]] if c == channel))
            for output in group
            for member in rig.circuits[output].members
            for device, channel in member.draws
        }
        assert len(shown) == 1
