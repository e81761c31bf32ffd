"""Figures of the body explained. That all agree with the results of the examples: tests/assess."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from rigbook.assess.explain import _leaves, is_figure
from rigbook.assess.results_json import plain
from rigbook.body import BodyResult, explain, work_out
from rigbook.quantities.tables import bibliography
from rigbook.rig.model import Rig
from tests.body.test_balance import car


def figures_of(result: BodyResult) -> Iterator[tuple[str, float]]:
    """Ids and values of every number of the body, as `check --json` names them."""
    for path, value in _leaves("body", plain(result)):
        if is_figure(path):
            yield path, value


def agree(rig: Rig) -> int:
    """Every figure of a rig explained, and equal to the result. Gives how many there were."""
    pairs = dict(figures_of(work_out(rig)))
    for figure_id, value in pairs.items():
        working = explain(rig, figure_id)
        assert working.figure_id == figure_id
        assert working.result == pytest.approx(value, rel=1e-10, abs=1e-12), figure_id
        for step in working.walk():
            assert not step.source or ":" in step.source or step.source in bibliography()
    return len(pairs)


def test_every_figure_is_the_result_printed() -> None:
    assert agree(car()) > 120


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
