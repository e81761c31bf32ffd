"""A file by its ending, and its faults as errors of the build."""

from __future__ import annotations

from pathlib import Path

import pytest

from rigbook.assess.assessment import begin
from rigbook.documents.loader import load_build
from rigbook.light.files import read
from rigbook.light.photometry import PhotometryError

from .writing import LDT, LM63

SHOP = Path(__file__).resolve().parents[2] / "src/rigbook/data/example_shop"
BUILD = Path("builds/flood-support-van.yaml")


def test_by_the_ending() -> None:
    assert read("a.IES", LM63.encode()).peak_cd == 100
    assert read("b.ldt", LDT.encode()).peak_cd == 200
    with pytest.raises(PhotometryError, match="neither"):
        read("c.txt", LM63.encode())


def test_the_example_file_gives_its_stated_lumens() -> None:
    name = "scene-flood-4500.ies"
    light = read(name, (SHOP / "light" / name).read_bytes())
    assert light.total_lm() == pytest.approx(light.lamp_lumens, rel=0.02)


def test_a_fault_is_an_error_of_the_build_with_its_line() -> None:
    name = "light/scene-flood-4500.ies"
    text = (SHOP / name).read_text()
    assert text.count("1540") == 1
    loaded = load_build(SHOP, BUILD, {name: text.replace("1540", "-1540").encode()})
    assessment = begin(loaded)
    assert assessment.rig is None
    assert [(e.file, e.line, e.found) for e in assessment.errors] == [(name, 10, "-1540")]
    assert begin(load_build(SHOP, BUILD)).rig is not None
