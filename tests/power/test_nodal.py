"""The elimination against dense linear algebra, and the order's fill."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from rigbook.power.network import Network, Solution, solve
from rigbook.power.nodal import Equations
from tests.power.networks import LAWS, generated


def dense(equations: Equations) -> tuple[np.ndarray, np.ndarray]:
    """The linear part by dense algebra: matrix of the free nodes and its right side."""
    size = len(equations.number)
    matrix = np.zeros((size, size))
    for index, row in enumerate(equations.rows):
        matrix[index, index] = equations.diagonal[index]
        for other, value in row.items():
            matrix[index, other] += value
    free = equations.free
    return matrix[:free, :free], -np.array(equations.fixed[:free]) - matrix[:free, free:] @ np.array(equations.held)


@pytest.mark.parametrize("seed", range(12))
def test_without_powers_it_is_dense_algebra(seed: int) -> None:
    network = generated(seed, 20 + 12 * seed)
    eased = Network(network.resistors, network.sources, tuple(x for x in network.loads if x.law != "constant-power"))
    equations = Equations(eased)
    matrix, right = dense(equations)
    found, share = equations.solution()
    assert found is not None and share == 1.0
    assert np.allclose(found, np.linalg.solve(matrix, right), rtol=1e-9, atol=1e-10)


@pytest.mark.parametrize("seed", range(12))
def test_with_powers_every_node_balances_on_the_upper_branch(seed: int) -> None:
    equations = Equations(generated(seed, 20 + 12 * seed))
    found, _ = equations.solution()
    assert found is not None
    matrix, right = dense(equations)
    volts, free = np.array(found), equations.free
    whole = [*found, *equations.held]
    off = matrix @ volts - right
    for a, b, watts in equations.powers:
        across = whole[a] - whole[b]
        for at, sign in ((a, 1.0), (b, -1.0)):
            if at < free:
                off[at] += sign * watts / across
                matrix[at, at] -= watts / across**2
        if a < free and b < free:
            matrix[a, b] += watts / across**2
            matrix[b, a] += watts / across**2
    assert equations.powers and np.abs(off).max() < 1e-9
    assert np.linalg.eigvalsh(matrix)[0] > 0


@pytest.mark.parametrize("seed", range(0, 25, 3))
def test_the_margin_is_the_last_share_with_a_solution(seed: int) -> None:
    network = generated(seed, 20 + 8 * seed)
    margin = Equations(network).margin(at_most=64.0, within=1e-7)

    def scaled(by: float) -> Equations:
        loads = (replace(x, current_a=by * x.current_a) if x.law == "constant-power" else x for x in network.loads)
        return Equations(Network(network.resistors, network.sources, tuple(loads)))

    assert 1.0 < margin < 64.0
    assert scaled(margin).solvable() and not scaled(margin * (1 + 1e-6)).solvable()


def test_currents_balance_and_power_is_kept() -> None:
    laws, loops, two, looked = set(), 0, 0, 0
    for seed in range(30):
        network = generated(seed, 30 + 5 * seed)
        found = solve(network)
        assert isinstance(found, Solution)
        given = sum(found.source_a[s.id] * s.voltage_v for s in network.sources)
        lost = sum(found.resistor_a[r.id] ** 2 * r.ohm for r in network.resistors)
        taken = sum(found.load_a[x.id] * found.load_v[x.id] for x in network.loads)
        assert given == pytest.approx(lost + taken, rel=1e-9)
        laws |= {x.law for x in network.loads}
        loops += sum(r.id.startswith("loop") for r in network.resistors)
        two += len(network.sources) == 2
        looked += 1
    assert laws == set(LAWS) and loops > 20 and 5 < two < 28 and looked == 30
