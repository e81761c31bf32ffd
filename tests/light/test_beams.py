"""The beam model: half the peak at both angles, a round beam is the textbook lobe."""

from __future__ import annotations

import pytest

from rigbook.light.beams import beam, lobe_exponent, lobe_lumens, lobe_width_deg


@pytest.mark.parametrize(
    ("exponent", "half", "tenth"), [(1, 120, 168.52), (4, 65.53, 111.56), (10, 42.18, 74.82), (20, 30.00, 53.94)]
)
def test_lobes(exponent: float, half: float, tenth: float) -> None:
    """Beam and field angle of cos^m: textbook shapes."""
    assert lobe_width_deg(exponent=exponent, share=0.5) == pytest.approx(half, abs=0.01)
    assert lobe_width_deg(exponent=exponent, share=0.1) == pytest.approx(tenth, abs=0.01)
    assert lobe_exponent(beam_deg=lobe_width_deg(exponent=exponent, share=0.5)) == pytest.approx(exponent)


def test_half_the_peak_at_both_beam_angles() -> None:
    light = beam(peak_cd=4200, horizontal_deg=40, vertical_deg=10, step_deg=0.5)
    assert light.width_deg(share=0.5, plane="horizontal") == pytest.approx(40, abs=0.05)
    assert light.width_deg(share=0.5, plane="vertical") == pytest.approx(10, abs=0.05)
    assert light.peak_cd == 4200
    assert light.toward_cd(ahead=-1.0, right=0.0, up=0.0) == 0.0


def test_a_round_beam_has_the_lumens_of_its_lobe() -> None:
    exponent = lobe_exponent(beam_deg=60)
    light = beam(peak_cd=1000, horizontal_deg=60, vertical_deg=60)
    assert light.total_lm() == pytest.approx(lobe_lumens(peak_cd=1000, exponent=exponent), rel=1e-3)


@pytest.mark.parametrize("width", [0, -5, 180, 400])
def test_no_beam_beyond_half_the_sphere(width: float) -> None:
    with pytest.raises(ValueError, match="deg is no lobe"):
        beam(peak_cd=1, horizontal_deg=width, vertical_deg=20)
    with pytest.raises(ValueError, match="below 0"):
        beam(peak_cd=-1, horizontal_deg=20, vertical_deg=20)
