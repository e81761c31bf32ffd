from __future__ import annotations

import pytest

from rigbook.power import loads
from rigbook.power.duty_case import plant_of
from rigbook.power.trials import continuous, trials
from tests.power.test_duty import rig_of
from tests.scenario.shop import COMPLETE, MIDDLE, SMALL


def by_id(build: str, *changes: tuple[str, str]) -> dict[str, object]:
    rig = rig_of(build, *changes)
    return {t.id: t for t in trials(rig, plant_of(rig), loads.state_loads(rig))}


def test_the_four_run_in_order() -> None:
    assert list(by_id(COMPLETE)) == ["reserve", "alternator", "full-load", "alarm"]


def test_reserve_is_ten_minutes_against_the_reserve_capacity() -> None:
    rig = rig_of(COMPLETE)
    found = by_id(COMPLETE)["reserve"]
    load = continuous(rig, loads.state_loads(rig), plant_of(rig), ("minimum",), running=False)
    assert load is not None
    # headlamps of the vehicle on the starter bank: 11.025 A x 10 min of 160 min x 25 A; the auxiliary bank has two of 200 min
    shares = [load.by_bank["starter"].held_a * 10 / (160 * 25), load.by_bank["auxiliary"].held_a * 10 / (2 * 200 * 25)]
    assert found.used_share == pytest.approx(max(shares), rel=1e-6)  # type: ignore[attr-defined]
    assert found.passes is True  # type: ignore[attr-defined]


def test_a_bank_without_reserve_is_not_tested() -> None:
    found = by_id(MIDDLE)["reserve"]
    assert found.passes is None and "no reserve capacity" in found.says  # type: ignore[attr-defined]


def test_alternator_margin_is_plain_arithmetic() -> None:
    found = by_id(SMALL)["alternator"]
    assert found.margin_a == pytest.approx(59.0 - found.load_a) and found.passes is True  # type: ignore[attr-defined]


def test_without_a_signal_nothing_would_sound() -> None:
    found = by_id(SMALL)["alarm"]
    assert found.passes is False and "nothing would sound" in found.says  # type: ignore[attr-defined]


def test_the_alarm_waits_its_delay_and_the_engine_must_start() -> None:
    found = by_id(COMPLETE)["alarm"]
    assert found.alarm_after_s > 3600 and found.passes is False  # type: ignore[attr-defined]
    assert "does not start afterwards" in found.says, "headlamps empty the starter bank meanwhile"  # type: ignore[attr-defined]
    late = by_id(COMPLETE, ("      below: 11.8 V\n      for: 120 s", "      below: 11.7 V\n      for: 200 s"))["alarm"]
    assert late.alarm_after_s - late.below_after_s == pytest.approx(200.0, abs=0.1)  # type: ignore[attr-defined]
    assert "sounds 200 s after" in late.says  # type: ignore[attr-defined]
