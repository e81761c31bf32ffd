"""Markings on paper: a plate a side and roll, in greys, nothing over another, equal bytes; strips as a sheet."""

from __future__ import annotations

import re
from dataclasses import replace
from xml.etree import ElementTree

import pytest

from rigbook.assess.assessment import Assessment, assess
from rigbook.assess.results_json import to_json
from rigbook.documents.loader import load_build
from rigbook.light.nesting import nests_of
from rigbook.papers.canvas import SHEET_MM, Plate
from rigbook.papers.chapter import Desk
from rigbook.papers.marking_drawing import marking_plates
from rigbook.papers.marking_paper import markings_sheet, pieces
from rigbook.rig.model import Rig
from tests.light.test_scene import SHOP, opened


@pytest.fixture(scope="module")
def van() -> Rig:
    return opened("flood-support-van")[0]


@pytest.fixture(scope="module")
def plates(van: Rig) -> list[Plate]:
    return marking_plates(van, nests_of(van))


def test_a_plate_for_each_side_and_each_roll(plates: list[Plate]) -> None:
    assert [p.key for p in plates] == [
        "markings-left", "markings-right", "markings-front", "markings-rear", "roll-sheeting-red", "roll-sheeting-yellow-green",
        "roll-sheeting-blue",
    ]  # fmt: skip
    for plate in plates:
        assert ElementTree.fromstring(plate.document).tag.endswith("svg")
        for _, box in plate.boxes:
            assert box.left >= -0.5 and box.right <= SHEET_MM + 0.5 and box.bottom <= plate.height + 0.5
        body = re.sub(r'<g class="vehicle">.*?</g>', "", plate.markup)
        inks = set(re.findall(r'(?:fill|stroke)="(#[0-9a-f]{6})"', body))
        assert all(ink[1:3] == ink[3:5] == ink[5:7] for ink in inks)
    assert "the least there is" in plates[-1].markup


def test_equal_rigs_give_equal_bytes_and_none_a_word(van: Rig, plates: list[Plate]) -> None:
    assert [p.markup for p in marking_plates(van, nests_of(van))] == [p.markup for p in plates]
    bare = replace(van, build=van.build.model_copy(update={"markings": []}))
    assert "No marking is on record" in marking_plates(bare, ())[0].markup


@pytest.fixture(scope="module")
def utility() -> Assessment:
    return assess(load_build(SHOP, "builds/duty-officer-utility.yaml"))


def test_a_build_without_markings_says_so(utility: Assessment) -> None:
    desk = Desk(utility, to_json(utility))
    assert "No marking" in pieces(desk)[1]["text"] and markings_sheet(desk).rows == ()
