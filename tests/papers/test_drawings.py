"""Every drawing of every build: strict XML, nothing on another, nothing outside, equal twice, for strange input too."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ElementTree
from pathlib import Path

import pytest

from rigbook.assess.assessment import Assessment, assess, assess_rig_alone
from rigbook.assess.results_json import to_json
from rigbook.cli.draw import NAMES
from rigbook.documents.loader import load_build
from rigbook.papers.canvas import Plate
from rigbook.papers.drawings import DRAWINGS, drawing_pdf, drawing_pieces, drawing_svg, plates_of
from rigbook.papers.svg import Box

from .shops import LONG, RIGHT_TO_LEFT, UNKNOWN, long_names, many, nothing, other_writing, strange_shop

SVG = "{http://www.w3.org/2000/svg}"
STRANGE = {
    "nothing": nothing(),
    "long": long_names(),
    "right-to-left": other_writing(RIGHT_TO_LEFT),
    "unknown": other_writing(UNKNOWN),
    "four-hundred": many(400),
}


def overlaps(plate: Plate) -> list[tuple[str, str]]:
    boxes = sorted(plate.boxes, key=lambda named: named[1].left)
    found = []
    for index, (name, box) in enumerate(boxes):
        for other, beside in boxes[index + 1 :]:
            if beside.left >= box.right:
                break
            if box.overlaps(beside):
                found.append((name, other))
    return found


def outside(plate: Plate) -> list[str]:
    sheet = Box(0, 0, plate.width, plate.height)
    return [name for name, box in plate.boxes if not box.inside(sheet)]


@pytest.fixture(scope="module", params=list(STRANGE))
def strange(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Assessment:
    folder, build = strange_shop(tmp_path_factory.mktemp("strange") / "shop", STRANGE[request.param])
    assessment = assess_rig_alone(load_build(folder, build))
    assert assessment.rig is not None, [f"{e.line}: {e.says}" for e in assessment.errors]
    return assessment


@pytest.fixture(scope="module")
def large(tmp_path_factory: pytest.TempPathFactory) -> Assessment:
    folder, _ = strange_shop(tmp_path_factory.mktemp("large") / "shop", nothing())
    return assess(load_build(folder, Path("builds/flood-support-van.yaml")))


def check(assessment: Assessment, name: str) -> list[Plate]:
    plates = plates_of(name, assessment.worked, to_json(assessment))
    assert plates
    for plate in plates:
        assert overlaps(plate) == [], f"{name} {plate.key}"
        assert outside(plate) == [], f"{name} {plate.key}"
        root = ElementTree.fromstring(plate.document)
        texts = [t for t in root.iter(f"{SVG}text") if "".join(t.itertext()).strip()]
        assert len(texts) >= len(plate.boxes) > 0
    return plates


@pytest.mark.parametrize("name", list(DRAWINGS))
def test_every_drawing_of_strange_builds_is_whole(strange: Assessment, name: str) -> None:
    if len(strange.worked.devices) > 100 and (name.startswith("view") or name == "lamp-map"):
        pytest.skip("takes its time: among the long ones")
    check(strange, name)


@pytest.mark.long
def test_the_lamp_map_of_four_hundred_lamps_is_whole(tmp_path: Path) -> None:
    folder, build = strange_shop(tmp_path / "shop", many(400))
    assessment = assess_rig_alone(load_build(folder, build))
    plates = [*check(assessment, "lamp-map"), *check(assessment, "view-left")]
    words = "".join("".join(ElementTree.fromstring(p.document).itertext()) for p in plates)
    assert all(f"lamp-{n} " in words for n in range(400))


@pytest.mark.parametrize("name", list(DRAWINGS))
def test_every_drawing_of_the_complete_build_is_whole_and_equal_twice(large: Assessment, name: str) -> None:
    check(large, name)
    report = to_json(large)
    first = drawing_svg(name, large.worked, report)
    assert first == drawing_svg(name, large.worked, report)
    assert first.startswith(b"<svg ")


def test_the_command_knows_every_drawing_by_name() -> None:
    assert tuple(DRAWINGS) == NAMES


@pytest.mark.parametrize("name", ["fuse-map", "timing", "labels", "view-rear"])
def test_a_drawing_as_pdf_is_equal_twice(large: Assessment, name: str) -> None:
    report = to_json(large)
    first = drawing_pdf(name, large.worked, report)
    assert first.startswith(b"%PDF-")
    assert first == drawing_pdf(name, large.worked, report)


def test_long_names_stand_whole(tmp_path: Path) -> None:
    folder, build = strange_shop(tmp_path / "shop", long_names())
    assessment = assess_rig_alone(load_build(folder, build))
    report = to_json(assessment)
    for name in ("panels", "timing", "fuse-map"):
        words = "".join(
            "".join(ElementTree.fromstring(p.document).itertext()) for p in plates_of(name, assessment.worked, report)
        )
        wanted = LONG[:290] if name == "fuse-map" else LONG
        assert wanted in re.sub(r"\s", "", words), name


def test_what_no_font_has_stands_in_a_box_and_is_listed(tmp_path: Path) -> None:
    folder, build = strange_shop(tmp_path / "shop", other_writing(UNKNOWN))
    assessment = assess_rig_alone(load_build(folder, build))
    report = to_json(assessment)
    plates = plates_of("panels", assessment.worked, report)
    assert {m.code_point for p in plates for m in p.missing} >= {"U+6C34", "U+8ECA", "U+1F6F6"}
    words = "".join("".join(ElementTree.fromstring(p.document).itertext()) for p in plates)
    assert "U+6C34" in words
    assert "水" not in words
    notes = [p["text"] for p in drawing_pieces("panels", assessment.worked, report) if p["kind"] == "small"]
    assert len(notes) == 1
    assert "U+1F6F6 canoe" in notes[0]


def test_a_letter_stands_with_every_colour(large: Assessment) -> None:
    """Black and white: no drawing says anything by colour alone."""
    report = to_json(large)
    used = set()
    for name in ("fuse-map", "panels", "timing"):
        for plate in plates_of(name, large.worked, report):
            for node in ElementTree.fromstring(plate.document).iter():
                for key in ("fill", "stroke"):
                    ink = node.get(key, "none")
                    if ink.startswith("#"):
                        used.add(ink)
                        assert len({ink[1:3], ink[3:5], ink[5:7]}) == 1, f"{name}: {ink} is no grey"
    assert len(used) >= 4
    marks = {m.colours for v in ("plan",) for m in plates_marks(large)}
    assert len(marks) >= 4


def plates_marks(assessment: Assessment) -> list[object]:
    from rigbook.papers.lampmap import colour_letters, lamp_map

    drawn = lamp_map(assessment.worked)
    letters = colour_letters(assessment.worked)
    view = drawn.view("plan")
    rows = {row.group: row.letters.split() for row in drawn.key}
    for mark in view.marks:
        assert {letters[c] for c in mark.colours} <= set(rows[mark.row])
    return list(view.marks)
