"""A small shop of one's own for each test."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from .runner import SMALL


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    shutil.copytree(SMALL, tmp_path / "shop")
    parts = tmp_path / "shop" / "parts" / "all.yaml"
    # light enough to need no joint of its own: the build passes
    parts.write_text(parts.read_text(encoding="utf-8").replace("mass: 20 kg", "mass: 9 kg"), encoding="utf-8")
    return tmp_path / "shop"
