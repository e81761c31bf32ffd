"""Every published check vector of the body has its test, or a reason why the product has nothing to hold against it."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from tests.outside import test_body_vectors

pytestmark = pytest.mark.outside

VECTORS = 57
ELSEWHERE = {
    45: ("tests/outside/test_body_vectors.py", "test_45_rivet_nuts_that_spin"),
    49: ("tests/rules/test_measures_body.py", "test_payload_as_built_against_the_payloads_of_ambulance_rules"),
    50: ("tests/rules/test_measures_body.py", "test_seven_per_cent_of_an_axle"),
}
"""Vectors held in another file of tests, with the name there."""
NOT_APPLICABLE = {
    7: "burn rate of a material: the catalogue holds no burn test of a part, and a rate nobody measured is not judged",
    8: "flame that goes out early: as for 7",
    42: "safety-label letter height by distance: the product prints wire, fuse and equipment labels, no ANSI Z535 safety labels",
    43: "19-inch rack openings: no part of the catalogue is a rack, and a face's cut-out comes from the part itself",
    44: "a schedule with resources: no part of the body; the shop's planning brings it with its own vectors",
    51: "seat weights of three standards: persons are entered with their mass, and no standard's seat weight is assumed",
    52: "windscreen-mounted devices: the vehicle file holds no wiper-swept area to measure from; sight lines are judged instead",
    54: "loose items of an ambulance: kit is entered with mass and place, and a device that holds it is a joint under `mounts`",
    55: "burn rate against two standards: as for 7",
    56: "noise readings at the driver: a measurement on the finished vehicle; the sound engine's, not the body's",
    57: "top speed by gross weight: a governor is set by the vehicle's maker, and no build enters one",
}


def numbers_tested() -> set[int]:
    found = set()
    for name, rows in vars(test_body_vectors).items():
        if name.isupper() and isinstance(rows, tuple | list):
            for row in rows:
                if (
                    isinstance(row, tuple)
                    and row
                    and isinstance(row[0], str)
                    and (match := re.match(r"(\d+) ", row[0]))
                ):
                    found.add(int(match.group(1)))
    return found


def test_every_vector_is_tested_or_has_its_reason() -> None:
    tested = numbers_tested()
    assert len(tested) > 40
    missing = set(range(1, VECTORS + 1)) - tested - set(ELSEWHERE) - set(NOT_APPLICABLE)
    assert missing == set()
    assert not tested & set(NOT_APPLICABLE), "a vector is both tested and said not to apply"


@pytest.mark.parametrize("number", [n for n in ELSEWHERE if n not in NOT_APPLICABLE])
def test_the_test_that_is_named_is_there(number: int) -> None:
    file, name = ELSEWHERE[number]
    assert f"def {name}(" in (Path(__file__).parents[2] / file).read_text(encoding="utf-8")


@pytest.mark.parametrize("number", NOT_APPLICABLE)
def test_reasons_are_sentences(number: int) -> None:
    assert len(NOT_APPLICABLE[number]) > 15
