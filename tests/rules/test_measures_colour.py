"""Measures of this file are each taken on a build that has something to measure, and read finite values."""

from __future__ import annotations

import math

from rigbook.rules.measures import Results
from rigbook.rules.measures_colour import MEASURES

from .test_rules import LOCAL_RULES, assessed, recoloured


def test_each_measure_reads_finite_values_with_its_own_blanks_facts_and_limits() -> None:
    assessment = assessed([LOCAL_RULES, *recoloured("red"), ("vehicles/van.yaml", "reach: 2 m", "reach: 2 m\n  wading_line: 0.5 m"),
                           ("builds/small.yaml", "  - {seat: passenger}\n", "")])  # fmt: skip
    assert assessment.errors == ()
    results = Results(
        rig=assessment.worked, verdicts=assessment.verdicts, colours=assessment.colours, power=assessment.power,
        body=assessment.body, money=assessment.money,
    )  # fmt: skip
    for measure in MEASURES:
        readings = list(measure.take(results))
        assert readings, measure.name
        assert len({r.subject for r in readings}) == len(readings), measure.name
        for reading in readings:
            assert math.isfinite(reading.value)
            assert reading.file
            assert set(reading.limits) <= set(measure.limits), measure.name
            assert set(reading.words) == set(measure.words), measure.name
            assert set(reading.facts) == set(measure.facts), measure.name


def test_nothing_is_read_where_nothing_was_worked_out() -> None:
    assessment = assessed([])
    results = Results(rig=assessment.worked)
    for measure in MEASURES:
        for reading in measure.take(results):
            assert math.isfinite(reading.value), "measures of the rig alone still read"
