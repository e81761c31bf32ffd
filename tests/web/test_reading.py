from __future__ import annotations

from pathlib import Path

import pytest

from rigbook.desk.shopfolder import NotAShop
from rigbook.web.layout import page_layout
from rigbook.web.reading import Problems, Reading, Worked, _counted

from .conftest import BUILD


def test_a_folder_without_a_shop_is_refused(tmp_path: Path) -> None:
    with pytest.raises(NotAShop, match=r"shop\.yaml"):
        Reading(tmp_path)


def test_a_build_is_worked_out_once_until_its_text_changes(shop: Path) -> None:
    reading = Reading(shop)
    first = reading.work(BUILD)
    assert isinstance(first, Worked) and reading.work(BUILD) is first
    assert isinstance(reading.work("broken"), Problems)
    assert reading.work("none") is None
    assert reading.shop_title() == first.rig.shop.title


def test_the_layout_names_every_switch_once_and_every_saved_state_whole(shop: Path) -> None:
    worked = Reading(shop).work(BUILD)
    assert isinstance(worked, Worked)
    layout, program = page_layout(worked.rig, worked.report), worked.rig.program
    shown = [i for panel in layout["panels"] for i in panel["switches"]]
    assert sorted(shown) == [i for i, v in enumerate(program.variables) if v.kind == "switch"]
    assert [s["id"] for s in layout["states"]] == [s.id for s in worked.rig.states]
    assert all(len(s["state"]) == len(program.variables) for s in layout["states"])
    assert {f["id"] for f in layout["feeds"]} == set(worked.rig.feeds)
    assert {"colour", "state"} <= {d["when"] for d in layout["draws"]} <= {"colour", "state", "live"}


@pytest.mark.parametrize(
    ("severities", "words"),
    [
        ([], "no findings"),
        (["fail", "fail", "caution", "note", "note"], "2 fail, 1 caution, 2 notes"),
        (["caution", "caution"], "2 cautions"),
    ],
)
def test_counts_in_words(severities: list[str], words: str) -> None:
    assert _counted([{"severity": s} for s in severities]) == words
