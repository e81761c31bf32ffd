"""Greatest peaks of some channels, against every reachable state and every millisecond."""

from __future__ import annotations

import pytest

from rigbook.power.exact_peaks import Peaks
from rigbook.power.worst_figures import worst_cases
from tests.power.cars import FEEDS, ROWS, RUNNING, SWITCHING
from tests.rig.small import build_text, worked


def test_what_the_worst_cases_of_outputs_come_to() -> None:
    """The same maxima by the way of the power block, output by output and for all outputs together."""
    rig = worked(build_text(install=ROWS, feeds=FEEDS, more=SWITCHING), vehicle=RUNNING)
    outputs = [c for c in rig.circuits.values() if c.kind == "output"]
    needs = {c.id: [need for member in c.members for need in member.draws] for c in outputs}
    peaks = Peaks(rig.program, rig.devices, [need for own in needs.values() for need in own])
    cases = worst_cases(rig, kinds=["circuits", "modules"])
    assert len(outputs) >= 5
    for circuit in outputs:
        expected = cases.found["circuits", circuit.id].peak
        assert expected is not None
        found = peaks.worst(needs[circuit.id])
        assert sum(found[need] for need in needs[circuit.id]) == pytest.approx(expected.value_a)
    together = [need for own in needs.values() for need in own]
    expected = cases.found["modules", "control"].peak
    assert expected is not None
    found = peaks.worst(together)
    assert sum(found.values()) == pytest.approx(expected.value_a)
    assert peaks.same_clocks(rig.program)


def test_a_channel_that_no_function_names_counts_always() -> None:
    rig = worked(build_text(install=ROWS, feeds=FEEDS))
    peaks = Peaks(rig.program, rig.devices, [("nose", "blue"), ("corner", "white")])
    assert peaks.worst([("nose", "blue")]) == {("nose", "blue"): 0.9, ("corner", "white"): 1.1}
    assert peaks.worst([]) == {("nose", "blue"): 0.0, ("corner", "white"): 0.0}
