"""Outlines of cuts: areas and points by hand, letters where the switches' order puts them."""

from __future__ import annotations

import math

import pytest
from shapely.geometry import Polygon

from rigbook.papers.cut_outlines import Outline, cuts_of, problems, rounded, turned, words_of
from tests.rig.faced import car, face_text


@pytest.mark.parametrize(("radius", "corners"), [(0.0, 4), (5.0, 8)])
def test_areas_of_rounded_rectangles(radius: float, corners: int) -> None:
    made = rounded("a", "cut-out", 10, 20, 110, 70, radius)
    assert len(made.corners) == corners
    assert Polygon(made.points(step_deg=0.5)).area == pytest.approx(100 * 50 - (4 - math.pi) * radius**2, rel=1e-5)
    assert Polygon(made.points()).bounds == pytest.approx((10, 20, 110, 70))


def test_full_corners_make_a_circle_or_a_long_hole() -> None:
    assert rounded("a", "cut-out", 0, 0, 30, 30, 15).circle == (15, 15, 15)
    slot = rounded("a", "cut-out", 0, 0, 60, 30, 15)
    assert slot.circle is None and len(slot.corners) == 6
    assert Polygon(slot.points(step_deg=0.5)).area == pytest.approx(30 * 30 + math.pi * 15**2, rel=1e-4)


def test_arcs_lie_on_their_circle() -> None:
    made = rounded("a", "cut-out", 0, 0, 40, 40, 8)
    for x, y in made.points(step_deg=3):
        if x > 32 and y > 32:
            assert math.dist((x, y), (32, 32)) == pytest.approx(8)


def test_quarter_turns() -> None:
    assert turned(3, 1, 0) == (3, 1) and turned(3, 1, 90) == (-1, 3)
    assert turned(3, 1, 180) == (-3, -1) and turned(3, 1, 270) == (1, -3)


def test_letters_of_a_panel_stand_in_two_rows_in_the_order_of_its_switches() -> None:
    switches = "switching:\n  switches:\n" + "".join(
        f"    - {{id: s{i}, label: L{i}, kind: latching, link: keys-1}}\n" for i in range(5)
    )
    row = "{id: keys-1, part: keys-cut, on: {panel: dash-plate, at: [130 mm, 65 mm]}}"
    rig = car(face_text(row, more=switches))
    words = words_of(rig, rig.build.panels[0])
    assert [word.text for word in words] == ["L0", "L1", "L2", "L3", "L4"]
    upper, lower = words[:3], words[3:]
    assert (
        len({word.y for word in upper}) == 1
        and len({word.y for word in lower}) == 1
        and upper[0].y > 95 > 35 > lower[0].y
    )
    assert [word.x for word in upper] == pytest.approx([70, 130, 190])


def test_what_is_wrong_is_told_by_name() -> None:
    rig = car(face_text("{id: plug-1, part: plug, on: {panel: dash-plate, at: [60 mm, 60 mm]}}"))
    panel = rig.build.panels[0]
    good = cuts_of(rig, panel)
    assert problems(panel, good) == []
    twice = [*good, Outline("other", "cut-out", circle=good[1].circle)]
    assert problems(panel, twice) == ["plug-1 and other are the same outline twice"]
    small = [*good, Outline("dot", "fixing hole", circle=(200.0, 60.0, 0.5))]
    assert problems(panel, small) == ["the fixing hole dot is smaller than the sheet is thick"]
