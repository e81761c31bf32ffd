"""The elimination against dense linear algebra, and the order's fill."""

from __future__ import annotations

import numpy as np
import pytest

from rigbook.power.network import Solution, solve
from rigbook.power.nodal import Equations
from tests.power.networks import LAWS, generated


@pytest.mark.parametrize("seed", range(12))
def test_a_step_is_that_of_dense_algebra(seed: int) -> None:
    equations = Equations(generated(seed, 20 + 12 * seed))
    voltage = [12.0 - 0.001 * n for n in range(equations.free)]
    voltage += equations.held
    residual, slopes, _ = equations.residual(voltage, 1.0)
    size = len(equations.number)
    matrix = np.zeros((size, size))
    for index, row in enumerate(equations.rows):
        matrix[index, index] = equations.diagonal[index]
        for other, value in row.items():
            matrix[index, other] += value
    for a, b, slope in slopes:
        matrix[a, a] += slope
        matrix[b, b] += slope
        matrix[a, b] -= slope
        matrix[b, a] -= slope
    dense = matrix[: equations.free, : equations.free]
    made = equations.step(residual, slopes)
    assert made is not None
    expected = np.linalg.solve(dense, -np.array(residual[: equations.free]))
    assert np.allclose(made[0], expected, rtol=1e-8, atol=1e-9)
    assert made[1] == bool(np.linalg.eigvalsh(dense)[0] > 0)


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
