"""Settling: what was worked out stands in the file, and nothing else moves."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from rigbook.desk import settling
from rigbook.desk.example import make_example_shop
from rigbook.desk.settling import SettlingChanges, settle, settled_text

SMALL = Path(__file__).parents[1] / "rules" / "shop"
BUILD = "builds/small.yaml"


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    shutil.copytree(SMALL, tmp_path / "shop")
    return tmp_path / "shop"


def test_settles_once(shop: Path) -> None:
    before = (shop / BUILD).read_text()
    first = settle(shop / BUILD)
    assert first.changed == first.values > 0
    after = (shop / BUILD).read_text()
    assert after.startswith(before)
    again = settle(shop / BUILD)
    assert (again.changed, again.values) == (0, first.values)
    assert (shop / BUILD).read_text() == after
    assert again.assessment.worked.digest == first.assessment.worked.digest


def test_settled_values_stay_when_stock_changes(shop: Path) -> None:
    path = shop / BUILD
    path.write_text(path.read_text().replace("fuse: 10 A, wire: 10 AWG}", "wire: 10 AWG}"))
    settle(path)
    assert "feeds.heat-feed.fuse: 15 A" in path.read_text()
    house = shop / "shop.yaml"
    house.write_text(house.read_text().replace("10 A, 15 A, 20 A,", "10 A, 20 A,"))
    settled = settle(path)
    assert settled.assessment.worked.feeds["heat-feed"].fuse_a == 15.0


def test_every_example_build_settles_to_the_same_vehicle(tmp_path: Path) -> None:
    builds = make_example_shop(tmp_path / "shop")
    assert len(builds) >= 3
    for build in builds:
        first = settle(tmp_path / "shop" / build)
        assert first.assessment.errors == ()
        assert first.values > 20
        assert settle(tmp_path / "shop" / build).changed == 0


def test_a_text_that_reads_back_differently_is_not_written(shop: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def spoiled(text: str, *rest: object) -> str:
        return text.replace("title: Small test build", "title: Another")

    monkeypatch.setattr(settling, "settled_text", spoiled)
    before = (shop / BUILD).read_bytes()
    with pytest.raises(SettlingChanges):
        settle(shop / BUILD)
    assert (shop / BUILD).read_bytes() == before


def test_few_changes_are_spliced_where_they_stand() -> None:
    text = "a: 1\nsettled:\n  # cut on Monday\n  x: 10 A\n  y: 18 AWG\n# end\n"
    done = settled_text(text, {"x": "10 A", "y": "18 AWG"}, {"x": "15 A", "y": "18 AWG", "z": "new"})
    assert done == "a: 1\nsettled:\n  # cut on Monday\n  x: 15 A\n  y: 18 AWG\n  z: new\n# end\n"
    gone = settled_text(text, {"x": "10 A", "y": "18 AWG"}, {"y": "18 AWG"})
    assert gone == "a: 1\nsettled:\n  # cut on Monday\n  y: 18 AWG\n# end\n"
