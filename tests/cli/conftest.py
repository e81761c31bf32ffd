"""A small shop of one's own for each test."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from .runner import SMALL


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    shutil.copytree(SMALL, tmp_path / "shop")
    return tmp_path / "shop"
