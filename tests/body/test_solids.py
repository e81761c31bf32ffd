"""Boxes as a face sees them, and the sector of a door, against sampling."""

from __future__ import annotations

import math
import random

import pytest

from rigbook.body import solids
from rigbook.documents.schema.panels import Move, Panel
from rigbook.rig.faces import Rectangle, frame_of


def test_a_box_seen_from_a_face_keeps_its_size() -> None:
    corners = solids.corners_of_box((1.0, -0.5, 0.2), (1.4, 0.1, 0.9))
    square = frame_of(Panel.model_construct(id="a", at=(0.5, 0, 0.5), facing=180, tilt=0, size=(1.0, 1.0)))
    (x0, x1), (y0, y1), (n0, n1) = solids.local(square, corners)
    assert (x1 - x0, y1 - y0, n1 - n0) == pytest.approx((0.6, 0.7, 0.4))
    assert (n0, n1) == pytest.approx((0.5, 0.9)) and (y0, y1) == pytest.approx((0.2, 0.9))
    askew = frame_of(Panel.model_construct(id="a", at=(0.5, 0, 0.5), facing=200, tilt=30, size=(1.0, 1.0)))
    assert all(wide[1] - wide[0] >= 0.4 for wide in solids.local(askew, corners)), "more than it fills, never less"


def test_a_sector_meets_a_box_as_sampling_says() -> None:
    chance, hits, misses = random.Random(3), 0, 0
    for _ in range(400):
        radius, angle = chance.uniform(0.1, 1.0), chance.uniform(5, 180)
        across = sorted((chance.uniform(-1.2, 1.2), chance.uniform(-1.2, 1.2)))
        out = sorted((chance.uniform(0.0, 1.2), chance.uniform(0.0, 1.2)))
        inside = any(
            across[0] < r * math.cos(a) < across[1] and out[0] < r * math.sin(a) < out[1]
            for r in (radius * k / 60 for k in range(61))
            for a in (math.radians(angle) * k / 60 for k in range(61))
        )
        found = solids.sector_meets(radius=radius, angle_deg=angle, across=(across[0], across[1]), out=(out[0], out[1]))
        hits += inside
        assert found or not inside, "what is met is always told"
        if found and not inside:  # a sliver that sampling misses, or the thousandth by which the arc is drawn round
            grown = solids.sector_meets(
                radius=radius * 0.97, angle_deg=max(1.0, angle - 3), across=(across[0] + 0.03, across[1] - 0.03),
                out=(out[0] + 0.03, out[1] - 0.03),
            ) if across[1] - across[0] > 0.07 and out[1] - out[0] > 0.07 else False  # fmt: skip
            assert not grown
        misses += not found
    assert hits > 60 and misses > 60


@pytest.mark.parametrize(
    ("hinge", "box", "met"),
    [
        ("left", ((0.02, 0.10), (0.1, 0.2), (0.05, 0.30)), True),  # over the hinge: the leaf passes there
        ("left", ((0.35, 0.45), (0.1, 0.2), (0.20, 0.30)), False),  # beyond the free edge's circle
        ("right", ((0.30, 0.38), (0.1, 0.2), (0.05, 0.30)), True),
        ("right", ((-0.05, 0.05), (0.1, 0.2), (0.20, 0.30)), False),
        ("top", ((0.1, 0.2), (0.25, 0.29), (0.02, 0.2)), True),
        ("bottom", ((0.1, 0.2), (0.25, 0.29), (0.28, 0.4)), False),
        ("left", ((0.02, 0.10), (0.4, 0.5), (0.05, 0.30)), False),  # above the door
        ("left", ((0.02, 0.10), (0.1, 0.2), (-0.30, -0.05)), False),  # behind the face
    ],
)
def test_doors_on_each_hinge(hinge: str, box: solids.Local, met: bool) -> None:
    move = Move.model_construct(of="door", out=None, hinge=hinge, angle=90.0)
    assert solids.swept(move, Rectangle(0.0, 0.0, 0.4, 0.3), 0.0, box) is met


def test_a_drawer_meets_what_stands_within_its_pull() -> None:
    move, area = Move.model_construct(of="drawer", out=0.35, hinge=None), Rectangle(0.1, 0.1, 0.5, 0.3)
    assert solids.swept(move, area, 0.02, ((0.2, 0.3), (0.2, 0.4), (0.36, 0.5)))
    assert not solids.swept(move, area, 0.02, ((0.2, 0.3), (0.2, 0.4), (0.38, 0.5)))
    assert not solids.swept(move, area, 0.02, ((0.6, 0.7), (0.2, 0.4), (0.1, 0.5)))


def test_what_lies_before_a_thing_and_before_that() -> None:
    boxes = {
        "deep": [((0.0, 0.2), (0.0, 0.2), (-0.5, -0.4))],
        "middle": [((0.1, 0.3), (0.0, 0.2), (-0.35, -0.2))],
        "front": [((0.25, 0.5), (0.0, 0.2), (-0.15, -0.05))],  # before the middle one alone
        "beside": [((0.6, 0.8), (0.0, 0.2), (-0.15, -0.05))],
    }
    assert solids.in_the_way("deep", boxes, 2, 1.0) == {"middle", "front"}
    assert solids.in_the_way("front", boxes, 2, 1.0) == set()
    assert solids.in_the_way("front", boxes, 2, -1.0) == {"middle", "deep"}
    assert solids.in_the_way("deep", boxes, 0, 1.0) == set()
