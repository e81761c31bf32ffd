"""`rigbook draw`: drawings as files."""

from __future__ import annotations

from pathlib import Path

from .runner import BUILD, rigbook


def test_draw_writes_well_formed_svg(shop: Path, tmp_path: Path) -> None:
    import xml.etree.ElementTree as ElementTree

    target = tmp_path / "map.svg"
    done = rigbook("draw", shop / BUILD, "lamp-map", "-o", target)
    assert done.returncode == 0, done.stderr
    root = ElementTree.fromstring(target.read_bytes())
    assert root.tag.endswith("svg")
    text = "".join(root.itertext())
    assert "nose-lamp" in text
    assert "tail-lamp" in text
    wrong = rigbook("draw", shop / BUILD, "lamp-map", "-o", tmp_path / "map.png")
    assert wrong.returncode == 2
