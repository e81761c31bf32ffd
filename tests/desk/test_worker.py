from __future__ import annotations

import threading
import time
from pathlib import Path

import pytest

from rigbook.desk.shopfolder import ShopFolder
from rigbook.desk.worker import Worker, file_named, id_in
from rigbook.documents.loader import Loaded

from ..web.conftest import BUILD, example_shop

FILE = f"builds/{BUILD}.yaml"


@pytest.fixture
def shop(tmp_path: Path) -> ShopFolder:
    return ShopFolder(example_shop(tmp_path / "shop", BUILD))


def retitle(shop: ShopFolder, title: str) -> None:
    content, seen = shop.read(FILE)
    text = content.decode()
    shop.edit(FILE, seen, text.replace("unit 1", title).encode(), "title")


def test_stages_come_one_after_the_other_and_belong_to_their_text(shop: ShopFolder) -> None:
    worker = Worker(shop)
    first = worker.after(FILE, revision="", stage="", wait_s=20)
    assert first.stage in ("first", "whole") and first.assessment is not None and first.assessment.rig is not None
    whole = worker.after(FILE, revision=first.revision, stage="first", wait_s=20)
    assert whole.stage == "whole" and whole.revision == first.revision == worker.revision(FILE)
    retitle(shop, "unit 99")
    now = worker.now(FILE)
    assert now.revision != whole.revision and now.assessment is None, "no figure of the text before"
    assert "unit 99" in worker.whole(FILE).worked.build.build.title


def test_who_has_everything_waits_and_is_told_of_an_edit(shop: ShopFolder) -> None:
    worker = Worker(shop)
    worker.whole(FILE)
    has = worker.now(FILE)
    started = time.monotonic()
    assert worker.after(FILE, revision=has.revision, stage="whole", wait_s=0.3) == has
    assert time.monotonic() - started >= 0.3
    threading.Timer(0.2, retitle, (shop, "unit 77")).start()
    found = worker.after(FILE, revision=has.revision, stage="whole", wait_s=20)
    assert found.revision != has.revision


def test_who_waits_goes_when_the_server_ends(shop: ShopFolder) -> None:
    worker = Worker(shop)
    worker.whole(FILE)
    has = worker.now(FILE)
    threading.Timer(0.2, worker.close).start()
    started = time.monotonic()
    worker.after(FILE, revision=has.revision, stage="whole", wait_s=30)
    assert time.monotonic() - started < 10


def test_an_edit_while_a_text_is_read_never_gives_figures_of_half_of_each(shop: ShopFolder) -> None:
    edited = threading.Event()

    def load(name: str) -> Loaded:
        found = shop.load(name)
        if not edited.is_set():
            edited.set()
            retitle(shop, "unit 55")  # between reading and keeping
        return found

    begun = Worker(shop, load).begun(FILE)
    assert edited.is_set() and begun.rig is not None and "unit 55" in begun.rig.build.build.title


def test_a_fault_of_ours_is_told_and_not_asked_for_again(shop: ShopFolder, monkeypatch: pytest.MonkeyPatch) -> None:
    import rigbook.assess.assessment as assessment

    def fails(*_: object, **__: object) -> object:
        raise ZeroDivisionError("by hand")

    monkeypatch.setattr(assessment, "finish", fails)
    worker = Worker(shop)
    with pytest.raises(ZeroDivisionError):
        worker.whole(FILE)
    found = worker.now(FILE)
    assert found.stage == "first" and "ZeroDivisionError: by hand" in found.trouble


def test_a_text_that_cannot_be_read_is_whole_at_once(shop: ShopFolder) -> None:
    worker = Worker(shop)
    good = worker.whole(FILE)
    content, seen = shop.read(FILE)
    shop.edit(FILE, seen, content + b"nonsense: 1\n", "spoil")
    found = worker.after(FILE, revision="", stage="", wait_s=20)
    assert found.stage == "whole" and found.assessment is not None and found.assessment.errors
    assert worker.last_read(FILE) is good


def test_files_are_found_by_id_and_by_name_where_the_text_gives_none(shop: ShopFolder) -> None:
    (shop.root / "builds" / "spoilt.yaml").write_text("build: [", encoding="utf-8")
    ids: dict[tuple[str, str], str] = {}
    assert file_named(shop, BUILD, ids) == FILE
    assert file_named(shop, "spoilt", ids) == "builds/spoilt.yaml"
    assert file_named(shop, "none", ids) is None
    assert id_in(b"build: {id: van}\n") == "van" and id_in(b"\xff") == "" and id_in(b"build: [") == ""
