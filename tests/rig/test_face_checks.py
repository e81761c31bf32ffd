"""Faces that cannot be: each error at its place."""

from __future__ import annotations

import pytest

from tests.rig.faced import PARTS_ON_FACES, car, cupboard_text, face_text
from tests.rig.small import errors, load

ROW = "{id: plug-1, part: plug, on: {panel: dash-plate, at: [60 mm, 60 mm]}}"
GOOD = face_text(ROW)
DRAWERS = cupboard_text(
    "{id: drawer-a, part: drawer-1, on: {panel: front, at: [300 mm, 700 mm]}}",
    "    holds: [cupboard-1]\n    moves: [{of: drawer-a, out: 350 mm}]\n".replace("    holds: [cupboard-1]\n", ""),
)
BAD = [
    (GOOD, "size: [260 mm, 130 mm]", "size: [0 mm, 130 mm]", "width and a height above zero", "size"),
    (GOOD, "size: [260 mm, 130 mm]", "size: [25 mm, 25 mm]", "larger than the face", "on:"),
    (GOOD, "depth: 150 mm", "depth: 0 mm", "above zero", "depth"),
    (GOOD, "thickness: 2 mm", "thickness: 0 mm", "above zero", "thickness"),
    (GOOD, "thickness: 2 mm", "corner: 80 mm", "rounder than the face", "corner"),
    (GOOD, "thickness: 2 mm", "edge: 70 mm", "leave nothing", "edge"),
    (GOOD, "thickness: 2 mm", "fixings: [[1 mm, 1 mm]]", "over the edge of the face", "fixings"),
    (GOOD, "thickness: 2 mm", "fixings: [[9 mm, 9 mm], [9 mm, 9 mm]]", "two holes stand in one place", "fixings"),
    (GOOD, "thickness: 2 mm", "access: []", "from any side", "access"),
    (GOOD, "at: [60 mm, 60 mm]", "at: [300 mm, 60 mm]", "sits beside the face", "[300 mm"),
    (GOOD, "at: [60 mm, 60 mm]", "at: [10 mm, 60 mm]", "reaches over the edge", "[10 mm"),
    (GOOD, "at: [60 mm, 60 mm]", "at: [60, 60]", "unit", "[60, 60]"),
    (GOOD, "at: [60 mm, 60 mm]", "at: [60 mm, 60 mm], turn: 30 deg", "laid out square", "30 deg"),
    (GOOD, "at: [60 mm, 60 mm]", "at: [60 mm, 60 mm], use: 12", "use runs from 1 to 9", "12"),
    (GOOD, "panel: dash-plate", "panel: dash-plat", "there is no face, place or installed face", "dash-plat"),
    (GOOD, "id: dash-plate", "id: dash", "one name may not be both", "id: dash"),
    (GOOD, "seat: driver", "seat: drover", "there is no seat", "drover"),
    (GOOD, "within: 0.8 m", "within: 0 m", "above zero", "within"),
    (GOOD, "node: middle", "node: muddle", "there is no route node", "muddle"),
    (GOOD, "node: middle", "area: attic", "there is no area", "attic"),
    (GOOD, "node: middle", "host: plug-1", "installed console, cabinet or board", "plug-1"),
    (GOOD, "node: middle", "holds: [plug-1]", "sits on dash-plate itself", "holds"),
    (GOOD, "node: middle", "holds: [plug-2]", "there is no installed thing", "plug-2"),
    (GOOD, "node: middle", "moves: [{of: plug-1, out: 10 mm}]", "neither drawer nor door", "moves"),
    (GOOD, "node: middle", "width: 3 mm", "width", "width"),
    (DRAWERS, "out: 350 mm", "out: 350 mm, hinge: left", "either pulls out or turns", "hinge"),
    (DRAWERS, "out: 350 mm", "angle: 90 deg", "either pulls out or turns", "moves"),
    (DRAWERS, "out: 350 mm", "out: 0 mm", "above zero", "out: 0"),
    (DRAWERS, "out: 350 mm", "hinge: left, angle: 200 deg", "at most 180", "200"),
    (DRAWERS, "{of: drawer-a, out: 350 mm}", "{of: drawer-a, out: 1 mm}, {of: drawer-a, out: 2 mm}", "moves twice", "moves"),
    (DRAWERS, "of: drawer-a", "of: drawer-b", "there is no thing on front", "drawer-b"),
]  # fmt: skip


@pytest.mark.parametrize("text", [GOOD, DRAWERS], ids=["face", "cupboard"])
def test_the_good_ones_are_good(text: str) -> None:
    assert car(text).build.panels


@pytest.mark.parametrize(("good", "was", "now", "says", "there"), BAD, ids=[f"{n}-{b[3]}" for n, b in enumerate(BAD)])
def test_faces_that_cannot_be(good: str, was: str, now: str, says: str, there: str) -> None:
    assert good.count(was) >= 1
    text = good.replace(was, now, 1) if was != "id: dash-plate" else good.replace("dash-plate", "dash")
    told = [str(e) for e in load(text, parts=PARTS_ON_FACES).errors] or errors(text, parts=PARTS_ON_FACES)
    hits = [error for error in told if says in error]
    assert hits, told
    line = int(hits[0].split(":")[1])
    assert hits[0].startswith("builds/unit.yaml:")
    around = "\n".join(text.splitlines()[line - 1 : line + 1])
    assert there in around, (hits[0], around)


@pytest.mark.parametrize(
    ("was", "now", "says"),
    [
        ("cut_out: [29 mm, 29 mm]", "cut_out: [0 mm, 29 mm]", "above zero"),
        ("cut_out: [29 mm, 29 mm]", "cut_out: [49 mm, 29 mm]", "larger than what covers it"),
        ("cut_out_corner: 14.5 mm", "cut_out_corner: 20 mm", "rounder than the cut-out"),
    ],
)
def test_parts_whose_cut_out_cannot_be(was: str, now: str, says: str) -> None:
    told = [str(e) for e in load(GOOD, parts=PARTS_ON_FACES.replace(was, now, 1)).errors]
    assert any(says in error and error.startswith("parts/") for error in told), told
