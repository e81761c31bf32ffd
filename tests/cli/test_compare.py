"""`rigbook compare`: two builds side by side."""

from __future__ import annotations

import json
from pathlib import Path

from .runner import BUILD, rigbook


def test_compare_shows_documents_figures_and_findings(shop: Path) -> None:
    other = shop / "builds/other.yaml"
    other.write_text((shop / BUILD).read_text().replace("fuse: 10 A, wire: 10 AWG", "fuse: 15 A, wire: 18 AWG"))
    done = rigbook("compare", shop / BUILD, other)
    assert done.returncode == 0, done.stderr
    assert "feeds[heat-feed].fuse: 10 -> 15" in done.stdout
    assert "feeds[heat-feed].wire: 10 AWG -> 18 AWG" in done.stdout
    assert "power.circuits[heat-feed].drop_v" in done.stdout
    assert "fuse-above-practice@heat-feed" in done.stdout
    same = rigbook("compare", shop / BUILD, shop / BUILD)
    assert "nothing differs" in same.stdout
    data = json.loads(rigbook("compare", shop / BUILD, other, "--json").stdout)
    assert [f["id"] for f in data["findings"]["new"]] == ["fuse-above-practice@heat-feed"]
