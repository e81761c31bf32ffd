"""`rigbook draw`: drawings as files."""

from __future__ import annotations

from pathlib import Path

from .runner import BUILD, rigbook


def test_draw_writes_well_formed_svg(shop: Path, tmp_path: Path) -> None:
    import xml.etree.ElementTree as ElementTree

    target = tmp_path / "map.svg"
    done = rigbook("draw", shop / BUILD, "lamp-map", "-o", target)
    assert done.returncode == 0, done.stderr
    root = ElementTree.fromstring(target.read_bytes())
    assert root.tag.endswith("svg")
    text = "".join(root.itertext())
    assert "nose-lamp" in text
    assert "tail-lamp" in text
    wrong = rigbook("draw", shop / BUILD, "lamp-map", "-o", tmp_path / "map.png")
    assert wrong.returncode == 2


def test_draw_writes_pdf_and_names_what_it_draws(shop: Path, tmp_path: Path) -> None:
    for name in ("fuse-map", "labels"):
        target = tmp_path / f"{name}.pdf"
        done = rigbook("draw", shop / BUILD, name, "-o", target)
        assert done.returncode == 0, done.stderr
        assert target.read_bytes().startswith(b"%PDF-")
    told = rigbook("draw", "--help").stdout
    for name in ("lamp-map", "fuse-map", "panels", "timing", "labels", "view-rear"):
        assert name in told


def test_the_labels_are_a_sheet_too(shop: Path, tmp_path: Path) -> None:
    import csv

    target = tmp_path / "labels.csv"
    done = rigbook("sheet", shop / BUILD, "labels", "-o", target)
    assert done.returncode == 0, done.stderr
    rows = list(csv.DictReader(target.read_text(encoding="utf-8-sig").splitlines()))
    wires = [r for r in rows if r["kind"] == "wire"]
    assert len(wires) >= 4
    assert {r["end"] for r in wires} == {"1", "2"}
    assert len({r["text"] for r in wires}) == len(wires)
