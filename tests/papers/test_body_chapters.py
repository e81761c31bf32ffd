"""The body on paper: loadings, bars, torque list, lids, heat; every figure that of the results."""

from __future__ import annotations

import xml.etree.ElementTree as ElementTree
from typing import Any

import pytest

from rigbook.assess.results_json import plain
from rigbook.body import work_out
from rigbook.papers import body_chapters
from rigbook.papers.chapter import Desk
from tests.papers.opened import example


def desk(build: str) -> Desk:
    assessment = example(build)
    return Desk(assessment, {"body": plain(work_out(assessment.worked))})


def tables(found: list[dict[str, Any]]) -> dict[str, list[list[str]]]:
    return {p["caption"]: p["rows"] for p in found if p["kind"] == "table"}


@pytest.fixture(scope="module")
def van() -> Desk:
    return desk("flood-support-van")


def test_every_loading_stands_with_its_margins(van: Desk) -> None:
    found = body_chapters.loadings(van)
    rows = tables(found)["Loadings, with the margin to each rating"]
    cases = van.report["body"]["cases"]
    assert [row[0] for row in rows] == [case["title"] for case in cases]
    for row, case in zip(rows, cases, strict=True):
        assert float(row[1]) == pytest.approx(case["mass_kg"] / 0.45359237, abs=0.51)
        assert float(row[4]) == pytest.approx(case["front_margin_kg"] / 0.45359237, abs=0.51)
    words = " ".join(p["text"] for p in found if "text" in p)
    assert "Load capacity reduced by 290 kg" in words and "Altered by: ____" in words


def test_bars_are_as_long_as_their_loads_and_texts_keep_apart(van: Desk) -> None:
    body = van.report["body"]
    plate = body_chapters.axle_bars(body["cases"], body["axles"], unit="lb")
    ElementTree.fromstring(plate.document)
    boxes = [box for _, box in plate.boxes]
    assert len(boxes) == 2 * 2 * len(body["cases"]) + 3
    for index, box in enumerate(boxes):
        assert box.left >= 0 and box.right <= plate.width and box.bottom <= plate.height
        assert not any(box.overlaps(other) for other in boxes[index + 1 :])
    over = [{**case, "front_kg": 2 * body["axles"][0]["rating_kg"]} for case in body["cases"]]
    red = body_chapters.axle_bars(over, body["axles"], unit="kg")
    assert body_chapters.OVER in red.document and body_chapters.OVER not in plate.document
    assert "200 %" in red.document


def test_the_torque_list_is_that_of_the_joints(van: Desk) -> None:
    found = body_chapters.torques(van)
    rows = next(rows for caption, rows in tables(found).items() if caption.startswith("Torque list"))
    mounts = van.report["body"]["mounts"]
    assert len(rows) == len(mounts) == 4
    for row, mount in zip(rows, mounts, strict=True):
        assert row[0] == mount["id"]
        assert float(row[3].rstrip("*†")) == pytest.approx(mount["torque_n_m"] / 1.3558179, abs=0.06)
        assert mount["weakest"] in row[4]
    assert "rivet nut hex" in rows[1][2]


def test_lids_heat_and_gas_stand_below(van: Desk) -> None:
    found = body_chapters.torques(van)
    assert len(tables(found)["Air inside cabinets and consoles, worked out"]) == 2
    assert tables(found)["Air for the gas of lead-acid banks at boost"][0][0] == "auxiliary"
    curve = next(p for p in found if p["kind"] == "drawing")
    root = ElementTree.fromstring(curve["svg"])
    lines = [e for e in root.iter() if e.tag.endswith("line")]
    assert len(lines) == 1 + 3 * 12 + 3
    plate = body_chapters.lid_curve(van.report["body"]["lids"][0])
    boxes = [box for _, box in plate.boxes]
    assert not any(a.overlaps(b) for n, a in enumerate(boxes) for b in boxes[n + 1 :])


def test_a_build_without_joints_says_so_and_sensors_are_listed() -> None:
    assert any("No joint" in p.get("text", "") for p in body_chapters.torques(desk("planted-faults")))
    van = desk("flood-support-van")
    report = {"body": {**van.report["body"], "recalibrate": [{"sensor": "radar", "because_of": "bar"}]}}
    found = body_chapters.torques(Desk(van.assessment, report))
    assert tables(found)["Radars and cameras to recalibrate"] == [["radar", "bar", "", ""]]


def test_scales_are_told_beside_the_arithmetic(van: Desk) -> None:
    weighed = {
        "state": "laden",
        "mass_kg": 3300.0,
        "residual_kg": 20.0,
        "residual_front_kg": 5.0,
        "residual_rear_kg": 15.0,
    }
    report = {"body": {**van.report["body"], "weighed": weighed}}
    words = " ".join(p.get("text", "") for p in body_chapters.loadings(Desk(van.assessment, report)))
    assert "On the scales (laden): 7275 lb. That is 44 lb" in words
