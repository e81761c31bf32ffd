from __future__ import annotations

from functools import cache

import pytest

from rigbook.assess.results_json import to_json
from rigbook.papers.chapter import Desk
from rigbook.papers.supply_paper import day_curve_sheet, day_sheet, endurance_sheet, pieces, supply_sheet
from tests.scenario.shop import COMPLETE, PLANTED, SOUND, judge


@cache
def desk(build: str) -> Desk:
    assessment = judge(build)
    assert not assessment.errors
    return Desk(assessment, to_json(assessment))


@pytest.mark.parametrize("build", [*SOUND, PLANTED])
def test_the_sheets_are_the_results(build: str) -> None:
    there = desk(build)
    power = there.assessment.power
    assert power is not None
    assert [row[0] for row in supply_sheet(there).rows] == [state.id for state in power.supply.states]
    assert [row[0] for row in endurance_sheet(there).rows] == [state.id for state in power.endurance.states]
    banks = len(there.rig.banks)
    assert len(day_sheet(there).rows) == banks * len(there.rig.build.duty)
    curve = day_curve_sheet(there)
    assert all(len(row) == len(curve.columns) for row in curve.rows)
    hours = [row[0] for row in curve.rows]
    assert hours == sorted(hours)  # type: ignore[type-var]
    for sheet in (supply_sheet(there), day_sheet(there), endurance_sheet(there)):
        assert all(len(row) == len(sheet.columns) for row in sheet.rows)


def test_the_chapter_speaks_of_all_of_it() -> None:
    said = repr(pieces(desk(COMPLETE)))
    for word in (
        "High idle and shedding",
        "Start-up",
        "Shore charging",
        "How long the batteries last",
        "run virtually",
        "Events of",
    ):
        assert word in said, word
    assert "NO" in said, "the alarm test does not pass"
