from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import pytest
from scipy.integrate import RK45

from rigbook.power.runge_kutta import take_step


def slopes(values: Sequence[float]) -> list[float]:
    x, y = values
    return [y, -math.sin(x) - 0.1 * y]


def test_a_step_and_its_inside_are_those_of_an_open_library() -> None:
    start = [1.0, 0.2]
    step, end = take_step(slopes, start, slopes(start), 0.3)
    theirs = RK45(lambda t, y: np.array(slopes(y)), 0.0, np.array(start), 10.0, first_step=0.3, rtol=1e-2, atol=1e-2)
    theirs.step()
    assert theirs.t == pytest.approx(0.3)
    assert end == pytest.approx(theirs.y, abs=1e-14)
    inside = theirs.dense_output()
    for part in (0.1, 0.5, 0.77, 1.0):
        assert step.at(part) == pytest.approx(inside(0.3 * part), abs=1e-13)
    assert step.at(0.0) == start


def test_the_error_falls_with_the_fifth_power() -> None:
    start = [1.0, 0.2]
    errors = [take_step(slopes, start, slopes(start), h)[0].error for h in (0.2, 0.1)]
    assert 24 < errors[0] / errors[1] < 45
