from __future__ import annotations

import random

import pytest

from rigbook.power.bus import Cell, Source, Sums, balance

AGM = Cell(12.6, 0.004, 20.0, 14.4)


def test_a_bank_alone_carries_its_loads_through_its_resistance() -> None:
    found = balance([AGM], [], Sums(10.0, 240.0, 0.5))
    amps = 10.0 + 240.0 / found.volts + 0.5 * found.volts
    assert found.volts == pytest.approx(12.6 - 0.004 * amps, abs=1e-9)
    assert found.into_a == (pytest.approx(-amps),)


def test_power_behind_a_resistance_is_the_closed_form() -> None:
    found = balance([Cell(12.0, 0.1, 0.0, 14.4)], [], Sums(0.0, 300.0))
    assert found.volts == pytest.approx(8.4495, abs=1e-4)
    assert balance([Cell(12.0, 0.1, 0.0, 14.4)], [], Sums(0.0, 900.0)).dead


def test_a_source_with_enough_holds_its_voltage_and_charges() -> None:
    found = balance([AGM], [Source(14.4, 60.0)], Sums(30.0))
    assert found.volts == 14.4 and found.into_a == (20.0,) and found.given_a == (pytest.approx(50.0),)


def test_a_source_with_a_little_left_charges_a_little() -> None:
    found = balance([AGM], [Source(14.4, 40.0)], Sums(30.0))
    assert found.given_a == (40.0,)
    assert found.into_a[0] == pytest.approx(10.0, abs=1e-6)
    assert found.volts == pytest.approx(12.6 + 1.8 * 10 / 20, abs=1e-6)


def test_beyond_the_source_the_batteries_give_the_rest() -> None:
    found = balance([AGM, Cell(12.4, 0.004, 20.0, 14.4)], [Source(13.8, 40.0)], Sums(100.0))
    assert sum(found.into_a) == pytest.approx(-60.0, abs=1e-6)
    assert found.into_a[0] < found.into_a[1] < 0, "the fuller one gives more"


def test_the_higher_source_goes_first() -> None:
    found = balance([AGM], [Source(13.5, 50.0), Source(14.4, 60.0)], Sums(30.0))
    assert found.volts == 14.4 and found.given_a == (0.0, pytest.approx(50.0))


def test_a_flat_bank_gives_nothing() -> None:
    flat = AGM._replace(flat=True)
    assert balance([flat], [], Sums(5.0)).dead
    assert balance([flat], [Source(14.4, 15.0)], Sums(5.0)).into_a[0] == pytest.approx(10.0)


def test_random_buses_balance() -> None:
    dice, kinds = random.Random(4), set()
    for _ in range(400):
        cells = [
            Cell(dice.uniform(11, 13), dice.uniform(0.002, 0.02), dice.uniform(0, 60), dice.uniform(13.5, 14.8))
            for _ in range(dice.randint(1, 3))
        ]
        sources = [Source(dice.choice([13.5, 13.8, 14.4]), dice.uniform(5, 150)) for _ in range(dice.randint(0, 2))]
        loads = Sums(dice.uniform(0, 80), dice.uniform(0, 500), dice.uniform(0, 1))
        found = balance(cells, sources, loads)
        assert not found.dead
        gap = sum(found.given_a) - sum(found.into_a) - loads.at(found.volts)
        assert abs(gap) < 1e-4 * (1 + loads.at(found.volts))
        for source, amps in zip(sources, found.given_a, strict=True):
            assert 0 <= amps <= source.most_a * (1 + 1e-12)
            if amps < source.most_a * (1 - 1e-9):
                assert found.volts >= source.holds_v - 1e-9
        kinds.add((len(cells), len(sources), sum(found.into_a) > 0))
    assert len(kinds) >= 12, kinds
