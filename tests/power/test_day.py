from __future__ import annotations

from collections.abc import Mapping

import pytest

from rigbook.power import battery
from rigbook.power.bank import BankModel, kinetic_of, scaled
from rigbook.power.battery import Charge
from rigbook.power.bus import Sums
from rigbook.power.day import Day
from rigbook.power.plant import Cutter, Plant, Sensed, Setting, ShoreCharger, Steady, Tie

RATES = ((1.0, 67.0), (5.0, 90.0), (20.0, 105.0))
STARTER = BankModel("starter", "agm", kinetic_of("agm", 95.0, ()), 95.0, 0.003, 1.0, 160.0, 900.0)
AUXILIARY = BankModel(
    "auxiliary", "agm", scaled(kinetic_of("agm", 105.0, RATES), 2), 210.0, 0.00175, 1.0, 200.0, 1600.0, 2
)
ISOLATOR = Tie("link", "starter", "auxiliary", "senses", 13.4, 12.9, 10.0)
CHARGER = ShoreCharger("charger", ("starter", "auxiliary"), 40.0)
LOW = Sensed("low", "auxiliary", True, 11.8, 12.8, 120.0)


def full(plant: Plant) -> dict[str, tuple[float, float]]:
    return {b.id: (b.available_full_ah, (1 - b.kinetic.c) * b.kinetic.full_ah) for b in plant.banks}


def kinds(day: Day, subject: str) -> list[str]:
    return [event.kind for event in day.events if event.subject == subject]


def three_days(tolerance_ah: float) -> Day:
    """Three days of work, blocking at idle beyond the alternator, standing, and a night on the shore."""
    plant = Plant((STARTER, AUXILIARY), "starter", (ISOLATOR,), (CHARGER,), (), (LOW,))
    day = Day(plant, charges=full(plant), tolerance_ah=tolerance_ah)
    for _ in range(3):
        day.run(Steady({"starter": Sums(53), "auxiliary": Sums(20, 400)}), Setting(150, 13.8, True), hours=0.5)
        day.run(Steady({"starter": Sums(53), "auxiliary": Sums(20, 600)}), Setting(97, 13.8, True), hours=3)
        day.run(Steady({"starter": Sums(0.02), "auxiliary": Sums(10, 400)}), Setting(), hours=2)
        day.run(Steady({"starter": Sums(0.02), "auxiliary": Sums(0.5)}), Setting(shore=True), hours=18.5)
    return day


def test_a_constant_current_is_the_closed_form() -> None:
    plant = Plant((AUXILIARY,), None)
    day = Day(plant, charges=full(plant))
    day.run(Steady({"auxiliary": Sums(25.0)}), Setting(), hours=4.0)
    start = Charge(*full(plant)["auxiliary"])
    there = battery.after(AUXILIARY.kinetic, start, current_a=25.0, hours=4.0)
    assert day.tanks("auxiliary") == pytest.approx((there.available_ah, there.bound_ah), abs=1e-4)


def test_it_empties_when_the_closed_form_does() -> None:
    plant = Plant((AUXILIARY,), None)
    day = Day(plant, charges=full(plant))
    day.run(Steady({"auxiliary": Sums(40.0)}), Setting(), hours=10.0)
    expected = battery.empty_after_h(
        AUXILIARY.kinetic, Charge(*full(plant)["auxiliary"]), current_a=40.0, within_h=10.0
    )  # fmt: skip
    assert kinds(day, "auxiliary") == ["empty"]
    assert day.events[0].at_h == pytest.approx(expected, abs=0.5 / 3600)


def test_cold_takes_the_share_that_is_printed() -> None:
    """A published battery of 40 Ah gives 74 % at -10 C: at its 20 h rate it lasts 0.74 of 20 h."""
    flooded = BankModel(
        "b", "flooded", kinetic_of("flooded", 40.0, ((20.0, 40.0), (10.0, 37.2))), 40.0, 0.01, 1.0, None, None
    )
    plant = Plant((flooded,), None)
    day = Day(plant, charges=full(plant))
    day.run(Steady({"b": Sums(2.0 * 0.74)}), Setting(temperature_c=-10.0), hours=40.0)
    assert day.events[0].at_h == pytest.approx(20.0, rel=0.01)


def test_halving_the_tolerance_moves_no_event_by_a_second() -> None:
    coarse, fine = three_days(1e-5), three_days(5e-6)
    assert [(e.subject, e.kind) for e in coarse.events] == [(e.subject, e.kind) for e in fine.events]
    assert len(coarse.events) > 30
    assert max(abs(a.at_h - b.at_h) for a, b in zip(coarse.events, fine.events, strict=True)) < 1.0 / 3600
    reached = {event.kind for event in coarse.events}
    assert reached >= {"closes", "opens", "hunts", "acts", "clears", "empty", "alive", "float"}


def test_the_books_agree_with_the_charge() -> None:
    plant = Plant((STARTER, AUXILIARY), "starter", (ISOLATOR,), (CHARGER,))
    day = Day(plant, charges={"starter": (30.0, 40.0), "auxiliary": (60.0, 70.0)})
    ledgers = day.run(Steady({"starter": Sums(5), "auxiliary": Sums(15, 100)}), Setting(120, 13.8, True), hours=3.0)
    for ledger in ledgers.values():
        assert ledger.end_ah == pytest.approx(ledger.start_ah + 0.90 * ledger.put_ah - ledger.drawn_ah, abs=1e-6)
        assert ledger.put_ah > 1


def test_an_isolator_closes_and_opens_after_its_delay() -> None:
    plant = Plant((STARTER, AUXILIARY), "starter", (ISOLATOR,))
    day = Day(plant, charges={"starter": full(plant)["starter"], "auxiliary": (50.0, 70.0)})
    loads = Steady({"starter": Sums(20), "auxiliary": Sums(10)})
    day.run(loads, Setting(150, 13.8, True), hours=1.0)
    day.run(loads, Setting(), hours=1.0)
    closes, opens = day.events
    assert (closes.kind, closes.at_h * 3600) == ("closes", pytest.approx(10.0))
    assert (opens.kind, (opens.at_h - 1.0) * 3600) == ("opens", pytest.approx(10.0))


def test_a_hunting_isolator_is_the_mean_of_both() -> None:
    """In a deficit it opens what it closes: the mean of both is what many cycles come to."""
    plant = Plant((STARTER, AUXILIARY), "starter", (ISOLATOR,))
    loads = Steady({"starter": Sums(53), "auxiliary": Sums(60)})
    hunting = Day(plant, charges=full(plant))
    hunting.run(loads, Setting(97, 13.8, True), hours=1.0)
    assert kinds(hunting, "link")[-1] == "hunts"
    import rigbook.power.day as module

    cycled = Day(plant, charges=full(plant))
    turns, module._TURNS = module._TURNS, 10**9
    try:
        cycled.run(loads, Setting(97, 13.8, True), hours=1.0)
    finally:
        module._TURNS = turns
    assert len(cycled.events) > 300
    for bank in plant.banks:
        assert hunting.charge_ah(bank) == pytest.approx(cycled.charge_ah(bank), abs=0.15)


def test_turns_far_apart_are_no_hunting() -> None:
    plant = Plant((STARTER, AUXILIARY), "starter", (ISOLATOR,))
    day = Day(plant, charges=full(plant))
    for _ in range(6):
        day.run(Steady({"starter": Sums(20), "auxiliary": Sums(10)}), Setting(150, 13.8, True), hours=0.5)
        day.run(Steady({"starter": Sums(1), "auxiliary": Sums(10)}), Setting(), hours=0.5)
    assert kinds(day, "link") == ["closes", "opens"] * 6


def test_lithium_holds_a_voltage_sensing_isolator_closed() -> None:
    """A lithium bank rests above the cut-out, so the relay never opens."""
    lithium = BankModel("auxiliary", "lithium-iron-phosphate", kinetic_of("lithium-iron-phosphate", 60.0, ()), 60.0, 0.008, 1.0,
                        None, None)  # fmt: skip
    plant = Plant((STARTER, lithium), "starter", (ISOLATOR,))
    day = Day(plant, charges=full(plant))
    day.run(Steady({"starter": Sums(10)}), Setting(100, 13.8, True), hours=0.5)
    day.run(Steady({"starter": Sums(0.05)}), Setting(), hours=5.0)
    assert kinds(day, "link") == ["closes"]


def test_the_shore_charger_goes_through_its_stages() -> None:
    plant = Plant((STARTER, AUXILIARY), "starter", (), (CHARGER,))
    day = Day(plant, charges={"starter": (25.0, 30.0), "auxiliary": (50.0, 60.0)})
    day.run(Steady({}), Setting(shore=True), hours=0.1)
    bulk = day.points[-1]
    assert bulk.given_a == pytest.approx(40.0, abs=1e-6), "bulk: all it gives"
    assert max(bulk.volts) < 14.6
    day.run(Steady({}), Setting(shore=True), hours=60.0)
    assert sorted(e.subject for e in day.events if e.kind == "float") == ["auxiliary", "starter"]
    assert day.points[-1].volts == pytest.approx((13.5, 13.5))
    assert day.points[-1].given_a < 2.0


def test_a_converter_charges_while_the_engine_runs_and_takes_its_power() -> None:
    tie = Tie("link", "starter", "auxiliary", "converter", out_a=30.0, out_v=14.2, efficiency=0.92)
    plant = Plant((STARTER, AUXILIARY), "starter", (tie,))
    day = Day(plant, charges={"starter": full(plant)["starter"], "auxiliary": (20.0, 30.0)})
    day.run(Steady({"starter": Sums(20)}), Setting(150, 13.8, True), hours=0.1)
    volts = dict(zip(("starter", "auxiliary"), day.points[-1].volts, strict=True))
    assert day.points[-1].given_a == pytest.approx(30.0 + 20.0 + 30.0 * volts["auxiliary"] / 0.92 / 13.8, abs=0.1)
    before = day.charge_ah(AUXILIARY)
    day.run(Steady({}), Setting(), hours=1.0)
    assert day.charge_ah(AUXILIARY) <= before + 1e-6


class Cutting(Steady):
    """Loads on a low-voltage disconnect."""

    def loads(self, cut: frozenset[str]) -> Mapping[str, Sums]:
        return {} if "cut" in cut else self.by_bank


def test_a_low_voltage_disconnect_saves_the_bank_and_comes_back() -> None:
    plant = Plant((STARTER, AUXILIARY), "starter", (), (CHARGER,), (Cutter("cut", "auxiliary", 11.8, 12.9, 60.0),))
    day = Day(plant, charges=full(plant))
    crew = Cutting({"auxiliary": Sums(30.0)})
    day.run(crew, Setting(), hours=12.0)
    assert kinds(day, "cut") == ["opens"] and "empty" not in kinds(day, "auxiliary")
    left = day.charge_ah(AUXILIARY)
    assert left > 5
    day.run(crew, Setting(shore=True), hours=8.0)
    assert kinds(day, "cut") == ["opens", "closes"]


def test_a_signal_that_cannot_act_now_is_asked_again() -> None:
    class Refusing(Steady):
        asked = 0

        def signal(self, name: str, acts: bool) -> bool:
            type(self).asked += 1
            return type(self).asked > 3

    plant = Plant((AUXILIARY,), None, (), (), (), (LOW,))
    day = Day(plant, charges=full(plant))
    day.run(Refusing({"auxiliary": Sums(30.0)}), Setting(), hours=6.5)
    assert Refusing.asked == 4
    assert kinds(day, "low") == ["acts"]


@pytest.mark.parametrize("for_s", [0.0, 30.0])
@pytest.mark.parametrize("below", [True, False])
def test_a_signal_acts_past_its_threshold_and_clears_at_once(below: bool, for_s: float) -> None:
    sensed = Sensed("s", "auxiliary", below, 12.2, 12.25 if below else 12.15, for_s)
    plant = Plant((AUXILIARY,), None, (), (), (), (sensed,))
    start = full(plant) if below else {"auxiliary": (10.0, 110.0)}
    day = Day(plant, charges=start)
    day.run(Steady({"auxiliary": Sums(30.0 if below else 0.0)}), Setting(), hours=4.0)
    day.run(Steady({"auxiliary": Sums(0.0 if below else 80.0)}), Setting(), hours=2.0)
    assert kinds(day, "s") == ["acts", "clears"]


def test_two_banks_tied_directly_share_one_voltage() -> None:
    plant = Plant((STARTER, AUXILIARY), "starter", (Tie("link", "starter", "auxiliary", "direct"),))
    day = Day(plant, charges={"starter": full(plant)["starter"], "auxiliary": (60.0, 70.0)})
    day.run(Steady({"starter": Sums(3)}), Setting(), hours=8.0)
    assert all(a == pytest.approx(b) for a, b in (point.volts for point in day.points))
    assert day.charge_ah(AUXILIARY) > 130, "the full one has given to it"


def test_it_stops_where_it_is_told_to() -> None:
    plant = Plant((AUXILIARY,), None)
    day = Day(plant, charges=full(plant))
    day.run(Steady({"auxiliary": Sums(40.0)}), Setting(), hours=240.0, stops=lambda d: bool(d.events))
    assert day.at_h == day.events[-1].at_h < 10
