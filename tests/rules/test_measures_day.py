"""Measures of the day are read on the shipped examples: each has a value there, finite, with its own blanks."""

from __future__ import annotations

import math
from functools import cache
from pathlib import Path

import pytest

from rigbook.desk.checking import open_build
from rigbook.rules.measures import Results
from rigbook.rules.measures_day import MEASURES

from .taking import check_nothing_worked_out

BUILDS = Path(__file__).parents[2] / "src/rigbook/data/example_shop/builds"


@cache
def results() -> Results:
    assessment = open_build(BUILDS / "boat-crew-pickup.yaml")
    assert assessment.errors == ()
    return Results(rig=assessment.worked, power=assessment.power)


@pytest.mark.parametrize("measure", MEASURES, ids=lambda measure: measure.name)
def test_each_reads_finite_values_with_its_own_blanks_facts_and_limits(measure: object) -> None:
    from rigbook.rules.measures import Measure

    assert isinstance(measure, Measure)
    readings = list(measure.take(results()))
    assert readings
    for reading in readings:
        assert math.isfinite(reading.value) and reading.file
        assert set(reading.limits) == set(measure.limits)
        assert set(reading.words) == set(measure.words)
        assert set(reading.facts) == set(measure.facts)


def test_nothing_is_read_where_nothing_was_worked_out() -> None:
    check_nothing_worked_out(MEASURES)
