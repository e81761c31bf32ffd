from __future__ import annotations

import xml.etree.ElementTree as ElementTree
from typing import Any

from rigbook.papers.fuse_map import fuse_map

from .opened import example

POWER: dict[str, Any] = {"feeds": [], "circuits": []}


def texts(plates: list[Any]) -> list[str]:
    return [t for p in plates for t in ElementTree.fromstring(p.document).itertext()]


def test_every_position_every_fuse_and_every_spare_stand_on_it() -> None:
    rig = example("flood-support-van").worked
    plates = fuse_map(rig, {"power": POWER})
    blocks = [d.id for d in rig.devices.values() if getattr(rig.parts.get(d.part_id or ""), "kind", "") == "fuse-block"]
    assert [p.key for p in plates] == [*(f"{b}:1" for b in blocks), "line:1"]
    by_block = {p.key: dict(p.boxes) for p in plates}
    spares = 0
    for block in blocks:
        used = {f.block_position for f in rig.feeds.values() if f.block_id == block}
        for position in range(1, 13):
            boxes = by_block[f"{block}:1"]
            assert (f"{position}:rating" in boxes) == (position in used)
            assert (f"{position}:spare" in boxes) == (position not in used)
            spares += position not in used
    assert spares > 0
    words = "".join(texts(plates)).replace(" ", "")
    for feed in rig.feeds.values():
        assert feed.id in words
    assert words.count("bank-link") == 2, "a link has a fuse at either end"


def test_worst_stands_where_it_was_worked_out_and_a_dash_elsewhere() -> None:
    rig = example("duty-officer-utility").worked
    power = {
        "feeds": [{"id": "light-feed", "worst_average_a": 7.25}],
        "circuits": [{"id": "light-feed", "worst_average_a": None}],
    }
    found = texts(fuse_map(rig, {"power": power}))
    assert "W 7.2" in found or "W 7.3" in found
    assert "W –" in found


def test_neighbours_in_a_row_stand_side_by_side() -> None:
    rig = example("flood-support-van").worked
    boxes = dict(fuse_map(rig, {"power": POWER})[0].boxes)
    assert boxes["1:number"].right < boxes["2:number"].left and boxes["1:number"].top == boxes["2:number"].top
    assert boxes["7:number"].left == boxes["1:number"].left and boxes["7:number"].top > boxes["1:number"].bottom
