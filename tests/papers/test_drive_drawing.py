"""A drive drawn and tabled: everything of it is there, at its place, in equal bytes."""

from __future__ import annotations

import xml.etree.ElementTree as ElementTree
from importlib import resources
from itertools import pairwise

import pytest

from rigbook.assess.trying import currents_of
from rigbook.papers.drive_drawing import AXIS_MM, LEFT_MM, clock, drive_plate, drive_svg
from rigbook.papers.drive_sheet import drive_sheet
from rigbook.papers.sheet_files import csv_bytes, xlsx_bytes
from rigbook.switching.drive import Drive, run_drive
from rigbook.switching.drive_file import read_drive
from tests.papers.opened import example

DRIVES = ("flood-support-van", "planted-faults")


def drive(build: str) -> Drive:
    rig = example(build).worked
    content = resources.files("rigbook.data").joinpath(f"example_shop/drives/{build}-call.csv").read_bytes()
    return run_drive(rig.program, read_drive(rig.program, content), currents_of(rig))


@pytest.mark.parametrize("build", DRIVES)
def test_the_drawing_is_sound(build: str) -> None:
    made, rig = drive(build), example(build).worked
    plate = drive_plate(rig, made)
    root = ElementTree.fromstring(drive_svg(rig, made))
    assert root.tag.endswith("svg") and drive_svg(rig, made) == drive_svg(rig, drive(build))
    assert plate.missing == ()
    for key, box in plate.boxes:
        assert box.left >= -0.01 and box.right <= plate.width + 2.0 and box.bottom <= plate.height + 0.5, key
    boxes = [box for key, box in plate.boxes if ":bar:" not in key]
    assert not any(a.overlaps(b) for i, a in enumerate(boxes) for b in boxes[:i]) and len(boxes) > 20
    text = "".join(root.itertext())
    for b in made.broken:
        assert b.requirement in text


def test_a_broken_requirement_stands_where_it_was() -> None:
    made, rig = drive("planted-faults"), example("planted-faults").worked
    root = ElementTree.fromstring(drive_svg(rig, made))
    reds = [e for e in root.iter() if e.attrib.get("fill") == "#c0392b"]
    expected = sorted(LEFT_MM + AXIS_MM * b.start_ms / made.end_ms for b in made.broken)
    assert sorted(float(e.attrib["x"]) for e in reds) == pytest.approx(expected, abs=0.01) and len(reds) == 2


@pytest.mark.parametrize("build", DRIVES)
def test_the_sheet_holds_all(build: str) -> None:
    made, program = drive(build), example(build).worked.program
    sheet = drive_sheet(program, made)
    kinds = [row[2] for row in sheet.rows]
    assert kinds.count("current") == len(made.stretches) and kinds.count("device") == len(made.doings)
    assert kinds.count("requirement broken") == len(made.broken)
    for name in (v.name for v in program.variables):
        own = [row for row in sheet.rows if row[3] == name and row[2] in ("switch", "signal", "memory", "timer")]
        assert own[0][0] == 0 and own[-1][1] == made.end_ms / 1000
        assert all(a[1] == b[0] and a[4] != b[4] for a, b in pairwise(own))
    assert csv_bytes(sheet).startswith(b"\xef\xbb\xbf") and xlsx_bytes(sheet).startswith(b"PK")


def test_the_call_of_the_complete_build_keeps_to_its_requirements() -> None:
    made = drive("flood-support-van")
    assert made.broken == () and made.refused == () and made.end_ms == 2_700_000
    assert any(d.device == "siren-amp" and d.what == "horn" for d in made.doings)


@pytest.mark.parametrize(
    ("ms", "words"), [(0, "0 s"), (1_500, "1.5 s"), (59_999, "59.999 s"), (60_000, "1:00"), (3_723_050, "1:02:03.05")]
)
def test_times_as_on_a_watch(ms: int, words: str) -> None:
    assert clock(ms) == words
