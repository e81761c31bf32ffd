"""Light to work by on paper: the chapter, the sheet of areas, the grid to 30 m."""

from __future__ import annotations

import csv
import io

import pytest

from rigbook.assess.assessment import assess
from rigbook.assess.results_json import to_json
from rigbook.documents.loader import load_build
from rigbook.papers.chapter import Desk
from rigbook.papers.scene_paper import areas_sheet, ground_sheet, pieces
from rigbook.papers.sheet_files import csv_bytes
from tests.light.test_scene import SHOP


@pytest.fixture(scope="module")
def desk() -> Desk:
    assessment = assess(load_build(SHOP, "builds/duty-officer-utility.yaml"))
    return Desk(assessment, to_json(assessment))


def test_the_chapter_has_its_tables_and_the_ground(desk: Desk) -> None:
    found = pieces(desk)
    assert [p["kind"] for p in found] == ["heading", "table", "small", "table", "drawing"]
    assert found[1]["rows"][0][0] == "behind" and found[1]["rows"][0][3] == "5.29*"  # 56.9 lx are 5.29 fc
    assert found[3]["rows"] == [["behind", "hatch-light.white.pose-1", "5.29"]]


def test_areas_as_a_sheet(desk: Desk) -> None:
    sheet = areas_sheet(desk)
    (row,) = sheet.rows
    values = dict(zip([c.header for c in sheet.columns], row, strict=True))
    assert values["average, fc"] == pytest.approx(5.29, abs=0.01) and values["area, ft2"] == pytest.approx(
        43.0556, rel=1e-5
    )


def test_the_grid_reaches_thirty_metres_and_leaves_the_vehicle_out(desk: Desk) -> None:
    rows = list(csv.DictReader(io.StringIO(csv_bytes(ground_sheet(desk)).decode("utf-8-sig"))))
    assert len(rows) > 3500 and {r["state"] for r in rows} == {"on-scene-hatch"}
    size = desk.rig.vehicle.size
    assert max(float(r["x, ft"]) for r in rows) >= (size.length - size.front_overhang + 30) / 0.3048 - 1e-3
    under = [r for r in rows if abs(float(r["y, ft"])) < 1 and 0 < float(r["x, ft"]) * 0.3048 < 1]
    assert not under and max(float(r["level, fc"]) for r in rows) > 1


def test_a_build_without_areas_says_so(desk: Desk) -> None:
    report = {**desk.report, "light": {**desk.report["light"], "scene": []}}
    assert "No area to work in" in pieces(Desk(desk.assessment, report))[1]["text"]
