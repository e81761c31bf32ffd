"""Figures of states and of charging explained, and checked by hand."""

from __future__ import annotations

import math

import pytest

from rigbook.power import explain, work_out
from tests.power.cars import car


def test_every_state_figure_is_the_result_printed() -> None:
    rig, result = car(), work_out(car())
    looked = 0
    for state in result.states:
        rows = [("", state), *((f".{kind}[{row.id}]", row) for kind in ("devices", "circuits", "feeds")
                               for row in getattr(state, kind))]  # fmt: skip
        for path, row in rows:
            for key in ("average_a", "rms_a", "peak_a"):
                figure_id = f"power.states[{state.id}]{path}.{key}"
                working = explain(rig, figure_id)
                assert (working.figure_id, working.result) == (figure_id, getattr(row, key))
                looked += 1
    assert looked > 200


def test_every_supply_figure_is_the_result_printed() -> None:
    rig, result = car(), work_out(car())
    for state in result.supply.states:
        for key in ("equipment_a", "factory_a", "base_a", "average_a", "output_a", "margin_a"):
            figure_id = f"power.supply.states[{state.id}].{key}"
            working = explain(rig, figure_id)
            assert (working.figure_id, working.result) == (figure_id, getattr(state, key))
    assert explain(rig, "power.supply.idle_output_a").result == result.supply.idle_output_a


def test_rms_can_be_worked_by_hand_from_what_is_shown() -> None:
    working = explain(car(), "power.states[high].rms_a")
    means = [float(i.value) for i in working.inputs if i.symbol == "m"]  # type: ignore[arg-type]
    squares = [float(i.value) for i in working.inputs if i.symbol == "q"]  # type: ignore[arg-type]
    assert len(means) == len(squares) >= 2
    by_hand = math.sqrt(sum(means) ** 2 + sum(q - m * m for q, m in zip(squares, means, strict=True)))
    assert working.result == pytest.approx(by_hand)
    assert any("dimmed by switching to 40 %" in str(step) for step in working.steps)


def test_average_and_peak_add_up_from_what_is_shown() -> None:
    for key in ("average_a", "peak_a"):
        working = explain(car(), f"power.states[high].{key}")
        assert working.result == pytest.approx(sum(float(i.value) for i in working.inputs))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    "figure_id",
    ["power.states[nowhere].peak_a", "power.supply.states[high].colour_a", "power.supply.states[no].base_a"],
)
def test_what_is_no_figure_is_refused(figure_id: str) -> None:
    with pytest.raises(KeyError):
        explain(car(), figure_id)
