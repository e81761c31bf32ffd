"""Statics by properties that hold for any masses: superposition, shifting, mirroring, moments about any point."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rigbook.body import statics
from rigbook.body.bolt_group import bolt_group
from rigbook.body.statics import PointLoad

metre = st.floats(-3, 6, allow_nan=False)
load = st.builds(PointLoad, st.floats(0.5, 900), metre, st.floats(-1, 1), st.floats(0.1, 2.5))
loads = st.lists(load, min_size=1, max_size=12)
wheelbase = st.floats(1.5, 5)


@given(loads, loads, wheelbase)
@settings(max_examples=150, deadline=None)
def test_axle_loads_add_up(one: list[PointLoad], other: list[PointLoad], base: float) -> None:
    together = statics.axle_loads_kg([*one, *other], wheelbase_m=base)
    apart = [statics.axle_loads_kg(some, wheelbase_m=base) for some in (one, other)]
    assert together == pytest.approx((apart[0][0] + apart[1][0], apart[0][1] + apart[1][1]), abs=1e-6)
    assert sum(together) == pytest.approx(statics.total_mass_kg([*one, *other]))


@given(loads, wheelbase, st.floats(-2, 2))
@settings(max_examples=150, deadline=None)
def test_moving_everything_back_moves_the_load_by_its_moment(some: list[PointLoad], base: float, by: float) -> None:
    moved = [PointLoad(one.mass_kg, one.x_m + by, one.y_m, one.z_m) for one in some]
    front, rear = statics.axle_loads_kg(some, wheelbase_m=base)
    after_front, after_rear = statics.axle_loads_kg(moved, wheelbase_m=base)
    shift = statics.total_mass_kg(some) * by / base
    assert after_rear - rear == pytest.approx(shift, abs=1e-6) and front - after_front == pytest.approx(shift, abs=1e-6)


@given(loads, st.floats(-4, 8))
@settings(max_examples=150, deadline=None)
def test_moments_vanish_about_the_centre_and_nowhere_else_by_more_than_the_arm(
    some: list[PointLoad], about: float
) -> None:
    x, y, z = statics.centre_of_mass_m(some)
    total = statics.total_mass_kg(some)
    assert math.fsum(one.mass_kg * (one.x_m - x) for one in some) == pytest.approx(0, abs=1e-6)
    assert math.fsum(one.mass_kg * (one.x_m - about) for one in some) == pytest.approx(total * (x - about), abs=1e-6)
    assert min(one.y_m for one in some) - 1e-9 <= y <= max(one.y_m for one in some) + 1e-9
    assert min(one.z_m for one in some) - 1e-9 <= z <= max(one.z_m for one in some) + 1e-9


@given(st.floats(800, 5000), st.floats(-200, 200), st.floats(1.2, 2.2))
@settings(max_examples=100, deadline=None)
def test_mirrored_moments_change_sides(mass: float, moment: float, track: float) -> None:
    left, right = statics.side_masses_kg(mass_kg=mass, moment_kg_m=moment, track_m=track)
    other_left, other_right = statics.side_masses_kg(mass_kg=mass, moment_kg_m=-moment, track_m=track)
    assert (left, right) == pytest.approx((other_right, other_left)) and left + right == pytest.approx(mass)


@given(st.floats(1.0, 2.2), st.floats(0.3, 1.6), st.floats(0, 0.2))
@settings(max_examples=100, deadline=None)
def test_higher_or_beside_tips_earlier(track: float, height: float, beside: float) -> None:
    middle = statics.tilt_angle_deg(half_track_m=track / 2, height_m=height, offset_m=0.0)
    assert statics.tilt_angle_deg(half_track_m=track / 2, height_m=height * 1.1, offset_m=0.0) < middle
    assert statics.tilt_angle_deg(half_track_m=track / 2, height_m=height, offset_m=beside) <= middle
    factor = statics.static_stability_factor(track_m=track, height_m=height)
    assert math.tan(math.radians(middle)) == pytest.approx(factor)


@given(
    st.lists(st.tuples(st.integers(-40, 40), st.integers(-40, 40)), min_size=3, max_size=9, unique=True),
    st.tuples(*[st.floats(-500, 500)] * 3), st.tuples(*[st.floats(-5, 5)] * 3),
)  # fmt: skip
@settings(max_examples=150, deadline=None)
def test_a_bolt_group_balances_what_pulls_on_it(
    spots: list[tuple[int, int]], force: tuple[float, float, float], at: tuple[float, float, float]
) -> None:
    bolts = [(x / 100, y / 100) for x, y in spots]
    try:
        found = bolt_group(bolts, force=force, at=at)
    except ValueError:
        return  # in one line: nothing takes the turning, and that is told
    assert math.fsum(b.axial for b in found) == pytest.approx(force[2], abs=1e-6)
    assert math.fsum(b.shear_x for b in found) == pytest.approx(force[0], abs=1e-6)
    assert math.fsum(b.shear_y for b in found) == pytest.approx(force[1], abs=1e-6)
    cx, cy = (sum(b[k] for b in bolts) / len(bolts) for k in (0, 1))
    x, y, z = at[0] - cx, at[1] - cy, at[2]
    wanted = (y * force[2] - z * force[1], z * force[0] - x * force[2], x * force[1] - y * force[0])
    pairs = list(zip(bolts, found, strict=True))
    scale = 1e-7 * (1 + sum(abs(v) for v in wanted))
    assert math.fsum(b.axial * (by - cy) for (_, by), b in pairs) == pytest.approx(wanted[0], abs=scale)
    assert math.fsum(-b.axial * (bx - cx) for (bx, _), b in pairs) == pytest.approx(wanted[1], abs=scale)
    turning = math.fsum(b.shear_y * (bx - cx) - b.shear_x * (by - cy) for (bx, by), b in pairs)
    assert turning == pytest.approx(wanted[2], abs=scale)


def test_a_line_on_the_slant_takes_no_turning_about_itself() -> None:
    slant = [(0.0, 0.0), (0.1, 0.1), (0.2, 0.2)]
    with pytest.raises(ValueError, match="no arm"):
        bolt_group(slant, force=(0, 0, 100), at=(0.3, 0.0, 0.0))
    found = bolt_group(slant, force=(0, 0, 100), at=(0.3, 0.3, 0.0))
    assert sum(b.axial for b in found) == pytest.approx(100)
    assert found[2].axial > found[1].axial > found[0].axial
