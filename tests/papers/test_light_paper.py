"""The light report: what it says is what the results say, and its sheets hold the whole grid."""

from __future__ import annotations

import re
from itertools import pairwise
from xml.etree import ElementTree

import pytest

from rigbook.light.colour import editions
from rigbook.papers.around_drawing import around_plates, radius_mm
from rigbook.papers.canvas import SHEET_MM, Plate
from rigbook.papers.chapter import Desk
from rigbook.papers.colour_chart import MIDDLES, chart_plates, outline
from rigbook.papers.light_paper import grid_sheet, observers_sheet, pieces, warning_sheet, whole

from .example_builds import BUILDS
from .example_builds import desk as desk_of


@pytest.fixture(scope="module")
def desk() -> Desk:
    return desk_of("boat-crew-pickup")


def plates(desk: Desk) -> list[Plate]:
    return [*around_plates(desk.rig, desk.report), *chart_plates(desk.report)]


def test_the_chapter_has_its_tables_and_drawings(desk: Desk) -> None:
    made = pieces(desk)
    captions = [piece["caption"] for piece in made if piece["kind"] == "table"]
    assert [c.split(",")[0] for c in captions] == [
        "Optical power in cd s/min", "The states behind the least sums and the slowest rates",
        "Saved states: flashes and pulses a minute", "Warning lamps", "Colors of the parts by each edition of boundaries",
    ]  # fmt: skip
    assert len([piece for piece in made if piece["kind"] == "drawing"]) == 2
    text = " ".join(piece["text"] for piece in made if piece["kind"] == "small")
    assert "from memory" in text and "common practice, no source" in text


def test_the_table_of_warning_is_the_results(desk: Desk) -> None:
    table = next(piece for piece in pieces(desk) if piece["kind"] == "table")
    rows = [row for row in table["rows"] if isinstance(row, list)]
    results = desk.report["light"]["warning"]
    assert len(rows) == len(results) == 24
    for row, result in zip(rows, results, strict=True):
        assert row[3] == whole(result["cd_s_per_min"]) and row[4] == whole(result["required"])
        assert row[-3] == whole(result["flashes_per_min"])
    assert any(result["required"] is not None for result in results)


def test_what_was_not_worked_out_is_said() -> None:
    bare = Desk(
        desk_of("boat-crew-pickup").assessment,
        {"light": dict.fromkeys(("warning", "around", "states", "lamps", "colour"))},
    )
    assert [piece["kind"] for piece in pieces(bare)] == ["heading", "text"]
    assert warning_sheet(bare).rows == () == observers_sheet(bare).rows
    assert [plate.height for plate in around_plates(bare.rig, bare.report)] == [8]  # a line that says so
    assert [plate.height for plate in chart_plates(bare.report)] == [8]


@pytest.mark.parametrize("build", BUILDS[:3])
def test_sheets_hold_every_row(build: str) -> None:
    own = desk_of(build)
    light = own.report["light"]
    assert len(warning_sheet(own).rows) == len(light["warning"])
    assert len(observers_sheet(own).rows) == 4 * len(light["states"])
    grid = grid_sheet(own)
    assert len(grid.rows) == 2 * 4 * 3 * 3 * 19
    for row in light["warning"]:
        points = [r for r in grid.rows if r[:3] == (row["mode"], row["zone"], row["level"])]
        flat = [float(r[5] or 0) for r in points if r[4] == 0]
        assert min(flat) == pytest.approx(row["point_cd_s_per_min"], rel=1e-5, abs=1e-6)
        assert sum(flat) <= row["cd_s_per_min"] * (1 + 1e-5) + 1e-6
        raised = [float(r[5] or 0) for r in points if r[4] != 0]
        assert min(raised) == pytest.approx(row["raised_cd_s_per_min"], rel=1e-5, abs=1e-6)


@pytest.mark.parametrize("build", BUILDS[:3])
def test_drawings_are_whole_read_without_colour_and_are_equal_twice(build: str) -> None:
    own = desk_of(build)
    made = plates(own)
    assert [plate.key for plate in made] == ["around", "colours"]
    assert [plate.markup for plate in plates(own)] == [plate.markup for plate in made]
    for plate in made:
        ElementTree.fromstring(plate.document)
        inks = set(re.findall(r'(?:fill|stroke)="(#[0-9a-f]{6})"', plate.markup))
        assert inks and all(ink[1:3] == ink[3:5] == ink[5:7] for ink in inks)
        for _, box in plate.boxes:
            assert (
                box.left >= -0.5
                and box.right <= SHEET_MM + 0.5
                and box.top >= -0.5
                and box.bottom <= plate.height + 0.5
            )
    dashes = re.findall(r'<path [^>]*stroke-width="0.45"([^>]*)>', made[0].markup)
    shown = [v for v in own.report["light"]["around"]["cd_s_per_min"].values() if max(v) > 0]
    assert len(dashes) == len(shown) == len(set(dashes))


def test_a_gap_is_told_by_bearing_and_width() -> None:
    own = desk_of("flood-support-van")
    texts = ElementTree.fromstring(around_plates(own.rig, own.report)[0].document).iter(
        "{http://www.w3.org/2000/svg}text"
    )
    said = " | ".join(t.text or "" for t in texts)
    gaps = [g for m in own.report["light"]["around"]["modes"] for g in m["gaps"]]
    assert gaps
    for gap in gaps:
        assert f"{gap['from_deg']:g} to" in said and f"({gap['width_deg']:g} wide)" in said


def test_rings_are_powers_of_ten() -> None:
    radii = [radius_mm(10.0**n) for n in range(2, 7)]
    steps = [b - a for a, b in pairwise(radii)]
    assert max(steps) - min(steps) < 1e-9 and radius_mm(0) == 0 == radius_mm(1)
    assert radius_mm(1e9) == radii[-1]


def test_the_outline_of_a_region_stands_on_its_edge() -> None:
    federal = editions()[0]
    for colour, middle in MIDDLES.items():
        test = federal.tests[colour]
        assert test(*middle), colour
        for x, y in outline(lambda x, y, test=test: test(x, y) and 0 <= x <= 0.8 and 0 <= y <= 0.9, middle):  # type: ignore[misc]
            turn = ((x - middle[0]) * 1.001 + middle[0], (y - middle[1]) * 1.001 + middle[1])
            assert test(x, y) and not (test(*turn) and 0 <= turn[0] <= 0.8 and 0 <= turn[1] <= 0.9)
