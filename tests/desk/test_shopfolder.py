"""A shop folder opened for work: finding builds, guarded edits, undo, nothing outside."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

import pytest

from rigbook.desk.example import make_example_shop
from rigbook.desk.shopfolder import ChangedMeanwhile, NotAShop, ShopFolder, find_build, find_shop, text_digest

BUILD = "builds/duty-officer-utility.yaml"


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    make_example_shop(tmp_path / "shop")
    return tmp_path / "shop"


def test_finds_the_shop_from_anywhere_inside(shop: Path) -> None:
    assert find_shop(shop) == shop
    assert find_shop(shop / "builds") == shop
    assert find_shop(shop / BUILD) == shop
    assert find_build(shop / BUILD) == (shop, BUILD)


def test_finds_a_build_by_a_relative_path_from_inside(shop: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(shop / "builds")
    assert find_build(Path("duty-officer-utility.yaml")) == (shop, BUILD)


@pytest.mark.parametrize(
    ("path", "says"),
    [
        ("builds", "is a folder"),
        ("builds/duty-oficer-utility.yaml", "the nearest there is"),
        ("nowhere/x.yaml", "there is no folder"),
        ("shop.yaml", "is not a build"),
        ("parts/lamps.yaml", "is not a build"),
        ("a" * 5000, "cannot be read: File name too long"),
        ("", "is a folder; name a build file, such as .*/builds/boat-crew-pickup.yaml"),
    ],
)
def test_says_what_is_wrong_with_a_path(shop: Path, path: str, says: str) -> None:
    with pytest.raises(NotAShop, match=says):
        find_build(shop / path)


def test_a_pipe_a_round_link_and_a_dead_link_are_not_read(shop: Path) -> None:
    os.mkfifo(shop / "builds" / "pipe.yaml")
    (shop / "builds" / "round.yaml").symlink_to(shop / "builds" / "round.yaml")
    (shop / "builds" / "dead.yaml").symlink_to(shop / "builds" / "gone.yaml")
    for name, says in {
        "pipe": "a device or a pipe",
        "round": "levels of symbolic links",
        "dead": "a link to something",
    }.items():
        with pytest.raises(NotAShop, match=says):
            find_build(shop / "builds" / f"{name}.yaml")


def test_a_file_outside_any_shop(tmp_path: Path) -> None:
    (tmp_path / "x.yaml").write_text("rigbook: 1\n")
    with pytest.raises(NotAShop, match=r"no shop\.yaml beside it or above it"):
        find_build(tmp_path / "x.yaml")


def test_a_link_that_leads_out_is_refused(shop: Path, tmp_path: Path) -> None:
    outside = tmp_path / "secret.yaml"
    outside.write_text("rigbook: 1\n")
    (shop / "builds" / "link.yaml").symlink_to(outside)
    with pytest.raises(NotAShop, match="leads out of the shop folder"):
        find_build(shop / "builds" / "link.yaml")
    with pytest.raises(NotAShop, match="leads out"):
        ShopFolder(shop).read("builds/link.yaml")
    with pytest.raises(NotAShop, match="leads out"):
        ShopFolder(shop).edit("../evil.yaml", None, b"x", "no")
    assert not (tmp_path / "evil.yaml").exists()


def test_lists_builds_sorted(shop: Path) -> None:
    builds = ShopFolder(shop).builds()
    assert BUILD in builds
    assert list(builds) == sorted(builds)


def test_a_load_is_kept_until_something_it_reads_changes(shop: Path) -> None:
    folder = ShopFolder(shop)
    first = folder.load(BUILD)
    assert folder.load(BUILD) is first
    part = next((shop / "parts").glob("*.yaml"))
    part.write_bytes(part.read_bytes() + b"\n# a remark\n")
    assert folder.load(BUILD) is not first


def test_an_edit_is_guarded_by_what_the_person_saw(shop: Path) -> None:
    folder = ShopFolder(shop)
    content, seen = folder.read(BUILD)
    (shop / BUILD).write_bytes(content + b"# from an editor\n")
    with pytest.raises(ChangedMeanwhile):
        folder.edit(BUILD, seen, b"mine", "title")
    assert (shop / BUILD).read_bytes().endswith(b"# from an editor\n")


def test_undo_and_redo_walk_back_and_forth(shop: Path) -> None:
    folder = ShopFolder(shop)
    original, seen = folder.read(BUILD)
    second = folder.edit(BUILD, seen, original + b"# one\n", "one")
    folder.edit(BUILD, second, original + b"# two\n", "two")
    undone = folder.undo(BUILD)
    assert undone is not None
    assert undone.why == "two"
    assert (shop / BUILD).read_bytes() == original + b"# one\n"
    folder.undo(BUILD)
    assert (shop / BUILD).read_bytes() == original
    assert folder.undo(BUILD) is None
    folder.redo(BUILD)
    assert (shop / BUILD).read_bytes() == original + b"# one\n"
    folder.edit(BUILD, text_digest(original + b"# one\n"), original, "back by hand")
    assert folder.redo(BUILD) is None, "a new edit forgets what was undone"


def test_undo_is_guarded_too(shop: Path) -> None:
    folder = ShopFolder(shop)
    original, seen = folder.read(BUILD)
    folder.edit(BUILD, seen, original + b"# one\n", "one")
    (shop / BUILD).write_bytes(original + b"# from an editor\n")
    with pytest.raises(ChangedMeanwhile):
        folder.undo(BUILD)
    assert (shop / BUILD).read_bytes() == original + b"# from an editor\n"


def test_undoing_a_new_file_takes_it_away(shop: Path) -> None:
    folder = ShopFolder(shop)
    folder.edit("builds/new.yaml", None, b"rigbook: 1\n", "new")
    assert (shop / "builds/new.yaml").exists()
    folder.undo("builds/new.yaml")
    assert not (shop / "builds/new.yaml").exists()


def test_a_folder_without_shop_file(tmp_path: Path) -> None:
    with pytest.raises(NotAShop, match="rigbook new"):
        ShopFolder(tmp_path)
    shutil.rmtree(tmp_path)
