"""`rigbook settle`: worked-out values in the file."""

from __future__ import annotations

import json
from pathlib import Path

from .runner import BUILD, change, rigbook


def test_settle_writes_once_keeps_the_rest_and_the_digest(shop: Path) -> None:
    path = change(
        shop,
        BUILD,
        "{id: heat-feed, from: fuses.2, fuse: 10 A, wire: 10 AWG}",
        "{id: heat-feed, from: fuses.2}  # a remark",
    )
    before, old = path.read_text(), json.loads(rigbook("check", path, "--json").stdout)
    done = rigbook("settle", path)
    assert done.returncode == 0, done.stderr
    after = path.read_text()
    assert after.startswith(before), "only a section at the end is new"
    assert "feeds.heat-feed.fuse: 15 A" in after, "8 A / 0.8 / 0.8667 at 60 C"
    new = json.loads(rigbook("check", path, "--json").stdout)
    assert new["build"]["digest"] == old["build"]["digest"]
    assert new["power"] == old["power"]
    assert "nothing changed" in rigbook("settle", path).stdout
    assert path.read_text() == after


def test_settle_writes_nothing_where_the_input_is_wrong(shop: Path) -> None:
    path = change(shop, BUILD, "fuse: 10 A", "fuse: ten")
    before = path.read_bytes()
    done = rigbook("settle", path)
    assert done.returncode == 2
    assert f"{BUILD}:" in done.stderr
    assert path.read_bytes() == before
