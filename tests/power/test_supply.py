from __future__ import annotations

from dataclasses import replace

import pytest

from rigbook.power import supply, work_out
from rigbook.rig.model import Rig
from tests.power.cars import FEEDS, car
from tests.rig.small import build_text, worked


def charging(**changes: object) -> Rig:
    """The car with another charging system; what the documents already refuse can be tried too."""
    rig = car()
    other = rig.vehicle.charging.model_copy(update=changes)
    return replace(rig, vehicle=rig.vehicle.model_copy(update={"charging": other}))


def test_hot_output_at_idle_and_at_a_speed() -> None:
    rig = charging(hot=[(1800.0, 50.0), (3000.0, 110.0)], idle_rpm=750.0, pulley_ratio=2.6)
    assert supply.output_a(rig, engine_rpm=None) == pytest.approx(50 + 60 * (1950 - 1800) / 1200)
    assert supply.output_a(rig, engine_rpm=2000) == 110
    assert supply.output_a(rig, engine_rpm=600) == 0.0, "1560 rpm of the rotor lie below the first point"


@pytest.mark.parametrize("changes", [{"hot": []}, {"idle_rpm": None}])
def test_without_curve_or_idle_speed_it_is_not_worked_out(changes: dict[str, object]) -> None:
    rig = charging(**changes)
    assert supply.output_a(rig, engine_rpm=None) is None
    assert any(note.subject == "power.supply" for note in work_out(rig).notes)


def test_a_converter_gives_its_output_at_any_speed() -> None:
    assert supply.output_a(charging(kind="dc-dc", output=90.0), engine_rpm=None) == 90


def test_base_load_and_output_follow_the_engine() -> None:
    rig = car()
    point = rig.states[0]
    assert supply.base_load_a(rig, running=True) == 12 + 9 + 22
    assert supply.base_load_a(rig, running=False) == pytest.approx(0.02)
    assert supply.state_output_a(rig, point, running=False) == 0.0
    fast = supply.state_output_a(rig, replace(point, rpm=6000.0), running=True)
    assert fast == 125


def test_a_charger_puts_in_what_it_gives() -> None:
    row = "  - {id: shore, part: charger-20, place: dash, feed: {starter: charge}}\n"
    feeds = FEEDS + "  - {id: charge, from: battery.starter, fuse: auto}\n"
    rig = worked(build_text(install=row, feeds=feeds))
    assert supply.supplied_a(rig, rig.circuits["charge"].members) == 20
    assert supply.supplied_a(rig, rig.circuits["box-feed"].members) == 0.0
