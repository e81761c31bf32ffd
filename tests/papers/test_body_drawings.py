"""Faces, balance and lids as drawings: strict, nothing on another, true to scale."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ElementTree

import pytest

from rigbook.body.face_fit import laid_on
from rigbook.papers import balance_drawing, face_drawings, lid_drawings
from rigbook.papers.cut_outlines import cuts_of
from tests.papers.test_drawings import outside, overlaps

from .example_builds import BUILDS, desk

VAN = "flood-support-van"


@pytest.mark.parametrize("build", BUILDS)
@pytest.mark.parametrize("make", [face_drawings.face_plates, balance_drawing.balance_plates, lid_drawings.lid_plates])
def test_nothing_on_another_nothing_outside(build: str, make) -> None:  # type: ignore[no-untyped-def]
    plates = make(desk(build).rig, desk(build).report)
    assert plates
    for plate in plates:
        ElementTree.fromstring(plate.document)
        assert overlaps(plate) == [] and outside(plate) == []


def test_every_hole_stands_in_the_table_of_its_face() -> None:
    rig = desk(VAN).rig
    for panel in rig.build.panels:
        plates = face_drawings.face_plate(rig, panel.id)
        keys = {key for plate in plates for key, _ in plate.boxes}
        holes = cuts_of(rig, panel)[1:]
        assert holes and all(f"{number}:x mm:0" in keys for number in range(1, len(holes) + 1))
        assert {"width", "height:0", "depth"} <= keys


def test_the_outer_edge_is_drawn_to_the_scale_that_is_told() -> None:
    rig = desk(VAN).rig
    panel = rig.build.panels[2]
    scale = face_drawings.scale_of(panel, laid_on(rig, panel))
    plate = face_drawings.face_plate(rig, panel.id)[0]
    path = next(d for d in re.findall(r'<path d="(M[^"]*Z)"', plate.markup))
    numbers = [float(n) for n in re.findall(r"-?\d+\.?\d*", path)]
    xs, ys = numbers[0::2], numbers[1::2]
    assert max(xs) - min(xs) == pytest.approx(panel.size[0] * scale, abs=0.02)
    assert max(ys) - min(ys) == pytest.approx(panel.size[1] * scale, abs=0.02)


def test_sizes_of_holes_in_words() -> None:
    rig = desk(VAN).rig
    words = {cut.id: face_drawings.shape_words(cut) for panel in rig.build.panels for cut in cuts_of(rig, panel)}
    assert words["socket-console"] == "diameter 29"
    assert words["cups"] == "190 x 92, corners R 40"
    assert words["drawer-upper"] == "806 x 170"


def test_marks_stand_where_the_centres_of_gravity_are() -> None:
    rig, report = desk(VAN).rig, desk(VAN).report
    plate = balance_drawing.balance_plates(rig, report)[0]
    laden = report["body"]["cases"][0]["cg"]
    scale = (balance_drawing.SHEET_MM - 8.0) / rig.vehicle.size.length
    x = 4.0 + (laden["x_m"] + rig.vehicle.size.front_overhang) * scale
    y = 5.0 + (rig.vehicle.size.height - laden["z_m"]) * scale
    assert f'cx="{x:.2f}"'.rstrip("0") in plate.markup.replace('0"', '"') or f"{x:.2f}" in plate.markup
    assert f"{y:.2f}" in plate.markup
    assert len(report["body"]["cases"]) == sum(key.startswith("case:") for key, _ in plate.boxes)


def test_a_lid_from_the_side_tells_both_studs() -> None:
    rig, report = desk(VAN).rig, desk(VAN).report
    plate = lid_drawings.lid_plates(rig, report)[0]
    text = "".join(ElementTree.fromstring(plate.document).itertext())
    lid = report["body"]["lids"][0]
    assert f"{1e3 * lid['body_out_m']:.0f} mm outward" in text and f"{1e3 * lid['stud_m']:.0f} mm, 0 deg" in text
    assert f"{lid['hand_to_close_hot_n']:.0f} N at its worst" in text
