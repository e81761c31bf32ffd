"""The day's chart: curves where the run says, no text over another, a plate also without a day."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from dataclasses import replace
from itertools import combinations
from pathlib import Path

import pytest

from rigbook.papers.day_chart import CHARGE, LEFT, RIGHT, curves, day_chart
from rigbook.power.duty import run_day
from rigbook.power.duty_case import plant_of
from rigbook.rig.model import Rig

BUILDS = Path(__file__).parents[2] / "src/rigbook/data/example_shop/builds"


@pytest.fixture(scope="module")
def rig() -> Rig:
    from rigbook.desk.checking import open_build

    return open_build(BUILDS / "boat-crew-pickup.yaml", judged=False).worked


def test_curves_are_the_points_of_the_run(rig: Rig) -> None:
    plant = plant_of(rig)
    assert plant is not None
    run = run_day(rig, plant)
    assert run is not None
    made = curves(run)
    assert [curve.bank for curve in made] == [bank.id for bank in plant.banks]
    for curve in made:
        assert len(curve.hours) == len(run.points) > 3
        assert all(0.0 <= share <= 1.001 for share in curve.shares)
        assert list(curve.hours) == sorted(curve.hours)


def test_the_chart_is_strict_stays_in_its_frame_and_covers_no_text(rig: Rig) -> None:
    (plate,) = day_chart(rig)
    assert plate.document == day_chart(rig)[0].document
    root = ET.fromstring(plate.document)
    paths = [e.get("d", "") for e in root.iter("{http://www.w3.org/2000/svg}path") if e.get("fill") == "none"]
    assert len(paths) == 2 * len(rig.banks)
    for path in paths:
        for x, y in re.findall(r"([\d.]+) ([\d.]+)", path):
            assert LEFT - 0.01 <= float(x) <= RIGHT + 0.01
            assert float(y) >= CHARGE[0] - 0.01
    for (one, a), (other, b) in combinations(plate.boxes, 2):
        assert not a.overlaps(b), (one, other)


def test_without_a_day_the_plate_says_so(rig: Rig) -> None:
    (plate,) = day_chart(replace(rig, build=rig.build.model_copy(update={"duty": []})))
    assert "No working day is entered" in plate.document
