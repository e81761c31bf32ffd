"""Whatever is entered, the paper is whole: nothing clipped, nothing upon another, nothing lost."""

from __future__ import annotations

from pathlib import Path

import pytest

from rigbook.assess.assessment import Assessment, assess
from rigbook.documents.loader import load_build
from rigbook.papers.book import book
from tests.papers.example_builds import shop_folder
from tests.papers.test_book import check_pages, pages_of

HEAD = "rigbook: 1\nbuild: {{id: odd, title: {title}, vehicle: compact-utility, customer: {customer}}}\n"


def built(text: str) -> Assessment:
    found = assess(load_build(shop_folder(), Path("builds/odd.yaml"), {"builds/odd.yaml": text.encode()}))
    assert found.errors == ()
    return found


def printed(text: str, folder: Path) -> tuple[list[tuple[float, float, list]], str]:  # type: ignore[type-arg]
    pages = pages_of(book(built(text)), folder)
    check_pages(pages)
    return pages, "".join(w for _, _, words in pages for w, _ in words)


def test_names_of_300_characters(tmp_path: Path) -> None:
    plain, id_ = "W" * 300, "n" * 60 + "-" + "m" * 239
    text = HEAD.format(title=plain, customer="C" * 300) + (
        "feeds: [{id: main, from: battery.starter, fuse: 20 A}]\n"
        f"install:\n  - {{id: {id_}, part: controller-sixteen, at: [1 m, 0 m, 1 m], feed: main, note: {'q' * 300}}}\n"
        f"  - {{id: lamp, part: surface-six-blue, at: [-0.8 m, 0 m, 0.8 m], facing: 0 deg, outputs: {{blue: {id_}.1}}}}\n"
        f"switching:\n  ranks: [only]\n  switches: [{{id: go, label: {'L' * 300}, kind: latching}}]\n"
        f"  functions:\n    - {{name: {'F' * 300}, rank: only, when: go, show: [{{lamps: lamp, colour: blue, pattern: double}}]}}\n"
    )
    _, words = printed(text, tmp_path)
    for long in (plain, "C" * 300, "q" * 300, "F" * 300, "L" * 300):
        assert words.count(long[0]) >= 300, long[0]


def test_right_to_left_text_and_characters_without_a_glyph(tmp_path: Path) -> None:
    text = HEAD.format(title="عربة الإنقاذ 3", customer="救助 מציל") + "notes: x\n"
    pages, words = printed(text, tmp_path)
    assert "U+6551" in words and "U+52A9" in words, "each stands as its code point"
    last = " ".join(w for w, _ in pages[-1][2])
    assert "Characters" in last and "U+6551" in last, "and is listed"


@pytest.mark.long
def test_400_devices(tmp_path: Path) -> None:
    feeds = "".join(f"  - {{id: feed-{n}, from: battery.starter, fuse: 15 A, wire: 10 AWG}}\n" for n in range(40))
    rows = "".join(
        f"  - {{id: lamp-{n}, part: surface-six-blue, at: [{0.3 + 0.003 * n:.3f} m, {0.8 if n % 2 else -0.8} m, "
        f"{0.6 + 0.001 * n:.3f} m], facing: {90 if n % 2 else 270} deg, feed: feed-{n % 40}}}\n"
        for n in range(400)
    )
    _, words = printed(
        HEAD.format(title="Many", customer="Nobody") + "feeds:\n" + feeds + "install:\n" + rows, tmp_path
    )
    assert all(f"lamp-{n}" in words for n in range(400))
