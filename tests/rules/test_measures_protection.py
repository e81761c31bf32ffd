"""Measures of protection read finite values where a battery states its resistance, a charger feeds, a lead is there."""

from __future__ import annotations

import math

from rigbook.rules.measures import Results
from rigbook.rules.measures_protection import MEASURES

from .taking import check_nothing_worked_out
from .test_rules import BREAKS, PARTS, assessed


def test_each_measure_reads_finite_values_with_its_own_blanks_facts_and_limits() -> None:
    changes = [(PARTS, "capacity: 70 Ah}", "capacity: 70 Ah, resistance: 3 mohm}"), *BREAKS["charger-lead"]]
    lead = ", inrush: {times: 8, for: 20 ms}\n    leads: [{name: power, colour: red, gauge: 20 AWG, length: 0.2 m, for: power}]"
    changes.append(
        (PARTS, "draws: {running: 8 A}", "draws: {running: 8 A}" + lead.replace(", inrush", "\n    inrush", 1))
    )
    trip = "  - {id: trip, kind: breaker, title: Breaker, mass: 0.1 kg, size: [50 mm, 50 mm, 50 mm], rating: 20 A}\n"
    changes = [(name, old, new.replace("  - id: lamp\n", trip + "  - id: lamp\n")) for name, old, new in changes]
    row = "  - {id: trip-1, part: trip, at: [3 m, 0.1 m, 0.9 m], node: rear}\n  - {id: nose-lamp,"
    changes = [(name, old, new.replace("  - {id: nose-lamp,", row)) for name, old, new in changes]
    assessment = assessed(changes)
    assert assessment.errors == ()
    results = Results(rig=assessment.worked, power=assessment.power)
    for measure in MEASURES:
        readings = list(measure.take(results))
        assert readings, measure.name
        for reading in readings:
            assert math.isfinite(reading.value)
            assert set(reading.limits) <= set(measure.limits), measure.name
            assert set(reading.words) == set(measure.words), measure.name
            assert set(reading.facts) == set(measure.facts), measure.name


def test_nothing_is_read_where_nothing_was_worked_out() -> None:
    check_nothing_worked_out(MEASURES)
