"""`rigbook book`: the whole, single chapters, and what cannot be written."""

from __future__ import annotations

from pathlib import Path

from rigbook.cli.book import NAMES
from rigbook.papers.contents import CHAPTERS

from .runner import BUILD, rigbook


def test_the_command_offers_every_chapter() -> None:
    assert tuple(CHAPTERS) == NAMES


def test_single_chapters_are_a_part_of_the_whole(shop: Path, tmp_path: Path) -> None:
    whole, some = tmp_path / "whole.pdf", tmp_path / "some.pdf"
    assert rigbook("book", shop / BUILD, "-o", whole).returncode == 0
    done = rigbook("book", shop / BUILD, "-o", some, "--only", "harness", "--only", "pins", "--quiet")
    assert (done.returncode, done.stderr) == (0, "")
    assert whole.read_bytes()[:5] == some.read_bytes()[:5] == b"%PDF-"
    assert len(some.read_bytes()) < len(whole.read_bytes())
    before = some.read_bytes()
    rigbook("book", shop / BUILD, "-o", some, "--only", "pins", "--only", "harness", "--quiet")
    assert some.read_bytes() == before, "chapters stand in the book's order, byte for byte"


def test_no_progress_is_shown_where_nobody_watches(shop: Path, tmp_path: Path) -> None:
    done = rigbook("book", shop / BUILD, "-o", tmp_path / "x.pdf", "--only", "cautions")
    assert "written" in done.stderr and "\r" not in done.stderr


def test_what_cannot_be_is_said_and_nothing_is_written(shop: Path, tmp_path: Path) -> None:
    for arguments in (("-o", tmp_path / "x.txt"), ("-o", tmp_path / "x.pdf", "--only", "chapter-of-wishes")):
        done = rigbook("book", shop / BUILD, *arguments)
        assert done.returncode == 2 and "Traceback" not in done.stderr
    assert {p.name for p in tmp_path.iterdir()} <= {"shop"}
