from __future__ import annotations

import pytest

from rigbook.papers.fuses_paper import fuse_rows
from tests.papers.example_builds import BUILDS, desk


@pytest.mark.parametrize("build", BUILDS)
def test_every_feed_link_end_and_spare_position_stands_once(build: str) -> None:
    rig = desk(build).rig
    rows = fuse_rows(desk(build))
    labels = [r.label for r in rows if r.label != "spare"]
    assert sorted(labels) == sorted([*rig.feeds, *(name for name in rig.links for _ in (1, 2))])
    blocks = [d for d in rig.devices.values() if d.part_kind == "fuse-block"]
    for block in blocks:
        positions = [r.position for r in rows if r.block == block.id]
        assert positions == [str(n) for n in range(1, rig.parts[block.part_id].positions + 1)]
    for row in rows:
        if row.label in rig.feeds:
            assert row.rating_a == rig.feeds[row.label].fuse_a
            if row.normal_a is not None and row.worst_rms_a is not None:
                assert row.normal_a <= row.worst_rms_a + 1e-6, "an average never lies above the worst RMS"
