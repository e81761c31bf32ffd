from __future__ import annotations

import itertools
import re
import shutil
import subprocess
from dataclasses import replace
from importlib import resources
from pathlib import Path

import pytest

from rigbook.assess.assessment import Assessment, assess
from rigbook.assess.results_json import to_json
from rigbook.documents.loader import load_build
from rigbook.papers import chapters, pieces
from rigbook.papers.book import book, book_data
from rigbook.papers.svg import Box
from tests.papers.example_builds import assessed

BUILD = Path("builds/duty-officer-utility.yaml")
MARGIN_PT = 17 * 72 / 25.4
WORD = re.compile(r'<word xMin="([\d.]+)" yMin="([\d.]+)" xMax="([\d.]+)" yMax="([\d.]+)">(.*?)</word>')


BUILDS = ("duty-officer-utility", "boat-crew-pickup", "flood-support-van", "planted-faults")


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("book") / "shop"
    with resources.as_file(resources.files("rigbook.data").joinpath("example_shop")) as source:
        shutil.copytree(source, folder)
    return folder


@pytest.fixture(scope="module")
def assessment(folder: Path) -> Assessment:
    return assess(load_build(folder, BUILD))


@pytest.fixture(scope="module")
def printed(assessment: Assessment) -> bytes:
    return book(assessment)


def pages_of(pdf: bytes, folder: Path) -> list[tuple[float, float, list[tuple[str, Box]]]]:
    """Width, height and words with their boxes, page by page, as poppler reads them."""
    if shutil.which("pdftotext") is None:
        pytest.skip("poppler-utils is not installed; run.py test brings it")
    (folder / "book.pdf").write_bytes(pdf)
    subprocess.run(["pdftotext", "-bbox", "book.pdf", "book.html"], cwd=folder, check=True, timeout=60)
    pages = []
    for page in (folder / "book.html").read_text(encoding="utf-8").split("<page ")[1:]:
        width, height = (float(n) for n in re.match(r'width="([\d.]+)" height="([\d.]+)"', page).groups())  # type: ignore[union-attr]
        pages.append((width, height, [(m[5], Box(*(float(m[i]) for i in range(1, 5)))) for m in WORD.finditer(page)]))
    return pages


def overlapping(words: list[tuple[str, Box]]) -> list[tuple[str, str]]:
    """Words that truly cover each other: font boxes are taller than ink, so a quarter of the height is taken off both ends."""

    def ink(box: Box) -> Box:
        cut = (box.bottom - box.top) * 0.25
        return Box(box.left + 0.1, box.top + cut, box.right - 0.1, box.bottom - cut)

    boxes = [(w, ink(b)) for w, b in words]
    return [(a, b) for (a, box_a), (b, box_b) in itertools.combinations(boxes, 2) if box_a.overlaps(box_b)]


def test_every_example_build_is_here(folder: Path) -> None:
    assert {p.stem for p in (folder / "builds").glob("*.yaml")} == set(BUILDS)


@pytest.mark.parametrize("build", BUILDS)
def test_every_word_lies_inside_the_margins_and_on_no_other(folder: Path, build: str, tmp_path: Path) -> None:
    pages = pages_of(book(assess(load_build(folder, Path(f"builds/{build}.yaml")))), tmp_path)
    assert len(pages) >= 3 and sum(len(words) for _, _, words in pages) > 400
    cover = {w for w, _ in pages[0][2]}
    assert {"Plan", "Front", "Rear", "Figure"} <= cover, "the picture and its caption stand on the cover"
    check_pages(pages)


def check_pages(pages: list[tuple[float, float, list[tuple[str, Box]]]]) -> None:
    """No word outside the margins, none on another, on any page."""
    for number, (width, height, words) in enumerate(pages, 1):
        paper = Box(MARGIN_PT - 0.5, 8 * 72 / 25.4, width - MARGIN_PT + 0.5, height - 8 * 72 / 25.4)
        outside = [w for w, b in words if not b.inside(paper)]
        assert outside == [], f"page {number}"
        assert overlapping(words) == [], f"page {number}"


@pytest.mark.parametrize("build", BUILDS)
def test_no_example_has_a_character_that_no_font_has(build: str) -> None:
    """Places to break a long word are no characters of the paper."""
    names = [part["name"] for part in book_data(assessed(build))["parts"]]
    assert len(names) > 10 and "characters" not in names


def test_every_page_says_build_digest_and_its_number(printed: bytes, assessment: Assessment, tmp_path: Path) -> None:
    pages = pages_of(printed, tmp_path)
    digest = assessment.worked.digest[:16]
    for number, (_, _, words) in enumerate(pages, 1):
        text = " ".join(w for w, _ in words)
        assert digest in text
        assert f"page {number} of {len(pages)}" in text


def test_equal_assessments_give_equal_bytes(assessment: Assessment, printed: bytes) -> None:
    assert book(assessment) == printed


def test_the_book_tells_what_is_in_the_report(printed: bytes, assessment: Assessment, tmp_path: Path) -> None:
    text = re.sub(r"\s+", " ", " ".join(w for _, _, words in pages_of(printed, tmp_path) for w, _ in words))
    rig, report = assessment.worked, to_json(assessment)
    for row in rig.build.install:
        assert row.id in text
    for circuit in report["power"]["circuits"]:
        assert circuit["id"] in text
    for function in rig.build.switching.functions:
        assert function.name.split()[0] in text
    assert "Caution." in text and "complian" not in text.lower() and "certif" not in text.lower()


def test_us_shops_read_us_spelling_on_letter_paper_and_metric_ones_on_a4(
    assessment: Assessment, tmp_path: Path
) -> None:
    rig = assessment.worked
    assert rig.shop.units == "us"
    us = pages_of(book(assessment), tmp_path)
    metric = pages_of(
        book(replace(assessment, rig=replace(rig, shop=rig.shop.model_copy(update={"units": "metric"})))), tmp_path
    )
    assert us[0][:2] == (612.0, 792.0)
    assert metric[0][0] == pytest.approx(595.28, abs=0.1) and metric[0][1] == pytest.approx(841.89, abs=0.1)
    words_us, words_metric = ({w.strip(".,;:") for _, _, p in pages for w, _ in p} for pages in (us, metric))
    assert "Colors" in words_us and "Colors" not in words_metric and "Colours" in words_metric
    assert "lb" in words_us and "kg" in words_metric


def test_awkward_titles_stay_on_the_page(assessment: Assessment, tmp_path: Path) -> None:
    rig = assessment.worked
    long = "Unit " + "very-long-name-without-a-break" * 10
    for title in (long, "# not a heading *not bold* $x$ #panic() @label <b> \\ `code`", "Größe Ω ≤ “quoted” – naïve"):
        build = rig.build.model_copy(update={"build": rig.build.build.model_copy(update={"title": title})})
        pages = pages_of(book(replace(assessment, rig=replace(rig, build=build))), tmp_path)
        for width, _, words in pages:
            assert all(b.right <= width - MARGIN_PT + 0.5 for _, b in words), title
        if len(title) < 100:
            assert title.split()[-1].replace("<", "&lt;") in " ".join(w for w, _ in pages[0][2])


def test_nothing_fitted_still_makes_a_book(folder: Path, tmp_path: Path) -> None:
    (folder / "builds/bare.yaml").write_text(
        "rigbook: 1\nbuild: {id: bare, title: Bare, vehicle: compact-utility}\n", encoding="utf-8"
    )
    bare = assess(load_build(folder, Path("builds/bare.yaml")))
    (folder / "builds/bare.yaml").unlink()
    assert bare.errors == ()
    pages = pages_of(book(bare), tmp_path)
    text = " ".join(w for _, _, words in pages for w, _ in words)
    for says in (
        "Nothing is fitted.",
        "Nothing is wired.",
        "There is no switch.",
        "There is no fuse.",
        "No function is written.",
    ):
        assert says in text
    check_pages(pages)


def test_a_build_with_errors_has_no_book(assessment: Assessment) -> None:
    with pytest.raises(ValueError, match="no book"):
        book(replace(assessment, rig=None))


def test_a_table_refuses_a_row_of_the_wrong_length() -> None:
    with pytest.raises(ValueError, match="2 cells for 1 columns"):
        pieces.table(caption="x", columns=[pieces.column("a")], rows=[["1", "2"]])


def test_weights_are_those_of_the_report_in_the_shops_units(assessment: Assessment) -> None:
    report = to_json(assessment)
    table = next(p for p in chapters.weights(assessment.worked, report) if p["kind"] == "table")
    for row, axle in zip(table["rows"], report["body"]["axles"], strict=False):
        assert row[0] == axle["id"]
        assert float(row[1]) == pytest.approx(axle["load_kg"] / 0.45359237, abs=0.51)
        assert float(row[3]) == pytest.approx(axle["margin_kg"] / 0.45359237, abs=0.51)
    assert len(table["rows"]) == 3
