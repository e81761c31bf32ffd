"""`rigbook page`: one file, and what is refused."""

from __future__ import annotations

from pathlib import Path

from .runner import BUILD, rigbook


def test_page_writes_one_file(shop: Path, tmp_path: Path) -> None:
    target = tmp_path / "page.html"
    done = rigbook("page", shop / BUILD, "-o", target)
    assert done.returncode == 0, done.stderr
    assert target.read_bytes().startswith(b"<!doctype html>") and str(target) in done.stderr
    assert rigbook("page", shop / BUILD, "-o", target, "--quiet").stderr == ""


def test_page_refuses_other_files_and_builds(shop: Path, tmp_path: Path) -> None:
    wrong = rigbook("page", shop / BUILD, "-o", tmp_path / "page.pdf")
    assert wrong.returncode == 2 and "name it page.html" in wrong.stderr
    gone = rigbook("page", shop / "builds/gone.yaml", "-o", tmp_path / "page.html")
    assert gone.returncode == 2 and "is not there" in gone.stderr
    closed = rigbook("page", shop / BUILD, "-o", tmp_path / "no" / "page.html")
    assert closed.returncode == 2 and "Traceback" not in closed.stderr
    assert list(tmp_path.glob("*.html")) == []


def test_page_of_a_build_with_errors_writes_nothing(shop: Path, tmp_path: Path) -> None:
    broken = shop / "builds" / "broken.yaml"
    broken.write_text("rigbook: 1\nbuild: {id: broken, titel: x}\n")
    done = rigbook("page", broken, "-o", tmp_path / "page.html")
    assert done.returncode == 2 and "broken.yaml:2:" in done.stderr
    assert not (tmp_path / "page.html").exists()
