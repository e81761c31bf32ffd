"""The instant behind the day: joined banks, a charger's share, a converter; charges are the model's own slopes."""

from __future__ import annotations

import pytest

from rigbook.power import battery
from rigbook.power.battery import Charge
from rigbook.power.bus import Sums
from rigbook.power.day import Day
from rigbook.power.plant import Plant, Setting, Steady
from tests.power.test_day import AUXILIARY, CHARGER, ISOLATOR, STARTER, full


def test_slopes_are_those_of_the_kinetic_model() -> None:
    plant = Plant((AUXILIARY,), None)
    day = Day(plant, charges={"auxiliary": (50.0, 70.0)})
    day.run(Steady({"auxiliary": Sums(20.0)}), Setting(), hours=1e-9)
    slopes = day._instant(day.charges).slopes
    ahead = 1e-5
    later = battery.after(AUXILIARY.kinetic, Charge(50.0, 70.0), current_a=20.0, hours=ahead)
    assert slopes == pytest.approx([(later.available_ah - 50.0) / ahead, (later.bound_ah - 70.0) / ahead], rel=1e-3)


def test_a_charger_s_output_is_shared_by_what_banks_ask_for() -> None:
    plant = Plant((STARTER, AUXILIARY), "starter", (), (CHARGER,))
    day = Day(plant, charges={"starter": full(plant)["starter"], "auxiliary": (20.0, 30.0)})
    day.run(Steady({}), Setting(shore=True), hours=0.01)
    now = day._instant(day.charges)
    assert now.into_a["auxiliary"] == pytest.approx(40.0, abs=0.5) and now.into_a["starter"] < 0.5


def test_banks_apart_and_joined() -> None:
    plant = Plant((STARTER, AUXILIARY), "starter", (ISOLATOR,))
    day = Day(plant, charges=full(plant))
    day.run(Steady({"starter": Sums(10)}), Setting(100, 13.8, True), hours=5 / 3600)
    assert [names for names, _, _ in day._groups] == [["starter"], ["auxiliary"]]
    day.run(Steady({"starter": Sums(10)}), Setting(100, 13.8, True), hours=10 / 3600)
    assert [names for names, _, _ in day._groups] == [["starter", "auxiliary"]]
