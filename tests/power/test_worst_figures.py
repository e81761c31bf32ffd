"""The power block with its worst values: none above a name-plate sum, chargers' own current, kinds alone."""

from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType

import pytest

from rigbook.power import work_out
from rigbook.power.supply import base_load_a, most_output_a, output_a
from rigbook.power.worst_figures import WorstCases, worst_cases, worst_fields
from rigbook.proofs.witness import state_of
from tests.power.cars import car


def test_worst_values_stand_everywhere_and_none_is_above_the_name_plate() -> None:
    result = work_out(car())
    looked = 0
    for kind in (
        result.circuits,
        result.feeds,
        result.modules,
        result.banks,
        result.wires,
        result.devices,
        (result.whole,),
    ):
        for figure in kind:
            assert figure.worst_average_a <= figure.worst_rms_a + 1e-9
            assert figure.worst_rms_a <= figure.worst_peak_a + 1e-9
            assert figure.worst_peak_a <= figure.nameplate_a + 1e-9
            assert figure.worst_rms_gap_a == figure.worst_peak_gap_a == figure.worst_average_gap_a == 0
            for witness in (figure.witness, figure.rms_witness, figure.peak_witness):
                values, lost = state_of(car().program, witness)
                assert len(values) == len(car().program.variables)
                assert not lost
            looked += 1
    assert looked > 40


def test_charging_margins() -> None:
    worst = work_out(car()).supply.worst_running
    assert worst is not None
    assert worst.base_a == base_load_a(car(), running=True)
    idle, most = output_a(car(), engine_rpm=None), most_output_a(car())
    assert idle is not None
    assert most is not None
    assert worst.idle_margin_a == pytest.approx(idle - worst.worst_average_a - worst.base_a)
    assert worst.most_margin_a == pytest.approx(most - worst.worst_average_a - worst.base_a)


def test_kinds_can_be_asked_for_alone() -> None:
    cases = worst_cases(car(), kinds=("feeds",))
    assert {kind for kind, _ in cases.targets} == {"feeds"}
    assert list(cases.targets) == list(cases.found)


def test_what_a_charger_puts_in_counts_where_it_is_more() -> None:
    cases = worst_cases(car(), kinds=("feeds",))
    key = ("feeds", "main")
    plain = worst_fields(cases, *key)
    charged = replace(cases.targets[key], supplied_a=100.0)
    more = worst_fields(WorstCases(car(), MappingProxyType({key: charged}), cases.found), *key)
    assert plain["worst_peak_a"] < 100.0 == more["worst_peak_a"] == more["worst_average_a"]
