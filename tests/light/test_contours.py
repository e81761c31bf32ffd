"""Contour lines against circles, against their own definition, and against a general plotting library."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest

from rigbook.light.contours import Line, contours
from rigbook.light.illuminance import Numbers


def grid(count: int = 81) -> tuple[Numbers, Numbers, Numbers, Numbers]:
    x, y = np.linspace(-4, 4, count), np.linspace(-3, 3, count - 20)
    across, up = np.meshgrid(x, y)
    return x, y, across, up


def area(line: Line) -> float:
    return abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in itertools.pairwise(line))) / 2


def test_a_round_hill_gives_circles() -> None:
    x, y, across, up = grid(201)
    found = contours(x, y, 10 - np.hypot(across, up), [8.0, 9.0])
    for contour, radius in zip(found, (2.0, 1.0), strict=True):
        (line,) = contour.lines
        assert line[0] == line[-1]
        assert [math.hypot(*point) for point in line] == pytest.approx([radius] * len(line), rel=1e-3)
        assert area(line) == pytest.approx(math.pi * radius**2, rel=2e-3)


def test_a_slope_gives_straight_lines_from_rim_to_rim() -> None:
    x, y, across, _ = grid()
    (contour,) = contours(x, y, across, [1.234])
    (line,) = contour.lines
    assert {round(point[0], 9) for point in line} == {1.234}
    assert sorted((line[0][1], line[-1][1])) == [-3.0, 3.0]


def test_two_hills_and_their_saddle() -> None:
    x, y, across, up = grid(161)
    hills = np.exp(-((across - 1.5) ** 2) - up**2) + np.exp(-((across + 1.5) ** 2) - up**2)
    saddle = 2 * math.exp(-2.25)
    above, below = contours(x, y, hills, [saddle + 0.05, saddle - 0.05])
    assert [len(above.lines), len(below.lines)] == [2, 1]


def test_a_checkered_cell_is_cut_as_its_middle_says() -> None:
    axis = np.array([0.0, 1.0])
    for values, cuts in ((np.array([[1.0, 0.0], [0.0, 1.0]]), 0.4), (np.array([[1.0, 0.0], [0.0, 1.0]]), 0.6)):
        (contour,) = contours(axis, axis, values, [cuts])
        assert len(contour.lines) == 2 and all(len(line) == 2 for line in contour.lines)
        middle = sum(a[0] + a[1] for line in contour.lines for a in line) / 4
        assert middle == pytest.approx(1.0)
        joined_high = any(abs(line[0][0] + line[0][1] - line[1][0] - line[1][1]) > 0.5 for line in contour.lines)
        assert joined_high == (cuts < 0.5)  # the high corners hang together below the mean


def test_every_point_of_a_line_lies_on_a_grid_line_at_the_level() -> None:
    rng = np.random.default_rng(3)
    x, y = np.arange(30.0), np.arange(20.0)
    values = rng.uniform(0, 10, (20, 30))
    for contour in contours(x, y, values, [2.0, 5.0, 8.0]):
        count = 0
        for line in contour.lines:
            assert len(line) >= 2
            for u, v in line:
                count += 1
                c, r = min(int(u), 28), min(int(v), 18)
                assert u == pytest.approx(round(u), abs=1e-12) or v == pytest.approx(round(v), abs=1e-12)
                low = values[r, c] * (1 - (u - c)) + values[r, c + 1] * (u - c)
                high = values[r + 1, c] * (1 - (u - c)) + values[r + 1, c + 1] * (u - c)
                assert low * (1 - (v - r)) + high * (v - r) == pytest.approx(contour.level, abs=1e-9)
            inner = line[0] == line[-1] or all(u in (0.0, 29.0) or v in (0.0, 19.0) for u, v in (line[0], line[-1]))
            assert inner  # closed, or from rim to rim
        assert count > 100


def test_equal_grids_give_equal_lines_and_flat_ones_none() -> None:
    x, y, across, up = grid()
    hill = 5 - across**2 - up**2
    assert contours(x, y, hill, [1.0, 3.0]) == contours(x, y, hill.copy(), [1.0, 3.0])
    assert contours(x, y, 0 * hill, [1.0])[0].lines == ()
    assert contours(x, y, 0 * hill + 2, [1.0, 2.0]) == contours(x, y, 0 * hill + 3, [1.0, 2.0])


@pytest.mark.parametrize(
    ("x", "y", "shape"), (([0, 1, 2], [0, 1], (3, 2)), ([0, 1], [0], (1, 2)), ([0, 2, 1], [0, 1], (2, 3)))
)
def test_a_grid_that_is_none_is_refused(x: list[float], y: list[float], shape: tuple[int, int]) -> None:
    with pytest.raises(ValueError, match="grid"):
        contours(np.array(x, float), np.array(y, float), np.zeros(shape), [1.0])


@pytest.mark.outside
def test_length_and_number_of_lines_agree_with_a_general_plotting_library() -> None:
    import contourpy

    rng = np.random.default_rng(11)
    across, up = np.meshgrid(np.arange(40.0), np.arange(40.0))
    smooth = sum(
        float(rng.uniform(1, 5)) * np.exp(-((across - rng.uniform(0, 40)) ** 2 + (up - rng.uniform(0, 40)) ** 2) / 40)
        for _ in range(12)
    )
    x = y = np.arange(40.0)
    generator = contourpy.contour_generator(x, y, smooth, name="serial")
    compared = 0
    for contour in contours(x, y, smooth, [0.3, 0.7, 1.5, 2.5, 3.5]):
        theirs = generator.lines(contour.level)
        assert len(theirs) == len(contour.lines)
        ours = sum(math.dist(a, b) for line in contour.lines for a, b in itertools.pairwise(line))
        assert ours == pytest.approx(sum(float(np.hypot(*np.diff(t, axis=0).T).sum()) for t in theirs), rel=1e-9)
        compared += len(theirs)
    assert compared >= 8
