from __future__ import annotations

import json
import unicodedata
from importlib import resources

import pytest

from rigbook.papers.glyphs import all_printable, missing, printable, runs


def test_the_table_is_what_the_fonts_hold() -> None:
    ttfont = pytest.importorskip("fontTools.ttLib").TTFont
    fonts = resources.files("rigbook.browser").joinpath("fonts")
    held = []
    for name in ("DejaVuSansCondensed.ttf", "DejaVuSansCondensed-Bold.ttf"):
        with resources.as_file(fonts.joinpath(name)) as path:
            held.append(set(ttfont(path).getBestCmap()))
    both = held[0] & held[1]
    listed = {
        code
        for first, last in json.loads(fonts.joinpath("coverage.json").read_text(encoding="utf-8"))
        for code in range(first, last + 1)
    }
    assert len(both) > 5000
    assert listed == both


@pytest.mark.parametrize("text", ["Flood van", "Größe 5 Ω ≤ 3", "מים", "مياه", "Ψυχρό", "вода", "A–B → C"])
def test_what_the_fonts_hold_prints_as_it_stands(text: str) -> None:
    assert all_printable(text)
    assert "".join(r.text for r in runs(text)) == text


def test_what_no_font_has_is_its_code_point_in_a_box() -> None:
    found = runs("Van 中文 unit \U0001f6f6")
    assert [r.text for r in found if r.boxed] == ["U+4E2D", "U+6587", "U+1F6F6"]
    assert "".join(r.text for r in found if not r.boxed) == "Van  unit "
    assert [m.code_point for m in missing(["中文", "文"])] == ["U+4E2D", "U+6587"]
    assert missing(["\U0001f6f6"])[0].name == "canoe"


def test_a_line_cannot_be_turned_unseen() -> None:
    # U+202E turns what follows from right to left: shown, never obeyed
    assert [r.text for r in runs("a\u202eb") if r.boxed] == ["U+202E"]
    assert runs("a\tb\nc") == runs("a b c")
    assert [r.text for r in runs("a\x07") if r.boxed] == ["U+0007"]


def test_composed_where_a_composed_form_exists() -> None:
    assert runs(unicodedata.normalize("NFD", "ä")) == runs("ä")
    assert printable("ä")


def test_nothing_is_nothing() -> None:
    assert runs("") == ()
    assert missing([]) == ()


def test_the_widths_are_of_every_character_that_prints() -> None:
    fonts = resources.files("rigbook.browser").joinpath("fonts")
    widths = json.loads(fonts.joinpath("advances.json").read_text(encoding="utf-8"))
    ranges = json.loads(fonts.joinpath("coverage.json").read_text(encoding="utf-8"))
    codes = {code for first, last in ranges for code in range(first, last + 1)}
    for weight in ("regular", "bold"):
        assert {ord(c) for c in widths[weight]} == codes
