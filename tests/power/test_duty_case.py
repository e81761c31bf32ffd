from __future__ import annotations

import pytest

from rigbook.power import loads
from rigbook.power.duty_case import bank_model, chargers_of, mean_of, plant_of, sums_by_bank
from rigbook.power.plant import Sensed
from rigbook.power.waveform import mean_a
from tests.power.test_duty import rig_of
from tests.scenario.shop import COMPLETE, MIDDLE, SMALL


def test_the_plant_of_the_complete_build() -> None:
    plant = plant_of(rig_of(COMPLETE))
    assert [b.id for b in plant.banks] == ["starter", "auxiliary"] and plant.own == "starter"
    (tie,) = plant.ties
    assert (tie.kind, tie.closes_v, tie.opens_v, tie.delay_s) == ("senses", 13.4, 12.9, 10.0)
    assert plant.chargers[0].banks == ("starter", "auxiliary")
    assert plant.sensed[0] == Sensed("auxiliary_low", "auxiliary", True, 11.8, 12.8, 120.0)


def test_a_converter_is_one() -> None:
    (tie,) = plant_of(rig_of(MIDDLE)).ties
    assert (tie.kind, tie.out_a, tie.out_v, tie.efficiency) == ("converter", 30.0, 14.2, 0.92)
    assert not list(chargers_of(rig_of(SMALL)))


def test_batteries_in_parallel_add() -> None:
    rig = rig_of(COMPLETE)
    model = bank_model(rig, rig.banks["auxiliary"])
    assert model.capacity_ah == 210 and model.resistance_ohm == pytest.approx(0.00175) and model.cranking_a == 1600


@pytest.mark.parametrize("build", [COMPLETE, MIDDLE, SMALL])
def test_what_banks_are_asked_for_is_what_the_state_draws(build: str) -> None:
    rig = rig_of(build)
    looked = 0
    for state in loads.state_loads(rig):
        sums = sums_by_bank(rig, state, shares={})
        whole = sum(s.held_a + s.power_w / 12.8 + s.siemens * 12.8 for s in sums.values())
        exact = float(mean_a(state.whole()))
        assert whole == pytest.approx(exact, rel=0.1), "currents are stated at 12.8 V or near"
        waves = [each.wave for each in state.drawn if each.wave.spans]
        assert all(mean_of(wave) == pytest.approx(float(mean_a([wave]))) for wave in waves)
        looked += len(waves)
    assert looked > 20
