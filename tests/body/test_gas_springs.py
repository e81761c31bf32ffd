"""Springs through the swing, by work and symmetry. Published rows: tests/outside."""

from __future__ import annotations

import math
import random
from dataclasses import replace

import pytest

from rigbook.body.gas_springs import Swing, force_at_n

LID = Swing(
    mass_kg=20, centre_m=0.40, body_x_m=0.10, body_y_m=-0.25, stud_m=0.30, count=2, force_n=120, ratio=1.3,
    closed_deg=0, open_deg=90,
)  # fmt: skip


def test_the_moment_is_the_work_done_over_the_angle() -> None:
    """net = dE/dth for a potential of weight and constant springs (ratio 1): an energy method, not the arm formula."""
    chance = random.Random(5)
    for _ in range(60):
        swing = replace(LID, ratio=1.0, body_x_m=chance.uniform(-0.3, 0.3), body_y_m=chance.uniform(-0.5, -0.1),
                        stud_m=chance.uniform(0.05, 0.35))  # fmt: skip
        angle = chance.uniform(1, 89)

        def energy(at: float, swing: Swing = swing) -> float:
            springs = swing.count * swing.force_n * swing.length_m(at)
            return springs - swing.mass_kg * swing.gravity * swing.centre_m * math.sin(math.radians(at))

        step = 1e-4
        slope = (energy(angle + step) - energy(angle - step)) / math.radians(2 * step)
        assert swing.net_n_m(angle) == pytest.approx(slope, abs=1e-4)


def test_force_by_temperature_and_stroke() -> None:
    assert force_at_n(force_20_n=300, temperature_c=20) == 300
    assert LID.force_of_one_n(90) == pytest.approx(120)
    assert LID.force_of_one_n(0) == pytest.approx(156)


def test_balance_is_where_the_moment_vanishes_or_nowhere() -> None:
    angle = LID.balance_deg()
    assert angle is not None
    assert LID.net_n_m(angle) == pytest.approx(0, abs=1e-6)
    assert replace(LID, force_n=1.0, open_deg=80).balance_deg() is None
    assert replace(LID, force_n=5000.0).balance_deg() is None
