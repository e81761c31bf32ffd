"""Interpolation, lumens, peak, beam and field angles against closed forms; symmetries."""

from __future__ import annotations

import math

import numpy as np
import pytest

from rigbook.light.photometry import Distribution, PhotometryError, unfold_c


def lobe(exponent: float, step_deg: float = 0.5) -> Distribution:
    vs = np.arange(0, 90 + step_deg / 2, step_deg)
    row = np.clip(np.cos(np.radians(vs)), 0, 1) ** exponent * 1000
    return Distribution(kind="C", horizontal_deg=np.array([0.0, 360.0]), vertical_deg=vs, candela=np.vstack((row, row)))


@pytest.mark.parametrize("exponent", [1, 4, 10, 20])
def test_lobe_lumens_and_angles(exponent: float) -> None:
    """Flux 2 pi I0/(m+1); beam 2 acos(0.5^(1/m)), field 2 acos(0.1^(1/m)): textbook shapes."""
    light = lobe(exponent)
    assert light.total_lm() == pytest.approx(2 * math.pi * 1000 / (exponent + 1), rel=1e-3)
    for plane in ("horizontal", "vertical"):
        for share in (0.5, 0.1):
            width = 2 * math.degrees(math.acos(share ** (1 / exponent)))
            assert light.width_deg(share=share, plane=plane) == pytest.approx(width, abs=0.01)
    assert light.peak_cd == 1000 and light.peak_at_deg == (0.0, 0.0)


def test_zonal_constants() -> None:
    """Solid angles of 10 degree zones, as the zonal-flux method prints them; together half the sphere."""
    printed = [0.09546, 0.28347, 0.46286, 0.62820, 0.77445, 0.89716, 0.99262, 1.05791, 1.09106]
    one = Distribution(
        kind="C", horizontal_deg=np.array([0.0, 360.0]), vertical_deg=np.array([0.0, 90.0]), candela=np.ones((2, 2))
    )
    found = [one.zonal_lm(from_deg=10 * i, to_deg=10 * i + 10) for i in range(9)]
    assert found == pytest.approx(printed, abs=1e-5)
    assert sum(found) == pytest.approx(2 * math.pi, rel=1e-12) == one.total_lm()
    assert one.zonal_lm(from_deg=90, to_deg=180) == 0.0
    with pytest.raises(ValueError, match="0 to 180"):
        one.zonal_lm(from_deg=50, to_deg=40)


@pytest.mark.parametrize("kind", ["A", "B"])
def test_types_a_and_b_hold_the_same_light(kind: str) -> None:
    """The off-axis angle is acos(cos H cos V) for both types, so one lobe sampled in either has its closed form."""
    at = np.arange(-90, 90.5, 1.0)
    off = np.cos(np.radians(at))[:, None] * np.cos(np.radians(at))[None, :]
    light = Distribution(
        kind="A" if kind == "A" else "B", horizontal_deg=at, vertical_deg=at, candela=1000 * np.clip(off, 0, 1) ** 4
    )
    assert light.total_lm() == pytest.approx(2 * math.pi * 1000 / 5, rel=1e-3)
    assert light.zonal_lm(from_deg=0, to_deg=180) == pytest.approx(light.total_lm(), rel=1e-3)
    rng = np.random.default_rng(7)
    toward = rng.normal(size=(200, 3))
    toward /= np.linalg.norm(toward, axis=1)[:, None]
    expected = 1000 * np.clip(toward[:, 0], 0, 1) ** 4
    found = light.toward_cd(ahead=toward[:, 0], right=toward[:, 1], up=toward[:, 2])
    assert (expected > 0).sum() > 50
    assert found == pytest.approx(expected, abs=0.5)


def test_a_and_b_differ_where_they_should() -> None:
    """At H 60, V 60 the two spheres point apart: d(A) = (.25, .433, .866), d(B) = (.25, .866, .433)."""
    at = np.array([-90.0, 0.0, 60.0, 90.0])
    candela = np.zeros((4, 4))
    candela[2, 2] = 100.0
    third, half = math.sqrt(3) / 4, math.sqrt(3) / 2
    for kind, right, up in (("A", third, half), ("B", half, third)):
        light = Distribution(kind=kind, horizontal_deg=at, vertical_deg=at, candela=candela)
        assert light.toward_cd(ahead=0.25, right=right, up=up) == pytest.approx(100.0)
        assert light.toward_cd(ahead=0.25, right=up, up=right) < 50


def test_outside_the_measured_range_it_is_dark() -> None:
    light = lobe(1)
    assert light.intensity_cd([0, 10], [91, 180]).tolist() == [0, 0]
    assert light.width_deg(share=0.5, plane="horizontal") is not None
    even = Distribution(
        kind="C", horizontal_deg=np.array([0.0, 360.0]), vertical_deg=np.array([0.0, 180.0]), candela=np.ones((2, 2))
    )
    assert even.width_deg(share=0.5, plane="vertical") is None
    assert even.total_lm() == pytest.approx(4 * math.pi, rel=1e-12)


def test_symmetries_unfold() -> None:
    """Each stored part gives the same circle when the light has that symmetry, by reflection of the angles."""

    def rows(angles: np.ndarray) -> np.ndarray:
        return np.cos(np.radians(2 * angles))[:, None] * np.ones((1, 2)) + 2

    whole = np.arange(0, 361, 30.0)
    for first, last in ((0, 90), (0, 180), (90, 270), (0, 360), (0, 330)):
        stored = np.arange(first, last + 1, 30.0)
        angles, candela = unfold_c(stored, rows(stored), line=1)
        assert angles.tolist() == whole.tolist(), (first, last)
        assert candela == pytest.approx(rows(whole)), (first, last)
    one_sided = np.arange(90, 271, 30.0)
    angles, candela = unfold_c(one_sided, np.cos(np.radians(one_sided - 20))[:, None] * np.ones((1, 2)), line=1)
    assert candela[0] == pytest.approx(np.cos(np.radians(160))), "0 deg mirrors 180 deg about the plane 90-270"
    with pytest.raises(PhotometryError, match="no known symmetry"):
        unfold_c(np.array([10.0, 80.0]), np.ones((2, 2)), line=9)
