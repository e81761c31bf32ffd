from __future__ import annotations

import xml.etree.ElementTree as ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rigbook.papers.canvas import Canvas, height_of, stacked, width_of, wrapped
from rigbook.papers.svg import text_width


@given(st.text(max_size=80), st.floats(6.0, 60.0))
def test_wrapping_loses_nothing_and_fits(text: str, width: float) -> None:
    lines = wrapped(text, width=width, size=2.3)
    assert "".join("".join(line.split()) for line in lines) == "".join(text.split())
    assert all(width_of(line, size=2.3) <= width + 1e-9 or len(line) == 1 for line in lines)


def test_a_word_is_broken_only_where_it_must_be() -> None:
    assert wrapped("left and right", width=width_of("left and", size=2.0), size=2.0) == ["left and", "right"]
    long = wrapped("a" * 100, width=20.0, size=2.0)
    assert len(long) > 3 and "".join(long) == "a" * 100
    assert wrapped("", width=10.0, size=2.0) == [""]


@pytest.mark.parametrize(("anchor", "left"), [("start", 50.0), ("middle", 40.0), ("end", 30.0)])
def test_the_box_of_a_text_follows_its_anchor(anchor: str, left: float) -> None:
    words = "m" * 8
    size = 20.0 / text_width(words, size=1.0)
    box = Canvas().text(words, 50.0, 10.0, size=size, key="k", anchor=anchor)  # type: ignore[arg-type]
    assert box.left == pytest.approx(left) and box.right == pytest.approx(left + 20.0)
    assert box.top < 10.0 < box.bottom


def test_a_boxed_character_stands_inside_the_box_of_its_text() -> None:
    canvas = Canvas()
    box = canvas.text("A 中 B", 10.0, 10.0, size=3.0, key="k")
    plate = canvas.plate("p", "P", height=20.0)
    assert [m.code_point for m in plate.missing] == ["U+4E2D"]
    root = ElementTree.fromstring(plate.document)
    frames = [r for r in root.iter("{http://www.w3.org/2000/svg}rect") if r.get("class") != "paper"]
    assert len(frames) == 1
    x, wide = float(frames[0].attrib["x"]), float(frames[0].attrib["width"])
    assert box.left < x < x + wide < box.right
    assert "".join(t.strip() for t in root.itertext()).endswith("AU+4E2DB")


def test_plates_stand_below_each_other() -> None:
    plates = []
    for name in "ab":
        canvas = Canvas()
        canvas.text(name, 1.0, 5.0, size=2.0, key=name)
        plates.append(canvas.plate(name, name, height=10.0, width=30.0))
    root = ElementTree.fromstring(stacked(plates, title="<both>", gap=6.0))
    assert root.attrib["viewBox"] == "0 0 30 26"
    moved = [g.get("transform") for g in root.iter("{http://www.w3.org/2000/svg}g") if g.get("data-plate")]
    assert moved == [None, "translate(0 16)"]
    assert height_of("one line", width=100.0, size=2.0) == 2.5
