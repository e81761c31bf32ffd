"""Currents while trying agree with the figures of the saved states."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from rigbook.assess.assessment import Assessment
from rigbook.assess.trying import currents_of
from rigbook.power.loads import state_of

from .conftest import BUILDS

Assess = Callable[[str], Assessment]


@pytest.mark.parametrize("name", BUILDS)
def test_agrees_with_the_saved_states(assessed: Assess, name: str) -> None:
    assessment = assessed(name)
    drawn = currents_of(assessment.worked)
    assert assessment.power is not None
    figures = {s.id: s for s in assessment.power.states}
    assert figures
    for point in assessment.worked.states:
        found = drawn(state_of(assessment.worked, point), frozenset())
        figure = figures[point.id]
        assert found == {"average": figure.average_a, "RMS": figure.rms_a, "peak": figure.peak_a}
