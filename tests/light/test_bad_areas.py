"""Faults planted in areas and markings: each is an error with its place and the mend, or a finding that names it."""

from __future__ import annotations

from pathlib import Path

import pytest

from rigbook.assess.assessment import Assessment, assess
from rigbook.documents.loader import load_build

SHOP = Path(__file__).resolve().parents[1] / "rules" / "shop"
BUILD, PARTS = "builds/small.yaml", "parts/all.yaml"
SHEET = (
    "  - {id: sheet, kind: marking, title: Sheet, size: [1 mm, 1 m, 1 m], mass: 0.5 kg, colour: white, sheeting: III, "
    "roll: [0.6 m, 20 m]}\n"
)  # fmt: skip


def assessed(section: str) -> Assessment:
    build = (SHOP / BUILD).read_text()
    assert "\nscene:" not in build and "\nmarkings:" not in build
    parts = (SHOP / PARTS).read_text() + SHEET
    return assess(load_build(SHOP, Path(BUILD), {BUILD: (build + section).encode(), PARTS: parts.encode()}))


def area(entries: str) -> str:
    return f"scene:\n  - {{id: pad, {entries}}}\n"


def marking(entries: str) -> str:
    return f"markings:\n  - {{id: mark, {entries}}}\n"


ERRORS = {
    "an area nowhere": (area("state: on-scene, least: 5 lx"), "lies on the ground or on a plane, not neither"),
    "an area in two places": (
        area("ground: [[5 m, 0 m], [6 m, 1 m]], plane: {at: [5 m, 0 m, 1 m], size: [1 m, 1 m]}, state: on-scene, least: 5 lx"),
        "not ground and plane",
    ),
    "an area without an area": (area("ground: [[5 m, 0 m], [5 m, 1 m]], state: on-scene, least: 5 lx"), "has no area"),
    "a plane without an area": (area("plane: {at: [5 m, 0 m, 1 m], size: [1 m, 0 m]}, state: on-scene, least: 5 lx"), "without an area"),
    "nothing asked": (area("ground: [[5 m, 0 m], [6 m, 1 m]], state: on-scene"), "nothing is asked of pad"),
    "a level without a unit": (area("ground: [[5 m, 0 m], [6 m, 1 m]], state: on-scene, least: 5"), "5"),
    "a level below 0": (area("ground: [[5 m, 0 m], [6 m, 1 m]], state: on-scene, least: -5 lx"), "below zero"),
    "a level of 0": (area("ground: [[5 m, 0 m], [6 m, 1 m]], state: on-scene, least: 0 lx"), "asks for no light"),
    "a state that is none": (area("ground: [[5 m, 0 m], [6 m, 1 m]], state: nihgt, least: 5 lx"), "nihgt"),
    "too many points": (area("ground: [[5 m, 0 m], [60 m, 50 m]], state: on-scene, least: 5 lx, spacing: 1 mm"), "more than 250,000 points"),
    "a facing beyond a turn": (
        area("plane: {at: [5 m, 0 m, 1 m], size: [1 m, 1 m], facing: 400 deg}, state: on-scene, least: 5 lx"), "beyond one turn",
    ),
    "a key that is none": (area("ground: [[5 m, 0 m], [6 m, 1 m]], state: on-scene, lest: 5 lx"), "lest"),
    "a marking without an area": (marking("side: left, from: [0 m, 1 m], to: [2 m, 1 m], parts: [sheet]"), "has no area"),
    "a marking in the ground": (marking("side: left, from: [0 m, -1 m], to: [2 m, 1 m], parts: [sheet]"), "below the ground"),
    "a marking of nothing": (marking("side: left, from: [0 m, 1 m], to: [2 m, 2 m], parts: []"), "of no sheeting"),
    "a marking of a lamp": (marking("side: left, from: [0 m, 1 m], to: [2 m, 2 m], parts: [lamp]"), "lamp is of the kind lamp"),
    "chevrons of one sheeting": (
        marking("side: rear, kind: chevrons, from: [-1 m, 1 m], to: [1 m, 2 m], parts: [sheet]"), "alternate between two",
    ),
    "chevrons on a side": (
        marking("side: left, kind: chevrons, from: [0 m, 1 m], to: [2 m, 2 m], parts: [sheet, sheet]"), "fall away from the centreline",
    ),
    "flat chevrons": (
        marking("side: rear, kind: chevrons, from: [-1 m, 1 m], to: [1 m, 2 m], parts: [sheet, sheet], angle: 2 deg"), "between 10 and 80",
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", list(ERRORS))
def test_a_section_that_is_wrong(name: str) -> None:
    section, says = ERRORS[name]
    assessment = assessed(section)
    assert assessment.rig is None
    errors = [e for e in assessment.errors if e.file == BUILD]
    assert errors and errors[0].line > 10 and errors[0].column >= 1
    assert any(says in f"{e.says} {e.found}" for e in errors), [e.says for e in errors]


def test_an_area_under_the_vehicle_and_a_dark_one() -> None:
    covered = assessed(area("ground: [[0 m, -0.2 m], [1 m, 0.2 m]], state: on-scene, least: 5 lx"))
    assert covered.errors == ()
    assert "scene-area-covered@pad" in {f.id for f in covered.findings}
    assert covered.light is not None and covered.light.result.scene == ()
    dark = assessed(area("ground: [[9 m, -2 m], [11 m, 2 m]], state: on-scene, least: 5 lx"))
    assert dark.light is not None
    (row,) = dark.light.result.scene or ()
    assert (row.average_lx, row.uniformity, row.lamps) == (0.0, None, ())
    assert not any(f.own_fault for f in dark.findings)


def test_how_many_faults_are_planted() -> None:
    assert len(ERRORS) >= 18
