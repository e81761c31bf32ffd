"""The example shop, put where a person wants it."""

from __future__ import annotations

from pathlib import Path

import pytest

from rigbook.desk.example import FOLDERS, make_example_shop
from rigbook.desk.files import CannotWrite


def test_makes_a_whole_shop(tmp_path: Path) -> None:
    builds = make_example_shop(tmp_path / "a" / "shop")
    root = tmp_path / "a" / "shop"
    assert "builds/duty-officer-utility.yaml" in builds
    assert all((root / b).is_file() for b in builds)
    assert (root / "shop.yaml").is_file()
    assert all((root / f).is_dir() for f in FOLDERS)
    assert [p.name for p in (tmp_path / "a").iterdir()] == ["shop"], "nothing is left beside"


def test_takes_an_empty_folder(tmp_path: Path) -> None:
    (tmp_path / "shop").mkdir()
    assert make_example_shop(tmp_path / "shop")


def test_leaves_what_is_there_alone(tmp_path: Path) -> None:
    (tmp_path / "shop").mkdir()
    (tmp_path / "shop" / "mine.txt").write_text("mine")
    with pytest.raises(CannotWrite, match="there already"):
        make_example_shop(tmp_path / "shop")
    with pytest.raises(CannotWrite, match="there already"):
        make_example_shop(tmp_path / "shop" / "mine.txt")
    assert [p.name for p in (tmp_path / "shop").iterdir()] == ["mine.txt"]
