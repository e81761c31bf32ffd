"""Beams by integration and by limits. Published rows: tests/outside."""

from __future__ import annotations

import numpy as np
import pytest

from rigbook.body import beams


def test_the_sag_is_the_curvature_integrated_twice() -> None:
    span, load, modulus, inertia = 0.8, 300.0, 69e9, 3e-9
    x = np.linspace(0, span, 20001)
    curvature = load * x * (span - x) / 2 / (modulus * inertia)
    step = x[1] - x[0]
    slope = np.concatenate([[0], np.cumsum((curvature[1:] + curvature[:-1]) / 2 * step)])
    sag = np.concatenate([[0], np.cumsum((slope[1:] + slope[:-1]) / 2 * step)])
    sag = sag - x / span * sag[-1]
    assert -sag.min() == pytest.approx(
        beams.sag_uniform(load_per_length=load, span=span, modulus=modulus, inertia=inertia), rel=1e-6
    )


def test_a_section_by_strips() -> None:
    inertia, far = beams.flanged_inertia(width=0.4, thickness=0.002, below=0.023)
    z = (np.arange(250_000) + 0.5) * (0.025 / 250_000)
    wide = np.where(z > 0.023, 0.4, 0.004)
    axis = (wide * z).sum() / wide.sum()
    assert inertia == pytest.approx((wide * (z - axis) ** 2).sum() * (z[1] - z[0]), rel=1e-4)
    assert far == pytest.approx(max(axis, 0.025 - axis), rel=1e-4)


def test_no_edges_is_a_flat_sheet_and_unknown_stuff_is_refused() -> None:
    flat = beams.sheet_inertia(width=0.4, thickness=0.002)
    almost, _ = beams.flanged_inertia(width=0.4, thickness=0.002, below=1e-9)
    assert almost == pytest.approx(flat, rel=1e-3)
    with pytest.raises(KeyError):
        beams.modulus_pa(material="card")
