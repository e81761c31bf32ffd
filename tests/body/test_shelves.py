"""Shelves and drawers of a build."""

from __future__ import annotations

import pytest

from rigbook.body import work_out
from rigbook.rig.model import Rig
from tests.body.test_explain import agree
from tests.rig.small import PARTS, build_text, errors, load, worked

MORE = (
    PARTS
    + "  - {id: plank, kind: shelf, title: Shelf, mass: 2 kg, size: [0.3 m, 0.6 m, 20 mm], rating: 15 kg, heights: [180 mm, 240 mm]}\n"
)
ROWS = "  - {id: plank-1, part: plank, at: [2.5 m, 0 m, 1 m]}\n  - {id: box-1, part: plate, at: [2.5 m, 0 m, 1.1 m]}\n  - {id: horn-1, part: horn, at: [2.5 m, 0 m, 0.8 m], amplifier: amp-1}\n  - {id: amp-1, part: amp, at: [2.5 m, 0.2 m, 0.8 m], feed: box-feed}\n"
KIT = "kit:\n  - {id: rope, mass: 5 kg, at: [2.5 m, 0 m, 1.1 m]}\n"
TEXT = "shelves:\n  - {id: top, of: plank-1, holds: [box-1], kit: [rope], spare: 1 kg, sheet: {thickness: 2 mm, flange: 20 mm}, below: [horn-1]}\n"


def car(text: str = TEXT) -> Rig:
    return worked(build_text(install=ROWS, more=KIT + text), parts=MORE)


def test_load_sag_and_room() -> None:
    rig = car()
    found = work_out(rig).shelves[0]
    assert (found.load_kg, found.rating_kg, found.span_m) == (pytest.approx(4 + 5 + 1), 15, 0.6)
    assert found.clearance_m == pytest.approx(0.18 - 0.01 - 0.165)
    assert [n.subject for n in work_out(rig).notes if n.rule == "shelf-clearance"] == ["top"]
    flat = work_out(car(TEXT.replace(", flange: 20 mm", ""))).shelves[0]
    assert flat.sag_m == pytest.approx(5 * 10 * 9.80665 / 0.6 * 0.6**4 / (384 * 69e9 * 0.3 * 0.002**3 / 12))
    assert found.sag_m < flat.sag_m / 40  # type: ignore[operator]
    assert agree(rig) > 100


def test_what_is_not_entered_is_not_worked_out() -> None:
    rig = car("shelves:\n  - {id: top, of: plank-1}\n")
    found = work_out(rig).shelves[0]
    assert (found.sag_m, found.sag_span_share, found.clearance_m, found.load_kg) == (None, None, None, 0)
    agree(rig)


BAD = [
    ("of: plank-1", "of: box-1", "there is no installed shelf or drawer"),
    ("holds: [box-1]", "holds: [box-2]", "there is no installed thing"),
    ("below: [horn-1]", "below: [horn-2]", "there is no installed thing"),
    ("kit: [rope]", "kit: [line]", "there is no kit"),
    ("thickness: 2 mm", "thickness: 0 mm", "above zero"),
    ("flange: 20 mm", "flange: 1 mm", "deeper than"),
    ("spare: 1 kg", "material: steel", "material"),
]


@pytest.mark.parametrize(("good", "bad", "says"), BAD)
def test_shelves_that_cannot_be(good: str, bad: str, says: str) -> None:
    assert good in TEXT
    text = build_text(install=ROWS, more=KIT + TEXT.replace(good, bad))
    told = [str(error) for error in load(text, parts=MORE).errors] or errors(text, parts=MORE)
    assert any(says in error and "builds/unit.yaml:" in error for error in told), told
