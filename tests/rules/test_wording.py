"""Values in sentences, in the shop's units."""

from __future__ import annotations

import pytest

from rigbook.rules.wording import shown


@pytest.mark.parametrize(
    ("value", "unit", "units", "expected"),
    [
        (0.0312, "share", "us", "3.12 %"),
        (45.359237, "kg", "us", "100 lb"),
        (45.359237, "kg", "metric", "45.36 kg"),
        (0.5, "A", "us", "0.5 A"),
        (0.0, "A", "us", "0 A"),
        (-3.25, "A", "metric", "-3.25 A"),
        (13.6, "V", "us", "13.6 V"),
        (0.254, "m", "us", "10 in"),
        (0.254, "m", "metric", "254 mm"),
        (0.823, "mm2", "us", "0.823 mm2"),
        (1.0, "count", "us", "1"),
    ],
)
def test_shown(value: float, unit: str, units: str, expected: str) -> None:
    assert shown(value, unit, units) == expected


def test_what_is_not_a_number_is_refused() -> None:
    with pytest.raises(ValueError, match="cannot show"):
        shown(float("nan"), "A", "us")
