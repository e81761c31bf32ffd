"""Laying out a face and settling it: only what is open, never what is set, the rest of the text as it was."""

from __future__ import annotations

from pathlib import Path

import pytest

from rigbook.desk.laying import NoSuchFace, lay
from tests.web.conftest import example_shop

PICKUP = "boat-crew-pickup"


@pytest.fixture
def build(tmp_path: Path) -> Path:
    return example_shop(tmp_path / "shop", PICKUP) / "builds" / f"{PICKUP}.yaml"


def test_positions_are_settled_and_stay(build: Path) -> None:
    before = build.read_text()
    looked = lay(build, "console-top")
    assert looked.layout is not None and looked.layout.fits and looked.changed == 3
    assert build.read_text() == before
    assert lay(build, "console-top", write=True).changed == 3
    after = build.read_text()
    assert after.startswith(before.rstrip("\n")) and "install.cups.on:" in after
    again = lay(build, "console-top", again=True, write=True)
    assert again.changed == 0 and build.read_text() == after


def test_no_such_face_and_documents_with_errors(build: Path) -> None:
    with pytest.raises(NoSuchFace, match="nearest is console-top"):
        lay(build, "console-tip")
    build.write_text(build.read_text().replace("depth: 200 mm", "depth: 200"))
    found = lay(build, "console-top", write=True)
    assert found.layout is None and found.assessment.errors
