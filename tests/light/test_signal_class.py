"""Printed test points of lamp classes, and the least share of them that a beam gives."""

from __future__ import annotations

import pytest

from rigbook.light.signal_class import CLASSES, least_share, points_of, shape_share
from rigbook.light.sources import Lobe


def test_points_as_printed() -> None:
    assert (0.0, 10.0, 300.0) in points_of("A", "red") and (5.0, 0.0, 80.0) in points_of("A", "red")
    assert len(points_of("C", "amber")) == 8
    assert points_of("A", "green") == () == points_of("E", "red")
    assert CLASSES == ("A", "B", "C", "D")


def test_yellow_is_about_two_and_a_half_times_red_and_blue_half_of_it_as_printed() -> None:
    red = {(up, side): cd for up, side, cd in points_of("B", "red")}
    for up, side, cd in points_of("B", "amber"):
        assert cd == pytest.approx(2.5 * red[up, side], abs=3)


def test_the_least_share_looks_left_and_right() -> None:
    lopsided = least_share(name="A", colour="red", candela=lambda up, right: 1000.0 if right >= 0 else 150.0)
    assert lopsided == pytest.approx(0.5)
    assert least_share(name="A", colour="blue", candela=lambda up, right: 1.0) is None


def test_a_wide_beam_passes_where_a_narrow_one_fails() -> None:
    wide, narrow = (Lobe(peak_cd=3000, horizontal_deg=w, vertical_deg=w) for w in (60.0, 8.0))
    assert (shape_share(wide, name="A", colour="red") or 0) > 1 > (shape_share(narrow, name="A", colour="red") or 0)
    assert shape_share(wide, name="A", colour="white") is None
