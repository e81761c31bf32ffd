"""Tyres under other loads. Published rows: tests/outside."""

from __future__ import annotations

import pytest

from rigbook.body import balance, tyres, work_out
from tests.body.test_balance import car
from tests.body.test_explain import agree
from tests.rig.small import VEHICLE

TYRES = "tyres: {size: 225/65R17, load_index: 102}"


def test_pressure_grows_with_the_load_up_to_the_rated_one() -> None:
    found = [tyres.pressure_kpa(load_kg=m, rated_load_kg=900, rated_pressure_kpa=450) for m in range(0, 901, 100)]
    assert found == sorted(found)
    assert (found[0], found[-1]) == (0, pytest.approx(450))
    with pytest.raises(ValueError, match="rated load"):
        tyres.pressure_kpa(load_kg=901, rated_load_kg=900, rated_pressure_kpa=450)


def test_doubled_tyres_by_their_own_index_passenger_tyres_by_their_divisor() -> None:
    assert TYRES in VEHICLE
    doubled = car(VEHICLE.replace(TYRES, TYRES[:-1] + ", load_index_dual: 98, count_rear: 4, pressure: 450 kPa}"))
    assert balance.tyre_capacity_kg(doubled, "rear") == 4 * 750
    rear = work_out(doubled).axles[1]
    assert rear.tyre_pressure_kpa == pytest.approx(450 * (rear.load_kg / 3000) ** 1.25)
    assert rear.tyre_margin_kg == pytest.approx(3000 - rear.load_kg)
    agree(doubled)
    passenger = car(VEHICLE.replace(TYRES, TYRES[:-1] + ", passenger_car: yes}"))
    assert balance.tyre_capacity_kg(passenger, "front") == pytest.approx(2 * 850 / 1.1)
    agree(passenger)
