"""Answers recorded beside the builds: once, for one revision, inside the shop folder."""

from __future__ import annotations

from pathlib import Path

import pytest

from rigbook.desk.approvals import Outdated, record
from rigbook.desk.files import CannotWrite
from rigbook.shop.answers import Answer, read_answer

DIGEST = "ab" * 32
ANSWER = Answer("van", "The van", DIGEST, "approved", "Ann Example", "2026-05-04", ())


def test_recorded_once(tmp_path: Path) -> None:
    path, new = record(tmp_path, "van", DIGEST, ANSWER)
    assert new and path.parent == tmp_path / "approvals" and path.name.startswith("van-abababababab-")
    assert read_answer(path.read_bytes()) == ANSWER
    assert record(tmp_path, "van", DIGEST, ANSWER) == (path, False)
    assert len(list(path.parent.iterdir())) == 1


@pytest.mark.parametrize(
    ("build", "digest", "says"), [("van", "cd" * 32, "now is revision cdcdcdcdcdcd"), ("car", DIGEST, "not car")]
)
def test_another_revision_is_refused_and_nothing_written(tmp_path: Path, build: str, digest: str, says: str) -> None:
    with pytest.raises(Outdated, match=says):
        record(tmp_path, build, digest, ANSWER)
    assert list(tmp_path.iterdir()) == []


def test_a_folder_that_leads_elsewhere_is_refused(tmp_path: Path) -> None:
    shop, other = tmp_path / "shop", tmp_path / "other"
    shop.mkdir()
    other.mkdir()
    (shop / "approvals").symlink_to(other)
    with pytest.raises(CannotWrite, match="leads out"):
        record(shop, "van", DIGEST, ANSWER)
    assert list(other.iterdir()) == []
    (shop / "approvals").unlink()
    (shop / "approvals").write_text("a file")
    with pytest.raises(CannotWrite, match="cannot be used"):
        record(shop, "van", DIGEST, ANSWER)
