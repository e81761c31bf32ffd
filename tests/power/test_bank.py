from __future__ import annotations

import math

import pytest

from rigbook.power import bank, battery
from rigbook.power.bank import BankModel
from rigbook.power.battery import Kinetic


def model(**changes: object) -> BankModel:
    given: dict[str, object] = {
        "id": "b", "chemistry": "agm", "kinetic": Kinetic(0.45, 0.8, 100.0), "capacity_ah": 95.0, "resistance_ohm": 0.004,
        "scale": 1.0, "reserve_min": 160.0, "cranking_a": 800.0,
    }  # fmt: skip
    return BankModel(**{**given, **changes})  # type: ignore[arg-type]


def test_voltage_follows_the_rest_table_and_bends_near_empty() -> None:
    flooded = model(chemistry="flooded")
    for charge in (1.0, 0.75, 0.5, 0.3):
        assert bank.open_v(flooded, head=charge) == pytest.approx(battery.lead_rest_v(charge=charge), abs=0.06)
    assert bank.open_v(flooded, head=0.0) == pytest.approx(10.8, abs=1e-9), "1.80 V a cell"
    assert bank.open_v(model(), head=1.0) == pytest.approx(12.80)
    falling = [bank.open_v(flooded, head=n / 100) for n in range(101)]
    assert falling == sorted(falling)


def test_a_system_of_24_v_has_twice_the_cells() -> None:
    assert bank.open_v(model(scale=2.0), head=0.6) == pytest.approx(2 * bank.open_v(model(), head=0.6))
    assert bank.profile("agm", 25.0, 2.0).absorption_v == pytest.approx(2 * 14.6)


def test_lithium_is_flat_and_ends_where_its_maker_says() -> None:
    lithium = model(chemistry="lithium-iron-phosphate")
    assert bank.open_v(lithium, head=0.5) == pytest.approx(13.112)
    assert bank.open_v(lithium, head=0.0) == pytest.approx(11.2)
    assert 13.2 < bank.open_v(lithium, head=1.0) < 13.4
    assert bank.kinetic_of("lithium-iron-phosphate", 60.0, ()) == Kinetic(1.0, 1.0, 60.0)


def test_a_part_without_rates_gets_the_shape_of_a_published_battery() -> None:
    one = bank.kinetic_of("agm", 200.0, ())
    assert battery.lasting_ah(one, hours=20) == pytest.approx(200.0, rel=0.002)
    assert battery.lasting_ah(one, hours=1) == pytest.approx(2 * 58.12, rel=0.002)
    assert bank.scaled(one, 2).full_ah == pytest.approx(2 * one.full_ah)


def test_a_part_with_rates_gives_them() -> None:
    rates = ((1.0, 67.0), (5.0, 90.0), (20.0, 105.0))
    found = bank.kinetic_of("agm", 105.0, rates)
    for hours, amount in rates:
        assert battery.lasting_ah(found, hours=hours) == pytest.approx(amount, rel=0.01)


def test_charging_is_compensated_by_temperature_but_not_lithium() -> None:
    assert bank.profile("agm", 0.0, 1.0).absorption_v == pytest.approx(14.6 + 25 * 0.018)
    assert bank.profile("lithium-iron-phosphate", 10.0, 1.0).absorption_v == pytest.approx(14.2)
    assert bank.profile("lithium-iron-phosphate", -1.0, 1.0).most_share == 0.0, "no charge below 0 C"


def test_acceptance_falls_from_bulk_to_what_flows_on() -> None:
    one, how = model(), bank.profile("agm", 25.0, 1.0)
    empty = bank.accepts_a(one, how, available_ah=10.0, bound_ah=20.0)
    assert empty == pytest.approx(0.3 * 95 / 0.9)
    nearly = bank.accepts_a(one, how, available_ah=45.0, bound_ah=50.0)
    assert nearly == pytest.approx(0.8 * 0.45 * 5.0 / 0.9), "k c times the bound charge missing"
    assert bank.accepts_a(one, how, available_ah=45.0, bound_ah=55.0) == pytest.approx(0.0, abs=1e-12)
    cold = bank.profile("lithium-iron-phosphate", -5.0, 1.0)
    assert bank.accepts_a(model(chemistry="lithium-iron-phosphate"), cold, available_ah=10.0, bound_ah=1.0) == 0.0


def test_it_cranks_while_no_more_than_40_per_cent_is_gone() -> None:
    one = model()
    assert bank.cranks(one, available_ah=0.61 * 45, bound_ah=0.61 * 55)
    assert not bank.cranks(one, available_ah=0.59 * 45, bound_ah=0.59 * 55)
    assert bank.crank_v(one, head=1.0) == pytest.approx(12.8 - 400 * 0.004)
    assert not bank.cranks(model(resistance_ohm=0.009), available_ah=45, bound_ah=55), "9.2 V under load"
    assert bank.crank_v(model(cranking_a=None), head=1.0) is None


def test_days_to_no_start_are_the_bulletin_s_without_self_discharge() -> None:
    one = model(reserve_min=100.0)
    plain = battery.days_to_no_start(reserve_min=100.0, drain_a=0.05)
    assert plain == pytest.approx(20.0)
    assert bank.days_to_no_start(one, drain_a=0.05, per_month=1e-9) == pytest.approx(plain, rel=1e-6)
    assert bank.days_to_no_start(one, drain_a=0.05) < plain
    # the month's own loss alone: 60 % are left after ln(0.6)/ln(0.95) months
    assert bank.days_to_no_start(one, drain_a=1e-12) == pytest.approx(30 * math.log(0.6) / math.log(0.95), rel=1e-6)
