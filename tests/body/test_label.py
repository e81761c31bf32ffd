"""The load-capacity label: due above the threshold, with figures of the vehicle and lines to fill in."""

from __future__ import annotations

import pytest

from rigbook.body import work_out
from rigbook.body.label import label
from tests.body.test_balance import LOAD, car
from tests.rig.small import VEHICLE, build_text, worked


def test_little_is_added_no_label_is_due() -> None:
    found = label(car())
    assert (found.due, found.lines, found.certification) == (False, (), ())


def test_above_the_threshold_it_is_due_with_its_figures() -> None:
    rows = "".join(f"  - {{id: c{i}, part: bar, place: roof, feed: box-feed, controller: control}}\n" for i in range(4))
    placard = VEHICLE.replace("gawr_rear: 2650 lb}", "gawr_rear: 2650 lb, capacity: 1000 lb}")
    assert placard != VEHICLE
    found = label(worked(build_text(install=rows, more=LOAD), vehicle=placard))
    assert found.due
    assert found.reduction_kg > 48
    assert found.capacity_before_kg == pytest.approx(1000 * 0.45359237)
    assert found.capacity_after_kg == pytest.approx(found.capacity_before_kg - found.reduction_kg)
    assert f"{round(found.reduction_kg)} kg" in found.lines[0]
    assert sum("____" in line for line in found.certification) == len(found.certification) == 5


def test_without_a_placard_the_rating_bounds_the_capacity() -> None:
    rig = car()
    assert label(rig).capacity_before_kg == rig.vehicle.ratings.gvwr - rig.vehicle.curb.front - rig.vehicle.curb.rear
    assert work_out(rig).label == label(rig)
