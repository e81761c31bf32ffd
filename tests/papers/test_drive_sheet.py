"""Values over time cover the whole drive without gaps."""

from __future__ import annotations

from rigbook.papers.drive_sheet import values_over_time
from tests.papers.opened import example
from tests.papers.test_drive_drawing import drive


def test_every_variable_stands_at_something_all_the_time() -> None:
    program, made = example("planted-faults").worked.program, drive("planted-faults")
    whole = [0] * len(program.variables)
    lost = 0
    for index, start_ms, end_ms, value in values_over_time(program, made):
        assert end_ms > start_ms and value in (*program.variables[index].values, "lost")
        whole[index] += end_ms - start_ms
        lost += value == "lost"
    assert set(whole) == {made.end_ms} and lost == 1
