"""`rigbook sheet`: tables as files."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest

from .runner import BUILD, change, rigbook


@pytest.mark.parametrize("name", ["equipment", "circuits", "conductors", "feeds", "weights", "states", "functions"])
def test_sheets_as_csv(shop: Path, tmp_path: Path, name: str) -> None:
    target = tmp_path / f"{name}.csv"
    done = rigbook("sheet", shop / BUILD, name, "-o", target)
    assert done.returncode == 0, done.stderr
    rows = list(csv.reader(io.StringIO(target.read_text(encoding="utf-8-sig"))))
    assert len(rows) >= 2
    assert len({len(r) for r in rows}) == 1
    before = target.read_bytes()
    rigbook("sheet", shop / BUILD, name, "-o", target, "--quiet")
    assert target.read_bytes() == before


@pytest.mark.parametrize(
    ("output", "says"),
    [("x.pdf", "a .csv or .xlsx file"), ("missing/x.csv", "there is no folder"), (".csv", "a .csv or .xlsx file")],
)
def test_outputs_that_cannot_be_are_said_in_one_line(shop: Path, tmp_path: Path, output: str, says: str) -> None:
    done = rigbook("sheet", shop / BUILD, "weights", "-o", tmp_path / output)
    assert done.returncode == 2
    assert says in done.stderr
    assert "Traceback" not in done.stderr
    assert {p.name for p in tmp_path.iterdir()} == {"shop"}


def test_a_wrong_build_writes_no_output(shop: Path, tmp_path: Path) -> None:
    change(shop, BUILD, "fuse: 10 A", "fuse: ten")
    for arguments in (("sheet", "weights", "x.csv"), ("draw", "lamp-map", "x.svg")):
        done = rigbook(arguments[0], shop / BUILD, arguments[1], "-o", tmp_path / arguments[2])
        assert done.returncode == 2
        assert f"{BUILD}:" in done.stderr
    assert {p.name for p in tmp_path.iterdir()} == {"shop"}
