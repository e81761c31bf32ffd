"""The time-current chart: every line is where the figures say, strict XML, equal bytes."""

from __future__ import annotations

import math
import re
import xml.etree.ElementTree as ET
from itertools import pairwise
from pathlib import Path

import pytest

from rigbook.papers import time_current as chart
from rigbook.power import fuse_chain
from rigbook.rig.model import Rig


@pytest.fixture(scope="module")
def rig() -> Rig:
    from rigbook.desk.checking import open_build

    build = Path(__file__).parents[2] / "src/rigbook/data/example_shop/builds/flood-support-van.yaml"
    return open_build(build, judged=False).worked


def test_every_chain_of_the_complete_build_is_drawn_and_named(rig: Rig) -> None:
    looked = 0
    for feed_id in rig.feeds:
        drawn = chart.chain_chart(rig, feed_id)
        root = ET.fromstring(drawn)
        texts = [e.text or "" for e in root.iter("{http://www.w3.org/2000/svg}text")]
        for fuse in fuse_chain.chain_of(rig, feed_id):
            assert any(t.startswith(f"{fuse.id}, {fuse.fuse_a:g} A"[:20]) for t in texts), (feed_id, texts)
        assert drawn == chart.chain_chart(rig, feed_id)
        looked += 1
    assert looked == len(rig.feeds) > 20


def test_lines_lie_at_their_currents_and_times() -> None:
    made = chart.Chain("t", (chart.Band("f", ((10.0, 1.0), (100.0, 0.01)), ((10.0, 100.0), (100.0, 0.1))),), "18 AWG",
                       10_000.0, 5.0, (50.0, 0.02), 80.0)  # fmt: skip
    drawn = chart.time_current(made)
    paths = re.findall(r'd="(M[^"]+)"', drawn)
    assert len(paths) == 3 + 4
    plot = chart.PLOT
    # the fast edge: 10 A at 1 s, in a span of 1 to 100 A … 1000 A by decades
    x, y = map(float, re.match(r"M([\d.]+) ([\d.]+)", paths[1]).groups())  # type: ignore[union-attr]
    decades = math.log10(1000 / 1)
    assert x == pytest.approx(plot.left + (plot.right - plot.left) / decades, abs=0.01)
    assert y == pytest.approx(plot.bottom - (plot.bottom - plot.top) * 3 / 7, abs=0.01)


def test_legend_lines_do_not_overlap_and_stay_on_the_sheet(rig: Rig) -> None:
    root = ET.fromstring(chart.chain_chart(rig, "screen-feed"))
    rows = sorted(
        float(e.get("y", 0))
        for e in root.iter("{http://www.w3.org/2000/svg}text")
        if float(e.get("x", 0)) > chart.PLOT.right
    )
    assert len(rows) >= 4
    assert all(b - a >= 3.2 for a, b in pairwise(rows)) and rows[-1] < chart.HEIGHT_MM


def test_plates_for_every_feed_and_the_telling_ones_for_the_book(rig: Rig) -> None:
    every = chart.plates(rig)
    assert [plate.key for plate in every] == [f"time-current-{name}" for name in rig.feeds]
    telling = {plate.key.removeprefix("time-current-") for plate in chart.plates(rig, telling=True)}
    straight = {feed.id for feed in rig.feeds.values() if feed.parent is None and feed.to is None}
    assert straight < telling
    assert len(telling - straight) == len({rig.feeds[name].parent for name in telling - straight}) >= 2


def test_the_load_is_what_heats_the_fuse(rig: Rig) -> None:
    looked = 0
    for feed in rig.feeds.values():
        if feed.segment is not None:
            assert chart.load_of(rig, feed.id) == rig.segments[feed.segment].heating_a < feed.nameplate_a
            looked += 1
    assert looked >= 2
