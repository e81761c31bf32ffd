"""Every figure of the markings has its hand calculation, and the calculation gives the figure."""

from __future__ import annotations

import pytest

from rigbook.light.explain_markings import explain
from rigbook.light.markings import markings_of
from rigbook.rig.model import Rig
from tests.light.test_scene import opened


@pytest.fixture(scope="module")
def van() -> Rig:
    return opened("flood-support-van")[0]


def test_every_figure_is_explained(van: Rig) -> None:
    found, asked = markings_of(van), 0
    for row in found.sides:
        for key in ("length_m", "length_share", "area_m2", "area_share"):
            value = getattr(row, key)
            figure = f"light.markings.sides[{row.id}].{key}"
            if value is None:
                with pytest.raises(KeyError):
                    explain(van, figure)
                continue
            assert explain(van, figure).result == pytest.approx(value)
            asked += 1
    for each in found.each:
        for key in ("area_m2", "cd_per_lx"):
            working = explain(van, f"light.markings.each[{each.id}].{key}")
            assert working.result == pytest.approx(getattr(each, key))
            asked += 1
    assert asked >= 20


def test_the_light_sent_back_is_coefficients_times_areas(van: Rig) -> None:
    working = explain(van, "light.markings.each[rear-chevrons].cd_per_lx")
    values = [float(i.value) for i in working.inputs if isinstance(i.value, float)]
    assert sum(r * a for r, a in zip(values[::2], values[1::2], strict=True)) == pytest.approx(working.result)
    assert working.least_sure == "memory"


@pytest.mark.parametrize(
    "figure", ("light.markings", "light.markings.sides[top].area_m2", "light.markings.each[none].area_m2")
)
def test_what_is_no_figure_is_refused(van: Rig, figure: str) -> None:
    with pytest.raises(KeyError):
        explain(van, figure)
