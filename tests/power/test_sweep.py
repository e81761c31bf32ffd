from __future__ import annotations

import numpy as np
import pytest

from rigbook.power import drops, figures, loads
from rigbook.power.sweep import Factor, evaluate, factors, followed, row, shares, varied
from tests.power.test_duty import rig_of
from tests.scenario.shop import SMALL

ONE = {f.id: (0.0 if f.id == "battery_temperature" else 1.0) for f in factors()}


def test_factors_are_what_their_distribution_says() -> None:
    uniform, normal = Factor("u", "", "uniform", 1.0, 0.1), Factor("n", "", "normal", 1.0, 0.05)
    assert uniform.at(0.0) == 0.9 and uniform.at(0.5) == 1.0 and uniform.at(1.0) == 1.1
    assert normal.at(0.5) == pytest.approx(1.0) and normal.at(0.8413447460685429) == pytest.approx(1.05)
    assert Factor("n", "", "normal", 1.0, 0.5).at(0.0) == 0.05, "nothing falls to nothing"
    assert len(factors()) == 8


def test_nothing_changed_gives_the_nominal_figures() -> None:
    rig = rig_of(SMALL)
    what = followed(rig)
    found = dict(zip((o.id for o in what.outputs), evaluate(rig, what, ONE), strict=True))
    for name in what.circuits:
        way = drops.governing(rig, rig.circuits[name])
        assert way is not None
        lost = drops.source_drop_v(rig, rig.circuits[name], way)
        assert found[f"drop_fraction[{name}]"] == pytest.approx(lost / rig.shop.drop_from)
    margins = {s.point.id: figures.state_supply(rig, s).margin_a for s in loads.state_loads(rig)}
    assert all(found[f"margin_a[{name}]"] == pytest.approx(margins[name]) for name in what.states)


def test_each_factor_moves_what_it_should() -> None:
    rig = rig_of(SMALL)
    what = followed(rig)
    ids = [o.id for o in what.outputs]
    base = evaluate(rig, what, ONE)
    moved = {}
    for factor in factors():
        changed = evaluate(rig, what, {**ONE, factor.id: 5.0 if factor.id == "battery_temperature" else 1.1})
        moved[factor.id] = {ids[i] for i, (a, b) in enumerate(zip(base, changed, strict=True)) if abs(a - b) > 1e-9}
    assert (
        "drop_fraction[control.1]"
        in moved["conductor_length"] & moved["conductor_resistance"] & moved["device_current"]
    )
    assert not any(name.startswith("margin_a") for name in moved["conductor_length"])
    assert {"margin_a[on-scene]"} <= moved["base_load"] & moved["charging_output"] & moved["device_current"]
    assert "engine_off_h" in moved["battery_capacity"] and "engine_off_h" not in moved["charging_output"]
    assert all(moved.values()) or not moved["battery_temperature"]


def test_the_rig_itself_stays_as_it_is() -> None:
    rig = rig_of(SMALL)
    before = sum(s.length_m for s in rig.segments.values())
    other = varied(rig, {**ONE, "conductor_length": 2.0})
    assert sum(s.length_m for s in rig.segments.values()) == before
    assert sum(s.length_m for s in other.segments.values()) == pytest.approx(2 * before)


def test_a_row_depends_on_its_seed_and_number_alone() -> None:
    rig = rig_of(SMALL)
    what = followed(rig)
    assert row(rig, what, seed=3, number=7) == row(rig, what, seed=3, number=7)
    assert row(rig, what, seed=3, number=7) != row(rig, what, seed=3, number=8)
    assert row(rig, what, seed=4, number=7) != row(rig, what, seed=3, number=7)
    # the seed of a row is the child that spawning gives in that place
    child = np.random.SeedSequence(3).spawn(8)[7]
    assert (
        np.random.SeedSequence(entropy=3, spawn_key=(7,)).generate_state(4).tolist() == child.generate_state(4).tolist()
    )


@pytest.mark.outside
def test_variance_shares_of_a_function_with_shares_in_closed_form() -> None:
    """Sobol's g function with a = 0, 1, 9: first-order shares V_i / V, V_i = (1/3)/(1 + a_i)^2."""
    a = np.array([0.0, 1.0, 9.0])
    generator = np.random.default_rng(5)
    rows = 40_000

    def g(x: np.ndarray) -> np.ndarray:
        return np.prod((np.abs(4 * x - 2) + a) / (1 + a), axis=1)

    one, two = generator.random((rows, 3)), generator.random((rows, 3))
    mixed = []
    for index in range(3):
        both = one.copy()
        both[:, index] = two[:, index]
        mixed.append(g(both))
    first, total = shares(np.column_stack([g(one), g(two), *mixed]).tolist())
    part = (1 / 3) / (1 + a) ** 2
    variance = np.prod(1 + part) - 1
    expected_total = [part[i] * np.prod(1 + np.delete(part, i)) / variance for i in range(3)]
    assert first == pytest.approx(part / variance, abs=0.02)
    assert total == pytest.approx(expected_total, abs=0.02)


def test_what_does_not_vary_is_driven_by_nothing() -> None:
    assert shares([[1.0, 1.0, 1.0]] * 5) == ([0.0], [0.0])
