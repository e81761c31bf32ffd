"""Checking builds as plain data, alone and side by side."""

from __future__ import annotations

import pickle
from pathlib import Path

import pytest

from rigbook.desk.checking import check, check_all, open_build, shown_root
from rigbook.desk.shopfolder import NotAShop

SMALL = Path(__file__).parents[1] / "rules" / "shop" / "builds" / "small.yaml"


def test_one_build() -> None:
    done = check(SMALL)
    assert not done.wrong
    assert [f["id"] for f in done.data["findings"] if f["severity"] != "note"] == ["heavy-without-mount@battery.second"]
    assert done.data["verdict"] == "caution"
    assert done.data["worked_in_s"] is None
    assert len(done.severities) == len(done.data["findings"])
    assert pickle.loads(pickle.dumps(done)) == done, "it travels between processes"
    assert check(SMALL, timing=True).data["worked_in_s"] > 0


def test_a_path_that_is_no_build() -> None:
    done = check(SMALL.parent / "nothing.yaml")
    assert done.wrong
    assert done.data["errors"][0]["line"] == 1
    with pytest.raises(NotAShop):
        open_build(SMALL.parent / "nothing.yaml")


def test_several_in_processes_of_their_own_in_the_order_given() -> None:
    seen: list[tuple[int, int]] = []
    paths = [SMALL, SMALL.parent / "nothing.yaml", SMALL]
    done = check_all(paths, False, lambda n, of: seen.append((n, of)), processes=2)
    assert [d.wrong for d in done] == [False, True, False]
    assert done[0] == done[2] == check(SMALL)
    assert seen == [(1, 3), (2, 3), (3, 3)]


def test_the_rig_alone_is_not_judged() -> None:
    assert open_build(SMALL, judged=False).findings == ()
    assert open_build(SMALL, judged=False).worked.digest == open_build(SMALL).worked.digest


def test_paths_are_shown_as_the_person_wrote_them(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(SMALL.parents[2])
    assert shown_root(Path("shop/builds/small.yaml")) == "shop/"
    monkeypatch.chdir(SMALL.parents[1])
    assert shown_root(Path("builds/small.yaml")) == ""
    monkeypatch.chdir(SMALL.parent)
    assert shown_root(Path("small.yaml")) == f"{SMALL.parents[1].as_posix()}/"
