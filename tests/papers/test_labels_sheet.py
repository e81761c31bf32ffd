"""Labels: every code decoded from the rendered sheet, no text twice, parameters of the stock, text that fits."""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path
from typing import Any

import pytest

from rigbook.assess.assessment import Assessment, assess_rig_alone
from rigbook.assess.results_json import to_json
from rigbook.documents.loader import load_build
from rigbook.papers.canvas import Canvas
from rigbook.papers.drawings import drawing_pdf
from rigbook.papers.label_items import LONGEST_CODE, LabelItem, code_of, label_items
from rigbook.papers.labels_sheet import draw_label, label_sheets
from rigbook.papers.svg import Box
from rigbook.papers.wire_labels import wire_labels

from .shops import long_names, nothing, strange_shop

BUILDS = ("duty-officer-utility", "boat-crew-pickup", "flood-support-van")


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return strange_shop(tmp_path_factory.mktemp("labels") / "shop", nothing())[0]


def opened(folder: Path, build: str) -> Assessment:
    return assess_rig_alone(load_build(folder, Path(f"builds/{build}.yaml")))


def decoded(pdf: bytes, folder: Path, *, dpi: int) -> list[str]:
    """Every QR code on every page, as a reader sees the page at this resolution."""
    zxing: Any = pytest.importorskip("zxingcpp")
    import numpy

    if shutil.which("pdftoppm") is None:
        pytest.skip("poppler-utils is not installed; run.py test brings it")
    (folder / "labels.pdf").write_bytes(pdf)
    subprocess.run(["pdftoppm", "-r", str(dpi), "-gray", "labels.pdf", "page"], cwd=folder, check=True, timeout=60)
    found = []
    for page in sorted(folder.glob("page-*.pgm")):
        magic, size, _, pixels = page.read_bytes().split(b"\n", 3)
        assert magic == b"P5"
        width, height = (int(n) for n in size.split())
        found += [r.text for r in zxing.read_barcodes(numpy.frombuffer(pixels, numpy.uint8).reshape(height, width))]
    return found


@pytest.mark.parametrize("build", BUILDS)
def test_every_code_is_read_back_from_the_rendered_sheets(folder: Path, build: str, tmp_path: Path) -> None:
    assessment = opened(folder, build)
    wanted = [item.code for item in label_items(assessment.worked) if item.code]
    assert len(wanted) >= 2
    pdf = drawing_pdf("labels", assessment.worked, to_json(assessment))
    assert sorted(decoded(pdf, tmp_path, dpi=200)) == sorted(wanted)


def test_codes_of_long_names_are_read_too(tmp_path: Path) -> None:
    root, build = strange_shop(tmp_path / "shop", long_names())
    assessment = assess_rig_alone(load_build(root, build))
    wanted = [item.code for item in label_items(assessment.worked) if item.code]
    pdf = drawing_pdf("labels", assessment.worked, to_json(assessment))
    assert sorted(decoded(pdf, tmp_path, dpi=300)) == sorted(wanted)
    assert len(code_of("b" * 200, "d" * 200)) <= LONGEST_CODE
    assert code_of("b" * 200, "d" * 200) != code_of("b" * 200, "d" * 199)


@pytest.mark.parametrize("build", BUILDS)
def test_both_ends_of_every_wire_and_no_text_twice(folder: Path, build: str) -> None:
    rig = opened(folder, build).worked
    wires = wire_labels(rig)
    assert {w.segment.id for w in wires} == {s.id for s in rig.segments.values() if s.role != "lead"}
    texts = [end.text for wire in wires for end in wire.ends]
    assert len(texts) == 2 * len(wires) >= 40
    assert len(set(texts)) == len(texts)
    assert all(text.startswith(wire.circuit) for wire in wires for text in (wire.source.text, wire.load.text))
    assert all((w.source.at, w.load.at) == (w.segment.from_point, w.segment.to_point) for w in wires)


def test_the_scheme_is_the_shops_and_stays_unique(folder: Path, tmp_path: Path) -> None:
    shutil.copytree(folder, tmp_path / "shop")
    shop = tmp_path / "shop" / "shop.yaml"
    text = shop.read_text(encoding="utf-8")
    shop.write_text(
        text.replace('"{circuit}-{end}", both_ends: yes', '"{gauge} {end}", both_ends: no'), encoding="utf-8"
    )
    rig = opened(tmp_path / "shop", "duty-officer-utility").worked
    texts = [w.source.text for w in wire_labels(rig)]
    assert texts[0].endswith("AWG 1")
    assert len(set(texts)) == len(texts)
    assert any("~" in t for t in texts)
    wires = [i for i in label_items(rig) if i.kind == "wire"]
    assert len(wires) == len(texts) and {i.end for i in wires} == {1}


def test_labels_lie_where_the_stock_says(folder: Path, tmp_path: Path) -> None:
    shutil.copytree(folder, tmp_path / "shop")
    shop = tmp_path / "shop" / "shop.yaml"
    stock = "stock: {page: [210 mm, 297 mm], columns: 3, rows: 8, left: 7 mm, top: 13 mm, across: 66 mm, down: 34 mm, width: 63 mm, height: 33 mm}"
    shop.write_text(
        shop.read_text(encoding="utf-8").replace("both_ends: yes,", f"both_ends: yes, {stock},"), encoding="utf-8"
    )
    assessment = opened(tmp_path / "shop", "duty-officer-utility")
    items, sheets = label_items(assessment.worked), label_sheets(assessment.worked, to_json(assessment))
    assert len(sheets) == -(-len(items) // 24)
    assert {(s.width, s.height) for s in sheets} == {(210.0, 297.0)}
    boxes = dict(sheets[0].boxes)
    for index, item in enumerate(items[:24]):
        x, y = 7 + 66 * (index % 3), 13 + 34 * (index // 3)
        field = Box(x, y, x + 63, y + 33)
        own = [b for k, b in boxes.items() if k.startswith(f"{item.kind}:{item.number}:{item.end or 0}:")]
        assert own and all(b.inside(field) for b in own)


@pytest.mark.parametrize(
    ("stock", "says"),
    [
        ("{columns: 9}", "beyond the sheet"),
        ("{across: 20 mm}", "overlap"),
        ("{rows: 0}", "1 to 200 rows"),
        ("{height: 1 mm}", "at least 4 mm"),
    ],
)
def test_stock_that_cannot_be_is_an_error_at_its_place(folder: Path, tmp_path: Path, stock: str, says: str) -> None:
    shutil.copytree(folder, tmp_path / "shop")
    shop = tmp_path / "shop" / "shop.yaml"
    shop.write_text(
        shop.read_text(encoding="utf-8").replace("both_ends: yes,", f"both_ends: yes, stock: {stock},"),
        encoding="utf-8",
    )
    errors = opened(tmp_path / "shop", "duty-officer-utility").errors
    assert [e for e in errors if says in e.says and e.file == "shop.yaml" and e.line > 1], errors


@pytest.mark.parametrize("text", ["control.3-1", "a-" * 40, "x" * 900])
def test_text_stays_on_its_label_or_its_number_stands(text: str) -> None:
    canvas = Canvas()
    draw_label(canvas, LabelItem("wire", 7, text, ("here fuse of main",) * 6, 1), 5.0, 5.0, 44.0, 12.7, key="k")
    plate = canvas.plate("p", "p", height=100.0)
    assert plate.boxes and all(b.inside(Box(5.0, 5.0, 49.0, 17.7)) for _, b in plate.boxes)
    assert ("wire 7" in plate.markup) == (len(text) == 900)


def test_nothing_to_label_says_so(folder: Path) -> None:
    assessment = opened(folder, "strange")
    (sheet,) = label_sheets(assessment.worked, to_json(assessment))
    assert "Nothing to label." in sheet.markup
