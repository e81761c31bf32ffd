"""Sheeting that sends light back: luminance and intensity, widths, and what conspicuity rules count."""

from __future__ import annotations

import math

from rigbook.quantities.tables import read_table
from rigbook.quantities.units import INCH_M

TABLE = "astm-d4956-retroreflection"
SEGMENT_M, SEGMENT_SLACK_M = 0.300, 0.150
"""Length of a red or white segment and how much it may differ [49 CFR 571.108 S8.2]."""
LEAST_TO_LAMP_M = 0.075
"""Least distance of a sheeting's edge from a required lamp of another colour [49 CFR 571.108 S8.2; 49 CFR 393.26(d) 3 in]."""
LEAST_STRIPE_M = 4 * INCH_M
"""Height that counts as a stripe [NFPA 1901-2009 15.9.3, as quoted]."""


def coefficient_cd_per_lx_m2(
    *, sheeting: str, colour: str, observation_deg: float = 0.2, entrance_deg: float = -4.0
) -> float | None:
    """Least coefficient of retroreflection of a sheeting, cd/lx/m2 [astm-d4956-01]; None where the table has no figure.

    Raises:
        KeyError: a type, colour or pair of angles that the table does not print.
    """
    for row in read_table(TABLE).records():
        angles = (float(row["observation"]), float(row["entrance"]))
        if row["type"] == sheeting and angles == (observation_deg, entrance_deg):
            return float(row[colour]) if row[colour] else None
    raise KeyError(f"{TABLE}: type {sheeting} at {observation_deg:g} and {entrance_deg:g} deg")


def luminance_cd_per_m2(*, coefficient_cd_per_lx_m2: float, illuminance_lx: float, view_deg: float = 0.0) -> float:
    """Luminance of lit sheeting: L = R E / cos(view), view below 90 deg from its upright [cie-54, from memory]."""
    return coefficient_cd_per_lx_m2 * illuminance_lx / math.cos(math.radians(view_deg))


def intensity_cd(*, coefficient_cd_per_lx_m2: float, illuminance_lx: float, area_m2: float) -> float:
    """Intensity sent back: I = R E A [cie-54, from memory]."""
    return coefficient_cd_per_lx_m2 * illuminance_lx * area_m2


def band_along_m(*, stripe_m: float, angle_deg: float) -> float:
    """Length that a slanted band takes along the horizontal: width over the sine of its angle."""
    return stripe_m / math.sin(math.radians(angle_deg))


def segment_counts(*, length_m: float) -> bool:
    """Whether a red or white segment has a length that conspicuity rules take: 300 mm, 150 mm more or less."""
    return abs(length_m - SEGMENT_M) <= SEGMENT_SLACK_M + 1e-12


def clear_of_lamp(*, distance_m: float) -> bool:
    """Whether an edge of sheeting is far enough from a required lamp of another colour: 75 mm."""
    return distance_m >= LEAST_TO_LAMP_M - 1e-12
