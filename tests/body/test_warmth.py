"""Heat and gas at their edges. Published rows: tests/outside."""

from __future__ import annotations

import random

import pytest

from rigbook.body import warmth


def test_the_rise_carries_exactly_the_power_off() -> None:
    chance = random.Random(2)
    for _ in range(100):
        power, walls, fan, stack = (
            chance.uniform(0.1, 300),
            chance.uniform(0, 9),
            chance.uniform(0, 30),
            chance.uniform(0.01, 4),
        )
        rise = warmth.rise_k(power_w=power, wall_w_k=walls, fan_w_k=fan, stack=stack)
        assert (walls + fan) * rise + stack * rise**1.5 == pytest.approx(power, rel=1e-9)
    assert warmth.rise_k(power_w=0, wall_w_k=1, fan_w_k=0, stack=0) == pytest.approx(0, abs=1e-9)


def test_walls_alone_agree_with_the_area_they_need() -> None:
    area = warmth.wall_area_m2(power_w=500, rise_k=15, k_w_m2k=5.5)
    assert warmth.rise_k(power_w=500, wall_w_k=5.5 * area, fan_w_k=0, stack=0) == pytest.approx(15)


def test_a_published_box_by_the_cautious_wall() -> None:
    """60 W in 0.5 x 0.3 x 0.4 m, six faces free, k 5.5: inside air rises 11.6 K."""
    area = 2 * (0.5 * 0.3 + 0.5 * 0.4 + 0.3 * 0.4)
    wall = warmth.wall_w_m2k(wall="painted-steel") * area
    assert warmth.rise_k(power_w=60, wall_w_k=wall, fan_w_k=0, stack=0) == pytest.approx(11.6, abs=0.05)


def test_more_openings_less_rise_and_no_way_out() -> None:
    stacks = [warmth.stack_w_per_k15(opening_m2=a, rise_m=0.4, ambient_c=40) for a in (0.001, 0.004, 0.01)]
    rises = [warmth.rise_k(power_w=50, wall_w_k=1, fan_w_k=0, stack=s) for s in stacks]
    assert rises == sorted(rises, reverse=True)
    with pytest.raises(ValueError, match="no way out"):
        warmth.rise_k(power_w=1, wall_w_k=0, fan_w_k=0, stack=0)
    with pytest.raises(KeyError):
        warmth.wall_w_m2k(wall="card")
