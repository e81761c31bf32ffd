"""Worst cases explained: the rows add up to the figure, in the witness's state."""

from __future__ import annotations

import pytest

from rigbook.power import explain, work_out
from rigbook.power.result import PowerResult
from tests.power.cars import car


@pytest.fixture(scope="module")
def result() -> PowerResult:
    return work_out(car())


def test_rows_of_a_worst_average_add_up(result: PowerResult) -> None:
    looked = 0
    for kind in ("circuits", "feeds", "modules", "devices", "banks", "wires"):
        for row in getattr(result, kind):
            working = explain(car(), f"power.{kind}[{row.id}].worst_average_a", result)
            assert working.result == pytest.approx(row.worst_average_a, rel=1e-12)
            assert sum(i.value for i in working.inputs) == pytest.approx(row.worst_average_a, abs=1e-9)
            looked += 1
    assert looked > 40


def test_rms_peak_and_gaps_give_the_figure(result: PowerResult) -> None:
    for key in ("worst_rms_a", "worst_peak_a", "worst_rms_gap_a", "worst_peak_gap_a", "worst_average_gap_a"):
        working = explain(car(), f"power.whole.{key}", result)
        assert working.result == pytest.approx(getattr(result.whole, key), rel=1e-12)
        assert working.figure_id == f"power.whole.{key}"


def test_without_the_block_it_is_worked_out_anew(result: PowerResult) -> None:
    assert explain(car(), "power.whole.worst_peak_a").result == result.whole.worst_peak_a


def test_charging_and_savings(result: PowerResult) -> None:
    worst = result.supply.worst_running
    assert worst is not None
    for key in ("worst_average_a", "worst_average_gap_a", "base_a", "idle_margin_a", "most_output_a", "most_margin_a"):
        working = explain(car(), f"power.supply.worst_running.{key}", result)
        assert working.result == pytest.approx(getattr(worst, key), rel=1e-12)
    assert result.saved is not None
    assert explain(car(), "power.saved.spared_a", result).result == result.saved.spared_a
    row = result.saved.on[0]
    assert explain(car(), f"power.saved.on[{row.id}].spared_a", result).result == row.spared_a


@pytest.mark.parametrize(
    "figure_id",
    ["power.wires[none].worst_rms_a", "power.saved.on[none].spared_a", "power.supply.worst_running.witness", "power.banks[x].limit_a"],
)  # fmt: skip
def test_what_is_no_figure_is_refused(result: PowerResult, figure_id: str) -> None:
    with pytest.raises(KeyError):
        explain(car(), figure_id, result)
