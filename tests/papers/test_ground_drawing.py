"""The ground on paper: whole SVG, ink alone, no text over another, equal bytes, a word where nothing burns."""

from __future__ import annotations

import re
from dataclasses import replace
from xml.etree import ElementTree

import pytest

from rigbook.papers.canvas import SHEET_MM, Plate
from rigbook.papers.ground_drawing import MOST_HIGH_MM, ground_plates
from rigbook.rig.model import Rig
from tests.light.test_scene import opened


@pytest.fixture(scope="module")
def van() -> Rig:
    return opened("flood-support-van")[0]


@pytest.fixture(scope="module")
def plates(van: Rig) -> list[Plate]:
    return ground_plates(van)


def test_a_plate_for_each_state_that_ground_areas_name(plates: list[Plate]) -> None:
    assert [plate.key for plate in plates] == ["ground-on-scene-night"]
    for plate in plates:
        root = ElementTree.fromstring(plate.document)
        assert root.tag.endswith("svg")
        texts = {t.text for t in root.iter("{http://www.w3.org/2000/svg}text")}
        assert {"1 fc", "3 fc", "10 fc", "ground-left", "behind"} <= texts
        assert plate.height < MOST_HIGH_MM + 30


def test_no_text_stands_on_another_or_off_the_sheet(plates: list[Plate]) -> None:
    looked = 0
    for plate in plates:
        boxes = [box for _, box in plate.boxes]
        for number, one in enumerate(boxes):
            assert one.left >= -0.5 and one.right <= SHEET_MM + 0.5 and one.bottom <= plate.height + 0.5
            assert not [other for other in boxes[number + 1 :] if one.overlaps(other)]
            looked += 1
    assert looked > 20


def test_it_reads_in_black_and_white(plates: list[Plate]) -> None:
    """Every ink but the vehicle's glass and lamps is a grey."""
    for plate in plates:
        body = re.sub(r'<g transform="[^"]*" class="vehicle">.*?</g>', "", plate.markup)
        inks = set(re.findall(r'(?:fill|stroke)="(#[0-9a-f]{6})"', body))
        assert inks and all(ink[1:3] == ink[3:5] == ink[5:7] for ink in inks), inks


def test_equal_rigs_give_equal_bytes(van: Rig, plates: list[Plate]) -> None:
    assert [p.markup for p in ground_plates(van)] == [p.markup for p in plates]


def test_where_nothing_burns_a_word_says_so(van: Rig) -> None:
    (plate,) = ground_plates(replace(van, states=(), build=van.build.model_copy(update={"scene": []})))
    assert "No saved state" in plate.markup
