from __future__ import annotations

import pytest

from rigbook.money import explain, work_out
from tests.money.test_takeoff import priced


def test_every_figure_is_the_result_printed() -> None:
    rig = priced()
    result = work_out(rig)
    pairs = {f"money.{key}": getattr(result, key) for key in ("parts", "sundries", "labour_h", "labour", "total")}
    pairs |= {f"money.lines[{line.id}].{key}": getattr(line, key) for line in result.lines
              for key in ("quantity", "unit_price", "amount", "labour_h")}  # fmt: skip
    assert len(pairs) > 25
    for figure_id, value in pairs.items():
        working = explain(rig, figure_id)
        assert (working.figure_id, working.result) == (figure_id, value)


def test_a_cost_shows_its_mark_up() -> None:
    working = explain(priced(), "money.lines[battery-70].unit_price")
    values = {i.symbol: i.value for i in working.inputs}
    assert values["cost"] * (1 + values["mark-up"]) == pytest.approx(working.result)  # type: ignore[operator]
    assert explain(priced(), "money.lines[single].unit_price").formula == "list price as entered"


@pytest.mark.parametrize("figure_id", ["money.tax", "money.lines[gold].amount", "money.lines[single].colour"])
def test_what_is_no_figure_is_refused(figure_id: str) -> None:
    with pytest.raises(KeyError):
        explain(priced(), figure_id)
