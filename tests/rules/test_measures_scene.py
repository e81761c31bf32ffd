"""Measures of scene light and markings on a build, and the levels of the packs against the unit their source states."""

from __future__ import annotations

from pathlib import Path

import pytest

from rigbook.assess.assessment import Assessment, assess, packs_of
from rigbook.documents.loader import load_build
from rigbook.rules.judge import limit_of
from rigbook.rules.measures import Reading, Results, registry

SHOP = Path(__file__).resolve().parents[2] / "src/rigbook/data/example_shop"


@pytest.fixture(scope="module")
def van() -> Assessment:
    return assess(load_build(SHOP, "builds/flood-support-van.yaml"))


def taken(assessment: Assessment, measure: str) -> dict[str, Reading]:
    results = Results(rig=assessment.worked, light=assessment.light)
    return {reading.subject: reading for reading in registry()[measure].take(results)}


def test_areas_are_read_with_what_they_ask_for(van: Assessment) -> None:
    least, average = taken(van, "scene_least"), taken(van, "scene_average")
    assert van.light is not None
    for row in van.light.result.scene or ():
        assert least[row.name].value == row.minimum_lx and average[row.name].value == row.average_lx
        assert least[row.name].figure == f"light.scene[{row.name}].minimum_lx"
    assert least["ground-left"].limits == {"asked": 20.0} and average["ground-left"].limits == {"asked": 50.0}
    assert least["behind"].limits == {} and least["behind"].facts["task"] == "rear-work"
    assert average["chart-table"].facts["surface"] == "plane"


def test_levels_stand_in_the_unit_of_their_source(van: Assessment) -> None:
    """30 lx behind the body, 3 fc = 32.3 lx on a site, 1 fc in a compartment, 30 fc = 322.9 lx for first aid."""
    rows = {row.id: row for pack in packs_of(van.loaded)[0] for row in pack.rows}
    measures = registry()

    def level(rule: str, task: str) -> float | None:
        row = rows[rule]
        return limit_of(
            row, measures[row.measure], Reading(subject="x", value=0.0, file="", line=None, facts={"task": task})
        )

    assert level("scene-rear-work", "rear-work") == 30.0 and level("scene-rear-work", "access") is None
    assert level("scene-access", "access") == 20.0
    assert level("scene-compartment", "compartment") == pytest.approx(10.7639, rel=1e-5)
    assert level("scene-site", "site-field") == pytest.approx(32.2917, rel=1e-5)
    assert level("scene-site", "first-aid") == pytest.approx(322.917, rel=1e-5)


def test_sides_are_read_where_they_are_marked(van: Assessment) -> None:
    lengths, areas = taken(van, "marking_length_share"), taken(van, "marking_area_share")
    assert set(lengths) == {"left", "right", "front", "rear"} and set(areas) == {"front", "rear"}
    assert lengths["left"].value > 0.5 and areas["rear"].value > 0.5
    assert areas["rear"].figure == "light.markings.sides[rear].area_share"


def test_a_dark_area_is_a_caution_with_its_rule(van: Assessment) -> None:
    text = (SHOP / "builds/flood-support-van.yaml").read_text()
    dark = text.replace("    least: 20 lx\n    average: 50 lx", "    least: 200 lx\n    average: 50 lx", 1)
    assert dark != text
    found = assess(load_build(SHOP, "builds/flood-support-van.yaml", {"builds/flood-support-van.yaml": dark.encode()}))
    (finding,) = (f for f in found.findings if f.rule == "scene-least-asked")
    assert finding.severity == "caution" and finding.subject == "ground-left" and finding.limit == 200.0
    assert finding.says.startswith("Ground along the left side, 4 m out has ")
    assert not [f for f in van.findings if f.rule in ("scene-least-asked", "scene-rear-work", "marking-rear-area")]
