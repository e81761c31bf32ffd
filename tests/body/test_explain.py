"""Figures of the body explained. That all agree with the results of the examples: tests/assess."""

from __future__ import annotations

import pytest

from rigbook.body import explain, work_out
from rigbook.quantities.tables import bibliography
from tests.body.test_balance import car


def test_every_figure_is_the_result_printed() -> None:
    rig = car()
    result = work_out(rig)
    pairs = {f"body.axles[{a.id}].{key}": getattr(a, key) for a in result.axles
             for key in ("load_kg", "rating_kg", "margin_kg", "tyre_kg")}  # fmt: skip
    pairs |= {f"body.cases[{c.id}].{key}": getattr(c, key) for c in result.cases
              for key in ("mass_kg", "front_kg", "rear_kg", "front_share")}  # fmt: skip
    pairs |= {f"body.{key}": getattr(result, key) for key in (
        "mass_kg", "rating_kg", "payload_remaining_kg", "left_share", "stability_factor", "curb_stability_factor",
        "added_kg", "added_threshold_kg")}  # fmt: skip
    pairs |= {f"body.cg.{key}": getattr(result.cg, key) for key in ("x_m", "y_m", "z_m")}
    assert len(pairs) == 27
    for figure_id, value in pairs.items():
        working = explain(rig, figure_id)
        assert working.figure_id == figure_id
        assert working.result == pytest.approx(value, rel=1e-12), figure_id
        for step in working.walk():
            assert not step.source or ":" in step.source or step.source in bibliography()


def test_an_axle_load_shows_every_mass_with_its_arm() -> None:
    rig = car()
    working = explain(rig, "body.axles[rear].load_kg")
    shown = [i for w in working.walk() for i in w.inputs if i.symbol == "m x"]
    assert len(shown) == len(rig.masses) + 1
    assert sum(float(i.value) for i in shown) / 2.7 == pytest.approx(working.result)  # type: ignore[arg-type]


@pytest.mark.parametrize("figure_id", ["body.axles[middle].load_kg", "body.colour_kg", "body.cases[laden].height_m"])
def test_what_is_no_figure_is_refused(figure_id: str) -> None:
    with pytest.raises(KeyError):
        explain(car(), figure_id)
