"""When flashing light may set off seizures: the published screen rules, for previews and as a caution on the vehicle.

They are rules for screens: a lamp neither passes nor fails by them.
"""

from __future__ import annotations

import math

FLASHES_PER_S = 3.0
"""More general flashes than three in any second fail [WCAG 2.x, 2.3.1]."""
FIELD_SR = 0.006
"""Flashing area of a 10 deg field of view above which the rule counts [WCAG 2.x, 2.3.1]."""
FIELD_SHARE = 0.25
LUMINANCE_CD_M2 = 20.0


def is_hazard(*, luminance_cd_m2: float, rate_hz: float, area_sr: float) -> bool:
    """At least 20 cd/m2, 3 flashes a second and 0.006 sr [Harding et al. 2005, expert consensus]."""
    return luminance_cd_m2 >= LUMINANCE_CD_M2 and rate_hz >= FLASHES_PER_S and area_sr >= FIELD_SR


def field_pixels(*, width_px: int, height_px: int) -> float:
    """Pixels of a quarter of the field that stands for 10 deg on a screen: 341 by 256 at the usual distance [WCAG 2.x]."""
    return FIELD_SHARE * width_px * height_px


def distance_m(*, width_m: float, height_m: float) -> float:
    """From how near on a flashing area spans 0.006 sr, m: sqrt(area / 0.006)."""
    return math.sqrt(width_m * height_m / FIELD_SR)


def beat_hz(*, one_per_min: float, other_per_min: float) -> float:
    """How often two lamps of different rates fall together, Hz."""
    return abs(one_per_min - other_per_min) / 60
