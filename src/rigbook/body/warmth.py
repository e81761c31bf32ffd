"""Heat out of an enclosure, and gas out of a battery. Plain numbers: W, K, m2, m3/s."""

from __future__ import annotations

import math

from rigbook.quantities.tables import read_table

AIR_KG_M3, AIR_J_KG_K = 1.2, 1005.0
SUN_C = 70.0
"""Closed cabin in the sun. Source: practice-sun."""
DISCHARGE = 0.6


def wall_w_m2k(*, wall: str) -> float:
    """Heat through a square metre of wall, W/K. Source: enclosure-walls. KeyError for another wall."""
    return float(read_table("enclosure-walls").cell(row=wall, column="k"))


def wall_area_m2(*, power_w: float, rise_k: float, k_w_m2k: float) -> float:
    """Free wall that keeps a sealed box to a rise: P/(k dT). Source: enclosure-walls."""
    return power_w / (k_w_m2k * rise_k)


def fan_flow_m3_s(*, power_w: float, rise_k: float) -> float:
    """Air that carries a power off at a rise: P/(rho cp dT), at sea level. Source: fan-flow."""
    return power_w / (AIR_KG_M3 * AIR_J_KG_K * rise_k)


def stack_w_per_k15(*, opening_m2: float, rise_m: float, ambient_c: float) -> float:
    """Heat that rising air takes off through two equal openings, W per K^1.5. Source: stack-flow (memory).

    Two equal openings in line act as A/sqrt(2).
    """
    draught = math.sqrt(2.0 * 9.80665 * rise_m / (273.15 + ambient_c))
    return AIR_KG_M3 * AIR_J_KG_K * DISCHARGE * opening_m2 / math.sqrt(2.0) * draught


def rise_k(*, power_w: float, wall_w_k: float, fan_w_k: float, stack: float) -> float:
    """Rise at which walls, fan and rising air together carry the power off, by bisection. ValueError with no way out."""
    if wall_w_k + fan_w_k + stack <= 0:
        raise ValueError("heat has no way out")
    low, high = 0.0, 1.0
    while (wall_w_k + fan_w_k) * high + stack * high**1.5 < power_w:
        high *= 2.0
    for _ in range(80):
        middle = (low + high) / 2.0
        if (wall_w_k + fan_w_k) * middle + stack * middle**1.5 < power_w:
            low = middle
        else:
            high = middle
    return (low + high) / 2.0


def battery_gas_m3_h(*, cells: int, gas_ma_per_ah: float, capacity_ah: float) -> float:
    """Air that keeps battery gas thin: 0.05 n I C/1000, m3/h. Source: battery-gas. Lead-acid only."""
    return 0.05 * cells * gas_ma_per_ah * capacity_ah * 1e-3


def battery_opening_m2(*, air_m3_h: float) -> float:
    """Opening for that air, each of two: 28 Q cm2. Source: battery-gas."""
    return 28.0 * air_m3_h * 1e-4
