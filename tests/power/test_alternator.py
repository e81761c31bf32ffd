from __future__ import annotations

import pytest

from rigbook.power.alternator import output_a, rotor_rpm

CURVE = [(3000.0, 110.0), (1800.0, 52.0), (6000.0, 150.0)]


@pytest.mark.parametrize(
    ("rpm", "amps"),
    [(0, 0.0), (1799.9, 0.0), (1800, 52.0), (2400, 81.0), (3000, 110.0), (4500, 130.0), (6000, 150.0), (9000, 150.0)],
)
def test_straight_between_points_nothing_below_the_first(rpm: float, amps: float) -> None:
    assert output_a(curve=CURVE, rotor_rpm=rpm) == pytest.approx(amps)


def test_what_cannot_be_is_refused() -> None:
    with pytest.raises(ValueError, match="no point"):
        output_a(curve=[], rotor_rpm=1000)
    with pytest.raises(ValueError, match="two points"):
        output_a(curve=[(1000, 1), (1000, 2)], rotor_rpm=1000)
    with pytest.raises(ValueError, match="pulley ratio"):
        rotor_rpm(engine_rpm=700, pulley_ratio=0)
    assert rotor_rpm(engine_rpm=700, pulley_ratio=2.8) == pytest.approx(1960)
