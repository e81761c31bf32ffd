"""The one-line diagram: every circuit is on it, no text covers another or a conductor, no conductor crosses another."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from itertools import combinations
from pathlib import Path

import pytest

from rigbook.papers.canvas import SHEET_MM
from rigbook.papers.one_line import Wire, drawn, one_line
from rigbook.papers.svg import Box
from rigbook.rig.model import Rig

BUILDS = Path(__file__).parents[2] / "src/rigbook/data/example_shop/builds"


@pytest.fixture(scope="module", params=sorted(path.stem for path in BUILDS.glob("*.yaml")))
def rig(request: pytest.FixtureRequest) -> Rig:
    from rigbook.desk.checking import open_build

    return open_build(BUILDS / f"{request.param}.yaml", judged=False).worked


def box_of(wire: Wire) -> Box:
    left, right = sorted((wire.x1, wire.x2))
    top, bottom = sorted((wire.y1, wire.y2))
    return Box(left, top, right, bottom).grown(0.05)


def cross(one: Wire, other: Wire) -> bool:
    """Whether two conductors cross inside both; ends may touch, for there they are joined."""
    for a, b in ((one, other), (other, one)):
        if a.y1 == a.y2 and b.x1 == b.x2:
            left, right = sorted((a.x1, a.x2))
            top, bottom = sorted((b.y1, b.y2))
            return left + 1e-6 < b.x1 < right - 1e-6 and top + 1e-6 < a.y1 < bottom - 1e-6
    return False


def test_no_text_covers_another_text_a_conductor_or_the_edge(rig: Rig) -> None:
    looked = 0
    for plate, wires in drawn(rig):
        for (one, a), (other, b) in combinations(plate.boxes, 2):
            assert not a.overlaps(b), (plate.key, one, other)
        for key, box in plate.boxes:
            assert box.inside(Box(0.0, 0.0, SHEET_MM, plate.height)), (plate.key, key)
            for wire in wires:
                assert not box.overlaps(box_of(wire)), (plate.key, key, wire)
            looked += 1
    assert looked > 30


def test_no_conductor_crosses_another(rig: Rig) -> None:
    looked = 0
    for plate, wires in drawn(rig):
        for one, other in combinations(wires, 2):
            assert not cross(one, other), (plate.key, one, other)
            looked += 1
    assert looked > 50


def test_every_feed_link_and_output_is_on_it(rig: Rig) -> None:
    keys = {key for plate in one_line(rig) for key, _ in plate.boxes}
    for feed_id in rig.feeds:
        assert f"{feed_id}:0" in keys or f"{feed_id}:wire:0" in keys, feed_id
    outputs = [c.id for c in rig.circuits.values() if c.kind == "output"]
    assert outputs
    powered = {name for c in rig.circuits.values() for m in c.members for name in m.carries}
    for name in outputs:
        assert (f"{name}:0" in keys) == (name in powered), name
    for link in rig.links:
        assert f"link:{link}:0:text:0" in keys


def test_strict_xml_equal_bytes_and_room_on_the_page(rig: Rig) -> None:
    plates = one_line(rig)
    assert [plate.document for plate in plates] == [plate.document for plate in one_line(rig)]
    for plate in plates:
        ET.fromstring(plate.document)
        assert plate.height <= 226.0
        assert plate.missing == ()
    assert len({plate.key for plate in plates}) == len(plates)
