"""Measures of bundles read where a run names a hole, and keep quiet where nothing was worked out."""

from __future__ import annotations

import math

from rigbook.rules.measures import Results
from rigbook.rules.measures_bundles import MEASURES

from .taking import check_nothing_worked_out
from .test_rules import VAN, assessed


def test_each_measure_reads_a_run_with_a_hole() -> None:
    assessment = assessed([(VAN, "area: cabin, length: 3 m}", "area: cabin, length: 3 m, hole: 30 mm}")])
    results = Results(rig=assessment.worked, power=assessment.power)
    for measure in MEASURES:
        readings = list(measure.take(results))
        assert [reading.subject for reading in readings] == ["front-rear"], measure.name
        assert all(math.isfinite(reading.value) and reading.line for reading in readings)


def test_nothing_is_read_where_nothing_was_worked_out() -> None:
    check_nothing_worked_out(MEASURES)
