"""Files are written whole or not at all."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from rigbook.desk import files
from rigbook.desk.files import CannotWrite, kind_at, short, write_whole


def test_writes_new_and_replaces_old(tmp_path: Path) -> None:
    target = tmp_path / "a.csv"
    write_whole(target, b"one")
    write_whole(target, b"two")
    assert target.read_bytes() == b"two"
    assert [p.name for p in tmp_path.iterdir()] == ["a.csv"]


def test_keeps_the_mode_of_the_old_file(tmp_path: Path) -> None:
    target = tmp_path / "a.csv"
    target.write_bytes(b"one")
    target.chmod(0o640)
    write_whole(target, b"two")
    assert target.stat().st_mode & 0o777 == 0o640


@pytest.mark.parametrize("where", ["missing/a.csv", "."])
def test_says_why_it_cannot(tmp_path: Path, where: str) -> None:
    with pytest.raises(CannotWrite, match=r"there is no folder|is a folder"):
        write_whole(tmp_path / where, b"x")
    assert list(tmp_path.iterdir()) == []


def test_a_failure_half_way_leaves_the_old_file_and_nothing_beside(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    target = tmp_path / "a.csv"
    target.write_bytes(b"old")

    def full(handle: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(CannotWrite, match="No space left"):
        write_whole(target, b"new")
    assert target.read_bytes() == b"old"
    assert [p.name for p in tmp_path.iterdir()] == ["a.csv"]


def test_new_files_take_the_process_mask(tmp_path: Path) -> None:
    before = os.umask(0o027)
    try:
        write_whole(tmp_path / "a", b"x")
        assert os.umask(0o027) == 0o027, "reading the mask must not change it"
    finally:
        os.umask(before)
    assert (tmp_path / "a").stat().st_mode & 0o777 == 0o640
    assert files.write_whole is write_whole


def test_a_device_or_a_pipe_is_never_replaced(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe.csv")
    with pytest.raises(CannotWrite, match="is a device or a pipe"):
        write_whole(tmp_path / "pipe.csv", b"x")
    assert kind_at(tmp_path / "pipe.csv") == "other"
    assert [p.name for p in tmp_path.iterdir()] == ["pipe.csv"]


def test_a_name_that_no_file_system_takes(tmp_path: Path) -> None:
    with pytest.raises(CannotWrite, match="name too long") as told:
        write_whole(tmp_path / ("a" * 5000), b"x")
    assert len(str(told.value)) < 300
    assert short(tmp_path / "short.csv") == str(tmp_path / "short.csv")


def test_kinds_of_what_stands_at_a_path(tmp_path: Path) -> None:
    (tmp_path / "file").write_bytes(b"")
    (tmp_path / "round").symlink_to(tmp_path / "round")
    assert [kind_at(tmp_path / name) for name in ("file", "", "gone", "file/under")] == [
        "file", "folder", "nothing", "nothing",
    ]  # fmt: skip
    with pytest.raises(OSError, match="symbolic links"):
        kind_at(tmp_path / "round")


def test_who_has_the_old_file_open_keeps_reading_the_old_file(tmp_path: Path) -> None:
    target, other = tmp_path / "a.csv", tmp_path / "other-name.csv"
    target.write_bytes(b"old")
    other.hardlink_to(target)
    with target.open("rb") as reader:
        write_whole(target, b"new")
        assert reader.read() == b"old"
    assert (target.read_bytes(), other.read_bytes()) == (b"new", b"old")
