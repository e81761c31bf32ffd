"""Every number that `check --json` prints has a hand calculation, and it agrees."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest

from rigbook.assess.assessment import Assessment
from rigbook.assess.explain import UnknownFigure, explain, figures, is_figure
from rigbook.assess.text import explanation_lines

from .conftest import BUILDS, SMALL

Assess = Callable[[str], Assessment]


def disagreements(assessment: Assessment, paths: list[tuple[str, float | int]]) -> list[tuple[str, object, object]]:
    wrong: list[tuple[str, object, object]] = []
    for path, value in paths:
        working = explain(assessment, path).working
        assert working is not None
        same = isinstance(working.result, int | float) and math.isclose(
            working.result, value, rel_tol=1e-9, abs_tol=1e-9
        )
        if not same or working.figure_id != path:
            wrong.append((path, value, working.result))
    return wrong


def test_every_figure_of_the_small_build_agrees(assessed: Assess) -> None:
    assessment = assessed(SMALL)
    paths = list(figures(assessment))
    assert len(paths) > 500
    assert len({p for p, _ in paths}) == len(paths), "ids stand once"
    assert disagreements(assessment, paths) == []


@pytest.mark.parametrize("name", [b for b in BUILDS if b != SMALL])
def test_figures_of_the_larger_builds_agree(assessed: Assess, name: str) -> None:
    """Everything but the figures of single devices in single states and the worst ones, of which every
    fifteenth is taken."""
    assessment = assessed(name)
    every = list(figures(assessment))
    many = [p for p in every if p[0].startswith("power.states[") or ".worst_" in p[0]]
    rest = [p for p in every if p not in many]
    assert len(rest) > 300
    assert len({p for p, _ in every}) == len(every)
    assert disagreements(assessment, rest + many[::15]) == []


@pytest.mark.long
@pytest.mark.parametrize("name", BUILDS)
def test_all_figures_of_all_builds_agree(assessed: Assess, name: str) -> None:
    assessment = assessed(name)
    assert disagreements(assessment, list(figures(assessment))) == []


def test_every_room_with_numbers_is_looked_at(assessed: Assess) -> None:
    rooms = {p.split(".")[0] for p, _ in figures(assessed(SMALL))}
    assert rooms == {"power", "light", "body", "money"}


@pytest.mark.parametrize(
    ("path", "expected"),
    [
        ("power.circuits[control.3].drop_v", True),
        ("power.circuits[control.3].drop_fraction", True),
        ("body.left_share", True),
        ("body.stability_factor", True),
        ("money.total", True),
        ("power.modules[control].outputs", False),
        ("rigbook", False),
    ],
)
def test_what_counts_as_a_figure(path: str, expected: bool) -> None:
    assert is_figure(path) is expected


def test_findings_are_explained_with_the_figure_they_judge(assessed: Assess) -> None:
    looked = 0
    for name in BUILDS:
        assessment = assessed(name)
        for finding in assessment.findings:
            explanation = explain(assessment, finding.id)
            assert explanation.finding is finding
            assert (explanation.working is None) == (finding.figure is None)
            text = explanation_lines(explanation)
            assert finding.id in text[0]
            looked += explanation.working is not None
    assert looked >= 3


@pytest.mark.parametrize(
    "asked", ["power.circuits[control.99].drop_v", "body.mass", "nonsense", "power.whole.worst_a", "drop@x", ""]
)
def test_what_is_not_there_is_said_with_the_nearest(assessed: Assess, asked: str) -> None:
    with pytest.raises(UnknownFigure, match="there is no finding and no figure"):
        explain(assessed(SMALL), asked)


def test_the_nearest_is_named(assessed: Assess) -> None:
    with pytest.raises(UnknownFigure) as wrong:
        explain(assessed(SMALL), "body.mas_kg")
    assert "body.mass_kg" in wrong.value.nearest


def test_a_hand_calculation_as_text(assessed: Assess) -> None:
    lines = explanation_lines(explain(assessed(SMALL), "body.axles[front].margin_kg"))
    text = "\n".join(lines)
    assert "margin = rating - R" in text
    assert "vehicles/compact-utility.yaml:" in text
    assert lines[-1].strip().startswith("=")
