"""Rows on light to work by, on markings and on faces, each broken on the complete build, which keeps them as it stands."""

from __future__ import annotations

from functools import cache

import pytest

from rigbook.assess.assessment import Assessment
from tests.scenario.shop import COMPLETE, changed_once, judge, text

SCENE = (
    "scene-least-asked", "scene-average-asked", "scene-rear-work", "scene-access", "scene-compartment",
    "scene-operator-panel", "scene-walkway", "scene-hose-bed", "scene-site",
)  # fmt: skip
MARKINGS = ("marking-side-length", "marking-front-length", "marking-rear-area")
FACES = ("face-overlap", "face-gap", "face-edge", "face-depth", "face-reach")
OF_PLACES = (*SCENE, *MARKINGS, *FACES)

TASKS = ("rear-work", "access", "compartment", "operator-panel", "walkway", "hose-bed", "site")
DARK = "  - {{id: dark-{0}, title: Far ahead, ground: [[-60 m, -1 m], [-58 m, 1 m]], state: on-scene-night, {1}}}\n"
AREAS = "".join(DARK.format(task, f"task: {task}") for task in TASKS) + DARK.format("own", "least: 5 lx, average: 5 lx")
CHANGES = (
    ("rules: [wiring, ", "rules: [reflective-marking, wiring, "),
    ("\nscene:\n", "\nscene:\n" + AREAS),
    ("to: [4.80 m, 1.15 m]\n    parts: [sheeting-blue]\n    gaps:", "to: [1.50 m, 1.15 m]\n    parts: [sheeting-blue]\n    gaps:"),
    ("from: [-0.45 m, 1.05 m]\n    to: [0.45 m, 1.17 m]", "from: [-0.10 m, 1.05 m]\n    to: [0.10 m, 1.17 m]"),
    ("to: [0.95 m, 2.05 m]", "to: [0.95 m, 1.42 m]"),
    ("on: {panel: cabinet-front, at: [450 mm, 850 mm]}", "on: {panel: cabinet-front, at: [450 mm, 650 mm]}"),
    ("on: {panel: cabinet-front, at: [450 mm, 250 mm]}", "on: {panel: cabinet-front, at: [450 mm, 90 mm]}"),
    ("    depth: 230 mm", "    depth: 120 mm"),
    ("reach: {seat: driver, within: 0.75 m}\n    holds", "reach: {seat: driver, within: 0.45 m}\n    holds"),
)  # fmt: skip


@cache
def judged(*, broken: bool) -> Assessment:
    source = text(COMPLETE)
    for old, new in CHANGES if broken else CHANGES[:1]:
        source = changed_once(source, old, new)
    assessment = judge(COMPLETE, {COMPLETE: source})
    assert not assessment.errors, assessment.errors
    return assessment


@pytest.mark.parametrize("rule", OF_PLACES)
def test_each_row_is_broken_and_says_what_to_do(rule: str) -> None:
    found = [f for f in judged(broken=True).findings if f.rule == rule]
    assert found, rule
    for finding in found:
        assert finding.says.endswith(".") and "{" not in finding.says
        assert finding.file and finding.line and finding.source


def test_the_complete_build_keeps_them() -> None:
    assert not [f.id for f in judged(broken=False).findings if f.rule in OF_PLACES]
