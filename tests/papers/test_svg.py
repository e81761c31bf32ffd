from __future__ import annotations

import xml.etree.ElementTree as ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rigbook.papers import svg
from rigbook.papers.svg import Box


@given(st.text(max_size=40))
def test_whatever_a_person_wrote_reads_back_from_strict_xml(words: str) -> None:
    markup = svg.document([svg.text(words, x=1, y=2, size=3, data_group=words)], width=10, height=10, title=words)
    root = ElementTree.fromstring(markup)
    line = root.find("{http://www.w3.org/2000/svg}text")
    assert line is not None
    kept = "".join(c if svg._allowed(c) else "�" for c in words)
    assert (line.text or "") == kept.replace("\r\n", "\n").replace("\r", "\n")


@pytest.mark.parametrize(("value", "shown"), [(1.5, "1.5"), (-0.001, "0"), (3.0, "3"), (0.125, "0.12"), (-2.5, "-2.5")])
def test_numbers_print_short_and_without_negative_zero(value: float, shown: str) -> None:
    assert svg.number(value) == shown


@pytest.mark.parametrize("value", [float("nan"), float("inf")])
def test_a_coordinate_that_is_no_number_is_refused(value: float) -> None:
    with pytest.raises(ValueError, match="finite"):
        svg.number(value)


def test_widths_are_those_of_the_vendored_fonts() -> None:
    from importlib import resources

    from fontTools.ttLib import TTFont

    for bold, name in ((False, "DejaVuSansCondensed.ttf"), (True, "DejaVuSansCondensed-Bold.ttf")):
        with resources.as_file(resources.files("rigbook.browser").joinpath("fonts", name)) as path:
            font = TTFont(path)
            glyphs, advances = font.getBestCmap(), font["hmtx"]
            words = "Grille-left B W 4.2 Ω ≤ – é"
            whole = sum(advances[glyphs[ord(c)]][0] for c in words)
            assert svg.text_width(words, size=10, bold=bold) == pytest.approx(whole * 10 / font["head"].unitsPerEm)


def test_boxes() -> None:
    box = Box(0, 0, 2, 1)
    assert box.overlaps(Box(1, 0.5, 3, 2))
    assert not box.overlaps(Box(2, 0, 3, 1)), "touching is not overlapping"
    assert box.inside(Box(0, 0, 2, 1)) and not box.inside(Box(0.1, 0, 2, 1))
    assert box.moved(1, 2) == Box(1, 2, 3, 3) and box.grown(1) == Box(-1, -1, 3, 2)
