"""What every file of measures must do: read finite values where there is something to measure, and keep quiet elsewhere."""

from __future__ import annotations

import math
from collections.abc import Sequence

from rigbook.rules.measures import Measure, Results

from .test_rules import LOCAL_RULES, assessed, recoloured


def check_values(measures: Sequence[Measure]) -> None:
    """Each measure is taken on a build that has something for it, and keeps to what it declares."""
    assessment = assessed([LOCAL_RULES, *recoloured("red"), ("vehicles/van.yaml", "reach: 2 m", "reach: 2 m\n  wading_line: 0.5 m"),
                           ("builds/small.yaml", "  - {seat: passenger}\n", "")])  # fmt: skip
    assert assessment.errors == ()
    results = Results(
        rig=assessment.worked, verdicts=assessment.verdicts, colours=assessment.colours, power=assessment.power,
        body=assessment.body, money=assessment.money,
    )  # fmt: skip
    for measure in measures:
        readings = list(measure.take(results))
        assert readings, measure.name
        assert len({r.subject for r in readings}) == len(readings), measure.name
        for reading in readings:
            assert math.isfinite(reading.value)
            assert reading.file
            assert set(reading.limits) <= set(measure.limits), measure.name
            assert set(reading.words) == set(measure.words), measure.name
            assert set(reading.facts) == set(measure.facts), measure.name


def check_nothing_worked_out(measures: Sequence[Measure]) -> None:
    """Without results of the engines, measures of the rig alone still read."""
    assessment = assessed([])
    results = Results(rig=assessment.worked)
    for measure in measures:
        for reading in measure.take(results):
            assert math.isfinite(reading.value), "measures of the rig alone still read"
