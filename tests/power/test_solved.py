"""A circuit as a network: with loads that hold their current it is the sum of the drops, exactly."""

from __future__ import annotations

from dataclasses import replace

import pytest

from rigbook.power import drops
from rigbook.power.network import Collapse
from rigbook.power.solved import circuit_network, solved_drop_v
from rigbook.rig.model import Rig
from tests.power.cars import car


def with_law(rig: Rig, law: str, *, times: float = 1.0) -> Rig:
    devices = {
        name: replace(d, draws=tuple(replace(x, law=law, current_a=x.current_a * times) for x in d.draws))  # type: ignore[arg-type]
        for name, d in rig.devices.items()
    }
    return replace(rig, devices=devices)


def test_constant_currents_agree_with_the_sum_of_the_drops() -> None:
    rig = with_law(car(), "constant-current")
    looked = 0
    for circuit in rig.circuits.values():
        worst = drops.governing(rig, circuit)
        if worst is None:
            continue
        assert solved_drop_v(rig, circuit) == pytest.approx(drops.source_drop_v(rig, circuit, worst), rel=1e-9)
        looked += 1
    assert looked == 8, "all but the wire that only tells the beacon when"


def test_loads_that_hold_their_power_lose_more_below_their_stated_voltage_and_less_above() -> None:
    rig = with_law(car(), "constant-power")
    circuit = rig.circuits["control.1"]
    worst = drops.governing(rig, circuit)
    assert worst is not None
    solved = solved_drop_v(rig, circuit)
    assert isinstance(solved, float)
    plain = drops.source_drop_v(rig, circuit, worst)
    device_v = rig.shop.drop_from - solved
    stated_v = rig.devices["nose"].draws[0].at_v
    assert (solved < plain) == (device_v > stated_v)


def test_a_circuit_that_asks_too_much_collapses() -> None:
    rig = with_law(car(), "constant-power", times=150.0)
    assert isinstance(solved_drop_v(rig, rig.circuits["radio-feed"]), Collapse)


def test_a_circuit_of_signals_alone_has_no_network() -> None:
    rig = car()
    circuit = rig.circuits["control.1"]
    silent = replace(circuit, members=tuple(replace(m, signal=True) for m in circuit.members))
    assert circuit_network(rig, silent) is None
    assert solved_drop_v(rig, silent) is None
