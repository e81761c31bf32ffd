from __future__ import annotations

import pytest

from rigbook.power import battery
from rigbook.power.battery import Charge
from rigbook.power.duty import plant_and_day
from rigbook.power.duty_case import bank_model, full_charges, plant_of
from rigbook.power.endurance import endurance, lowest_charges, standby_a, state_endurance, stopped
from tests.power.test_duty import rig_of
from tests.scenario.shop import COMPLETE, MIDDLE, PLANTED, SMALL


def test_a_state_lasts_as_long_as_the_closed_form_at_its_mean_current() -> None:
    rig = rig_of(SMALL)
    plant = plant_of(rig)
    point = next(p for p in rig.states if p.id == "responding-siren")
    found = state_endurance(rig, plant, point)
    assert found is not None and found.bank == "auxiliary" and found.engine_off_h is not None
    model = bank_model(rig, rig.banks["auxiliary"])
    own = found.draws_a - 0.020
    closed = battery.empty_after_h(
        model.kinetic, Charge(*full_charges(plant)["auxiliary"]), current_a=own, within_h=100
    )
    assert found.engine_off_h == pytest.approx(closed, rel=0.04), (
        "constant power draws a little more as the voltage falls"
    )
    assert found.alarm_h is not None and found.alarm_h < found.engine_off_h


def test_the_engine_is_off_in_it() -> None:
    rig = rig_of(COMPLETE)
    running = [v.name for v in rig.program.variables].index("engine_running")
    for point in rig.states:
        state = stopped(rig, point)
        assert state is not None and state[running] == 0


def test_the_whole_block_of_the_examples() -> None:
    for build in (SMALL, MIDDLE, COMPLETE):
        rig = rig_of(build)
        plant, run = plant_and_day(rig)
        found = endurance(rig, plant, run)
        known = [s.engine_off_h for s in found.states if s.engine_off_h is not None]
        assert found.engine_off_h == min(known) and len(known) >= 4
        assert found.key_off_days is not None and 20 < found.key_off_days < 90
        assert found.recharge_h is not None and found.recharge_by == ("engine" if build == SMALL else "shore")


def test_without_a_day_there_is_no_recharge() -> None:
    rig = rig_of(PLANTED)
    plant, run = plant_and_day(rig)
    assert run is None and endurance(rig, plant, run).recharge_h is None


def test_recharge_starts_from_the_least_of_the_day() -> None:
    rig = rig_of(SMALL)
    _, run = plant_and_day(rig)
    assert run is not None
    least = lowest_charges(run)
    assert sum(least["auxiliary"]) == pytest.approx(min(p.charge_ah[1] for p in run.points))


def test_what_stands_by_on_shore_is_the_largest_of_the_states_there() -> None:
    rig = rig_of(COMPLETE)
    found = standby_a(rig, plant_of(rig))
    assert found["auxiliary"] > 2 and found["starter"] < 0.1
