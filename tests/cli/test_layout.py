"""`rigbook layout`: rows of a face, written where asked; `rigbook draw` of a face and its cut file."""

from __future__ import annotations

import shutil
from importlib import resources
from pathlib import Path

import pytest

from .runner import rigbook

VAN = "builds/flood-support-van.yaml"


@pytest.fixture
def van(tmp_path: Path) -> Path:
    with resources.as_file(resources.files("rigbook.data").joinpath("example_shop")) as source:
        shutil.copytree(source, tmp_path / "shop")
    return tmp_path / "shop" / VAN


def test_rows_are_told_and_written_on_request(van: Path) -> None:
    before = van.read_text()
    told = rigbook("layout", van, "console-top")
    assert told.returncode == 0, told.stderr
    assert "5 things in 3 rows, 252 mm high, the least there is" in told.stdout
    assert van.read_text() == before
    written = rigbook("layout", van, "console-top", "--write")
    assert "5 positions written" in written.stdout
    assert van.read_text().startswith(before.rstrip("\n"))
    assert "install.cups.on: 145 mm 88 mm" in van.read_text()
    assert "0 things" in rigbook("layout", van, "console-top").stdout
    assert "5 things" in rigbook("layout", van, "console-top", "--again").stdout


def test_a_face_that_is_not_there_names_the_nearest(van: Path) -> None:
    told = rigbook("layout", van, "console-topp")
    assert told.returncode == 2 and "the nearest is console-top" in told.stderr
    drawn = rigbook("draw", van, "console-topp", "-o", van.parent / "x.dxf")
    assert drawn.returncode == 2 and "console-top" in drawn.stderr and not (van.parent / "x.dxf").exists()


def test_what_does_not_fit_is_not_written(van: Path) -> None:
    text = van.read_text().replace("size: [290 mm, 300 mm]", "size: [290 mm, 130 mm]")
    van.write_text(text)
    told = rigbook("layout", van, "console-top", "--write")
    assert told.returncode == 2 and "nothing is written" in told.stderr
    assert van.read_text() == text


def test_wrong_input_is_told_with_its_place(van: Path) -> None:
    van.write_text(van.read_text().replace("depth: 230 mm", "depth: 230"))
    told = rigbook("layout", van, "console-top")
    assert told.returncode == 2 and "flood-support-van.yaml:" in told.stderr and "Traceback" not in told.stderr


def test_a_face_as_drawing_and_as_cut_file(van: Path, tmp_path: Path) -> None:
    for name, start in (("a.svg", b"<svg"), ("a.dxf", b"  0\nSECTION")):
        path = tmp_path / name
        told = rigbook("draw", van, "console-top", "-o", path)
        assert told.returncode == 0, told.stderr
        assert path.read_bytes().replace(b"\r\n", b"\n").startswith(start)
    old = tmp_path / "old.dxf"
    assert rigbook("draw", van, "console-top", "-o", old, "--r12").returncode == 0
    assert b"AC1009" in old.read_bytes()
    assert rigbook("draw", van, "lamp-map", "-o", tmp_path / "b.dxf").returncode == 2
    assert rigbook("draw", van, "console-top", "-o", tmp_path / "b.svg", "--r12").returncode == 2
    crowded = van.read_text().replace("at: [450 mm, 850 mm]", "at: [450 mm, 650 mm]")
    van.write_text(crowded)
    refused = rigbook("draw", van, "cabinet-front", "-o", tmp_path / "c.dxf")
    assert refused.returncode == 2 and "meets the cut-out" in refused.stderr and not (tmp_path / "c.dxf").exists()
