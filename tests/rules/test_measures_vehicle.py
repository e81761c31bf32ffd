"""Measures of this file are each taken on a build that has something to measure, and read finite values."""

from __future__ import annotations

from rigbook.rules.measures_vehicle import MEASURES

from .taking import check_nothing_worked_out, check_values


def test_each_measure_reads_finite_values_with_its_own_blanks_facts_and_limits() -> None:
    assert MEASURES
    check_values(MEASURES)


def test_nothing_is_read_where_nothing_was_worked_out() -> None:
    check_nothing_worked_out(MEASURES)
