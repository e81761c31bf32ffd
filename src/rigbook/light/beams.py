"""The beam model of a part without a photometric file: a peak and two angles.

Along the direction at azimuth p around the axis, I = I0 cos^m(g) with the half angle g50 of an ellipse through half the
horizontal and half the vertical beam, and m = ln 0.5 / ln cos g50. So the intensity is exactly half the peak at both
beam angles, and a round beam is the textbook lobe I0 cos^m g with flux 2 pi I0 / (m + 1). Behind the lamp it is dark.
Common practice, no source: no part is measured by it.
"""

from __future__ import annotations

import math

import numpy as np

from rigbook.light.photometry import Distribution


def lobe_exponent(*, beam_deg: float) -> float:
    """Exponent m of a lobe cos^m whose full width at half the peak is `beam_deg`, above 0 and below 180 deg.

    Raises:
        ValueError: outside that range.
    """
    if not 0 < beam_deg < 180:
        raise ValueError(f"a beam of {beam_deg:g} deg is no lobe: above 0 and below 180 deg")
    return math.log(0.5) / math.log(math.cos(math.radians(beam_deg / 2)))


def lobe_width_deg(*, exponent: float, share: float) -> float:
    """Full angle at which cos^m falls to a share of its peak: 2 acos(share^(1/m)), deg."""
    return 2 * math.degrees(math.acos(share ** (1 / exponent)))


def lobe_lumens(*, peak_cd: float, exponent: float) -> float:
    """Flux of the lobe I0 cos^m g over the half space, lm: 2 pi I0 / (m + 1)."""
    return 2 * math.pi * peak_cd / (exponent + 1)


def beam(*, peak_cd: float, horizontal_deg: float, vertical_deg: float, step_deg: float = 1.0) -> Distribution:
    """The model on a type C grid every `step_deg`.

    Raises:
        ValueError: a beam outside 0 to 180 deg, or a peak below 0.
    """
    if peak_cd < 0:
        raise ValueError(f"a peak of {peak_cd:g} cd is below 0")
    for width in (horizontal_deg, vertical_deg):
        lobe_exponent(beam_deg=width)
    hs, vs = np.arange(0, 360 + step_deg / 2, step_deg), np.arange(0, 90 + step_deg / 2, step_deg)
    around, gamma = np.radians(hs)[:, None], np.radians(vs)[None, :]
    half = 1 / np.hypot(np.sin(around) / (horizontal_deg / 2), np.cos(around) / (vertical_deg / 2))
    exponent = math.log(0.5) / np.log(np.cos(np.radians(half)))
    candela = peak_cd * np.clip(np.cos(gamma), 0.0, 1.0) ** exponent
    candela[:, -1] = 0.0  # cos 90 deg is not quite 0 in floating point
    return Distribution(kind="C", horizontal_deg=hs, vertical_deg=vs, candela=candela)
