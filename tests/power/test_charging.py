from __future__ import annotations

import pytest

from rigbook.power import charging, figures, loads, supply
from rigbook.power.alternator import output_a
from rigbook.power.duty_case import plant_of
from rigbook.power.endurance import standby_a
from tests.power.test_duty import rig_of
from tests.scenario.shop import COMPLETE, MIDDLE, PLANTED, SMALL

CURVE = [(1800.0, 92.0), (3000.0, 160.0), (6000.0, 215.0)]


@pytest.mark.parametrize("amps", [93.0, 120.0, 160.0, 200.0, 215.0])
def test_the_speed_gives_the_current_it_was_asked_for(amps: float) -> None:
    rpm = charging.rpm_for(curve=CURVE, pulley_ratio=2.8, current_a=amps)
    assert rpm is not None
    assert output_a(curve=CURVE, rotor_rpm=2.8 * rpm) == pytest.approx(amps)


def test_below_the_first_point_and_beyond_the_last() -> None:
    assert charging.rpm_for(curve=CURVE, pulley_ratio=2.0, current_a=10.0) == 900.0
    assert charging.rpm_for(curve=CURVE, pulley_ratio=2.0, current_a=216.0) is None
    assert charging.rpm_for(curve=[], pulley_ratio=2.0, current_a=1.0) is None


def needs(build: str, *changes: tuple[str, str]) -> dict[str, object]:
    rig = rig_of(build, *changes)
    states = loads.state_loads(rig)
    return {n.id: n for n in charging.needs(rig, states, [figures.state_supply(rig, s) for s in states])}


def test_shedding_goes_step_by_step_until_it_holds() -> None:
    """At 500 rpm the hot alternator gives nothing: every step is shed, and what is minimum stays."""
    found = needs(COMPLETE, ("work_all: yes, gear: park, ignition: run, engine_running: yes, headlamps: parking}\n    rpm: 1200",
                             "work_all: yes, gear: park, ignition: run, engine_running: yes, headlamps: parking}\n    rpm: 500"))  # fmt: skip
    need = found["on-scene-night"]
    assert need.margin_a < 0 and need.holds_at_step is None  # type: ignore[attr-defined]
    shed = [s.shed_a for s in need.sheds]  # type: ignore[attr-defined]
    assert len(shed) == 5 and shed == sorted(shed) and shed[-1] > shed[0]
    assert all(s.margin_a == pytest.approx(need.margin_a + s.shed_a) for s in need.sheds)  # type: ignore[attr-defined]


def test_a_state_beyond_idle_needs_high_idle() -> None:
    found = needs(PLANTED)["working"]
    assert found.needs_high_idle and found.high_idle_margin_a > 0  # type: ignore[attr-defined]
    rig = rig_of(PLANTED)
    average = next(figures.state_supply(rig, s).average_a for s in loads.state_loads(rig))
    assert supply.output_a(rig, engine_rpm=found.needed_rpm) == pytest.approx(average)  # type: ignore[attr-defined]


def test_start_up_comes_in_steps_and_adds_up() -> None:
    rig = rig_of(COMPLETE)
    steps = charging.start_up(rig, loads.state_loads(rig))
    assert [s.after_s for s in steps] == [0.0, 0.5, 1.0]
    assert steps[-1].flowing_a == pytest.approx(sum(s.added_a for s in steps))
    assert "siren-feed" in steps[-1].feeds and "screen-feed" in steps[1].feeds


def test_blocks_tell_what_is_used_and_left() -> None:
    rig = rig_of(COMPLETE)
    result = figures.work_out(rig)
    rear = next(b for b in result.blocks if b.id == "block-rear")
    assert (rear.feed, rear.positions_used, rear.positions) == ("main-rear", 9, 12)
    assert rear.free_share == 0.25
    worst = next(f.worst_rms_a for f in result.feeds if f.id == "main-rear")
    assert rear.worst_rms_a == worst and rear.spare_a == pytest.approx(150 - worst)
    assert next(b for b in result.blocks if b.id == "bus-ground").feed is None


def test_the_shore_charger_is_sized_by_its_banks_and_its_inlet_for_it() -> None:
    rig = rig_of(COMPLETE)
    standby = standby_a(rig, plant_of(rig))
    (found,) = charging.shore(rig, standby)
    assert found.needed_a == pytest.approx(sum(standby.values()) + (95 + 210) / 10)
    assert (found.takes_a, found.inlet_a, found.inlet_allowed_a) == (6.0, 20.0, 16.0)
    assert charging.shore(rig_of(SMALL), {}) == ()
    (small,) = charging.shore(rig_of(MIDDLE), {"starter": 0.0, "auxiliary": 0.0})
    assert small.needed_a == pytest.approx(15.5)
