"""Faults planted in light: each gives an error with its place, or a finding that names the lamp; never a traceback."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import pytest

from rigbook.assess.assessment import Assessment, assess
from rigbook.documents.loader import load_build

from .writing import LDT, LM63

SHOP = Path(__file__).resolve().parents[1] / "rules" / "shop"
BUILD, VAN, PARTS, HOUSE = "builds/small.yaml", "vehicles/van.yaml", "parts/all.yaml", "shop.yaml"
Change = tuple[str, str, str]
FILE = (PARTS, "blue: {current: 1.0 A}", "blue: {current: 1.0 A, light: lamp.ies}")
LIT = [
    (PARTS, "blue: {current: 1.0 A}", "blue: {current: 1.0 A, candela: 3000 cd, beam: [60 deg, 20 deg]}"),
    (PARTS, "white: {current: 1.0 A}", "white: {current: 1.0 A, candela: 3000 cd, beam: [60 deg, 20 deg]}"),
]


def assessed(changes: list[Change], files: Mapping[str, str] | None = None) -> Assessment:
    texts = {name: (SHOP / name).read_text() for name in (BUILD, VAN, PARTS, HOUSE)}
    for name, old, new in changes:
        assert texts[name].count(old) == 1, (name, old)
        texts[name] = texts[name].replace(old, new)
    given = {**texts, **(files or {})}
    return assess(load_build(SHOP, Path(BUILD), {name: text.encode("latin-1") for name, text in given.items()}))


def lamp(**entries: str) -> Change:
    return (
        PARTS,
        "blue: {current: 1.0 A}",
        "blue: {current: 1.0 A, " + ", ".join(f"{k}: {v}" for k, v in entries.items()) + "}",
    )


LINES = LM63.splitlines()
LDT_LINES = LDT.splitlines()
PHOTOMETRIC: dict[str, tuple[str, str, int, str]] = {
    "cut short": ("lamp.ies", "\n".join(LINES[:-1]), len(LINES) - 1, "the file ends before"),
    "cut short in the head": ("lamp.ies", "\n".join(LINES[:8]), 8, "the file ends before"),
    "negative candela": ("lamp.ies", LM63.replace("100 50 0", "100 -50 0"), 12, "below 0"),
    "more values than counts": ("lamp.ies", LM63 + "7 7\n", 15, "more than the counts say"),
    "fewer counts": ("lamp.ies", LM63.replace("1 1000 2 3 2 1", "1 1000 2 3 1 1"), 12, "more than the counts say"),
    "a word for a number": ("lamp.ies", LM63.replace("80, 40", "80, dark"), 13, "is not a number"),
    "not a number": ("lamp.ies", LM63.replace("80, 40", "80, nan"), 13, "not a finite number"),
    "no TILT line": ("lamp.ies", LM63.replace("TILT=NONE\n", ""), 13, "no TILT="),
    "a tilt file": ("lamp.ies", LM63.replace("TILT=NONE", "TILT=lamp.tlt"), 7, "tilt file"),
    "angles that fall": ("lamp.ies", LM63.replace("0 45 90", "0 90 45"), 10, "do not rise"),
    "an unknown type": ("lamp.ies", LM63.replace("1 1000 2 3 2 1", "1 1000 2 3 2 4"), 8, "one of (1, 2, 3)"),
    "an empty file": ("lamp.ies", "\n\n", 1, "empty"),
    "another ending": ("lamp.txt", LM63, 1, "neither LM-63 nor EULUMDAT"),
    "EULUMDAT cut short": ("lamp.ldt", "\n".join(LDT_LINES[:-2]), len(LDT_LINES) - 2, "the file ends before"),
    "EULUMDAT below 0": ("lamp.ldt", "\n".join([*LDT_LINES[:-1], "-3"]), len(LDT_LINES), "below 0"),
    "EULUMDAT with a symmetry of 7": ("lamp.ldt", "\n".join([*LDT_LINES[:2], "7", *LDT_LINES[3:]]), 3, "from 0 to 4"),
    "EULUMDAT with lines too many": ("lamp.ldt", LDT + "5\n", len(LDT_LINES) + 1, "more than the counts say"),
}


@pytest.mark.parametrize("name", list(PHOTOMETRIC))
def test_a_photometric_file_that_is_wrong(name: str) -> None:
    file, text, line, says = PHOTOMETRIC[name]
    assessment = assessed([lamp(light=file)], {f"light/{file}": text})
    assert assessment.rig is None
    assert [(e.file, e.line) for e in assessment.errors] == [(f"light/{file}", line)]
    assert says in assessment.errors[0].says


DOCUMENTS: dict[str, tuple[list[Change], str, str]] = {
    "a file that is not there": ([lamp(light="lmap.ies")], PARTS, "lmap.ies"),
    "a path": ([lamp(light="../lamp.ies")], PARTS, "not the name of a file"),
    "a beam without a peak": ([lamp(beam="[20 deg, 10 deg]")], PARTS, "without its peak"),
    "a beam beyond a turn": ([lamp(candela="10 cd", beam="[400 deg, 10 deg]")], PARTS, "360"),
    "a peak below 0": ([lamp(candela="-10 cd", beam="[40 deg, 10 deg]")], PARTS, "-10 cd"),
    "a chromaticity that no light has": ([lamp(chromaticity="[0.7, 0.6]")], PARTS, "no light has this chromaticity"),
    "a roll without a unit": ([(BUILD, "place: nose, tags", "place: nose, roll: 90, tags")], BUILD, "90"),
}


@pytest.mark.parametrize("name", list(DOCUMENTS))
def test_a_document_that_is_wrong(name: str) -> None:
    changes, file, says = DOCUMENTS[name]
    errors = assessed(changes, {"light/lamp.ies": LM63}).errors
    assert errors and errors[0].file == file and errors[0].line > 1 and errors[0].column > 1
    assert says in f"{errors[0].says} {errors[0].found}"


FINDINGS: dict[str, tuple[list[Change], str, str]] = {
    "a lamp inside the body": (
        [*LIT, (VAN, "{id: nose, at: [-0.9 m, 0 m, 0.8 m], facing: 0 deg", "{id: nose, at: [2 m, 0 m, 1.4 m], facing: 0 deg")],
        "lamp-inside-the-body@nose-lamp", "sits inside the outline",
    ),
    "no facing": (
        [*LIT, (VAN, "{id: nose, at: [-0.9 m, 0 m, 0.8 m], facing: 0 deg", "{id: nose, at: [-0.9 m, 0 m, 0.8 m]")],
        "light-unknown@nose-lamp.blue", "faces nowhere",
    ),
    "no light": ([], "light-unknown@tail-lamp.blue", "says nothing of its light"),
    "a peak without a beam": ([lamp(candela="100 cd")], "light-unknown@nose-lamp.blue", "a peak and no beam"),
    "no level": (LIT, "lamp-without-level@nose-lamp", "neither upper nor lower"),
    "a zone with no lamp": ([*LIT, (HOUSE, "rules: [wiring, altered-vehicle]", "rules: [optical-warning]")],
                            "fire-optical-total@blocking.right.all", "0 cd s/min"),
}  # fmt: skip


@pytest.mark.parametrize("name", list(FINDINGS))
def test_a_vehicle_that_is_wrong(name: str) -> None:
    changes, wanted, says = FINDINGS[name]
    assessment = assessed(changes)
    assert assessment.errors == ()
    found = {f.id: f for f in assessment.findings}
    assert wanted in found, sorted(found)
    assert says in found[wanted].says
    assert not any(f.own_fault for f in assessment.findings)


def test_a_zone_with_no_lamp_is_dark_and_a_lamp_inside_sends_nothing() -> None:
    light = assessed(LIT).light
    assert light is not None
    dark = {row.id: row for row in light.result.warning or ()}["blocking.right.all"]
    assert (dark.flashes_per_min, dark.point_at_deg) == (0.0, 90.0) and dark.point_cd_s_per_min < 1e-6
    inside = assessed(FINDINGS["a lamp inside the body"][0]).light
    assert inside is not None
    rows = {row.id: row for row in inside.result.warning or ()}
    assert rows["blocking.front.all"].cd_s_per_min == 0 < rows["blocking.rear.all"].cd_s_per_min


def test_how_many_faults_are_planted() -> None:
    assert len(PHOTOMETRIC) + len(DOCUMENTS) + len(FINDINGS) >= 30
