"""`rigbook new`: a shop folder to start from."""

from __future__ import annotations

from pathlib import Path

from .runner import program, rigbook


def test_new_makes_a_shop_whose_builds_can_be_checked(tmp_path: Path) -> None:
    done = rigbook("new", tmp_path / "demo")
    assert done.returncode == 0
    assert "rigbook check" in done.stdout
    checked = program("check", tmp_path / "demo/builds/duty-officer-utility.yaml", "--quiet")
    assert checked.returncode in (0, 1)
    again = rigbook("new", tmp_path / "demo")
    assert again.returncode == 2
    assert "is there already" in again.stderr
    assert "Traceback" not in again.stderr
