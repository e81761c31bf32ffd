"""Illuminance against closed forms, a published problem, a plain loop, and the flux through a closed box."""

from __future__ import annotations

import math
import tracemalloc

import numpy as np
import pytest

from rigbook.light.beams import beam, lobe_exponent, lobe_lumens
from rigbook.light.illuminance import UP, Beam, Numbers, Vector, aim_at, illuminance_lx
from rigbook.light.photometry import Distribution
from rigbook.light.sources import Lobe, Shape, axes_of


def lamp(shape: Shape, *, at: Vector, facing: float = 0.0, tilt: float = -90.0, share: float = 1.0) -> Beam:
    return Beam(at=at, axes=axes_of(azimuth_deg=facing, tilt_deg=tilt), shape=shape, share=share)


def points(*each: Vector) -> Numbers:
    return np.array(each, float).T


def steady(candela: float) -> Distribution:
    """The same intensity everywhere."""
    grid = np.full((2, 2), candela)
    return Distribution(
        kind="C", horizontal_deg=np.array([0.0, 360.0]), vertical_deg=np.array([0.0, 180.0]), candela=grid
    )


def plain(point: Vector, normal: Vector, lamps: list[Beam]) -> float:
    """The law, one lamp after another, in plain Python."""
    total = 0.0
    for one in lamps:
        way = [q - p for q, p in zip(one.at, point, strict=True)]
        distance = math.sqrt(sum(w * w for w in way))
        slant = sum(n * w for n, w in zip(normal, way, strict=True)) / distance
        toward = [-w for w in way]
        ahead, right, up = (sum(a * b for a, b in zip(toward, axis, strict=True)) for axis in one.axes)
        if isinstance(one.shape, Lobe):
            around = math.atan2(right, up)
            wide, high = one.shape.horizontal_deg / 2, one.shape.vertical_deg / 2
            half = 1 / math.hypot(math.sin(around) / wide, math.cos(around) / high)
            m = math.log(0.5) / math.log(math.cos(math.radians(half)))
            candela = one.shape.peak_cd * max(ahead / distance, 0.0) ** m
        else:
            candela = float(one.shape.toward_cd(ahead=ahead, right=right, up=up))
        total += one.share * candela * max(slant, 0.0) / distance**2
    return total


# --- aim -------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("facing", range(0, 360, 25))
@pytest.mark.parametrize("tilt", (-89.0, -30.0, 0.0, 45.0))
def test_an_aim_is_found_again(facing: float, tilt: float) -> None:
    at = (1.0, 2.0, 3.0)
    ahead = axes_of(azimuth_deg=facing, tilt_deg=tilt)[0]
    target = tuple(a + 2.5 * b for a, b in zip(at, ahead, strict=True))
    assert aim_at(at=at, target=target) == pytest.approx((facing, tilt), abs=1e-9)


# --- closed forms ----------------------------------------------------------------------------------------------------


def test_a_textbook_problem() -> None:
    """V28: a lamp 0.6 m above a table gives 15 lx below; 0.8 m aside it gives 3.24 lx (published problem)."""
    found = illuminance_lx(points((0, 0, 0), (0.8, 0, 0)), [UP], [lamp(steady(5.4), at=(0, 0, 0.6))])[0]
    assert found == pytest.approx([15.0, 3.24], rel=1e-6)


def test_horizontal_and_vertical_plane_of_one_lamp() -> None:
    """V29: I cos^3 g / h^2 and I cos^2 g sin g / h^2."""
    toward: Vector = (-1.0, 0.0, 0.0)
    found = illuminance_lx(points((2.5, 0, 0)), [UP, toward], [lamp(steady(1000), at=(0, 0, 2.5))])
    assert found[:, 0] == pytest.approx([56.569, 56.569], rel=1e-5)


def test_a_cosine_lobe_on_the_ground() -> None:
    """V30: I = 2000 cos^2 g at h = 2 m."""
    width = 2 * math.degrees(math.acos(0.5**0.5))
    down = lamp(Lobe(peak_cd=2000, horizontal_deg=width, vertical_deg=width), at=(0, 0, 2))
    found = illuminance_lx(points(*((float(x), 0.0, 0.0) for x in range(4))), [UP], [down])[0]
    assert found == pytest.approx([500, 286.217, 88.388, 26.258], rel=1e-5)


def test_an_aimed_lobe() -> None:
    """V31: 5000 cos^20 from (0, 0, 2.5) aimed at (3, 0, 0)."""
    width = 2 * math.degrees(math.acos(0.5 ** (1 / 20)))
    facing, tilt = aim_at(at=(0, 0, 2.5), target=(3, 0, 0))
    aimed = lamp(Lobe(peak_cd=5000, horizontal_deg=width, vertical_deg=width), at=(0, 0, 2.5), facing=facing, tilt=tilt)
    found = illuminance_lx(points((3, 1, 0), (3, 0, 0)), [UP], [aimed])[0]
    assert found == pytest.approx([101.110, 209.897], rel=1e-5)


@pytest.mark.parametrize("m", (1.0, 2.0, 7.5, 40.0))
def test_lobes_over_a_whole_plane_follow_the_closed_form(m: float) -> None:
    """I0 cos^(m+3) g / h^2 everywhere under a lamp that looks down, to far better than 0.1 %."""
    width = 2 * math.degrees(math.acos(0.5 ** (1 / m)))
    x, y = (a.ravel() for a in np.meshgrid(np.linspace(-20, 20, 81), np.linspace(-20, 20, 81)))
    found = illuminance_lx(
        np.stack((x, y, 0 * x)), [UP], [lamp(Lobe(peak_cd=900, horizontal_deg=width, vertical_deg=width), at=(0, 0, 3))]
    )
    cosine = 3 / np.sqrt(x**2 + y**2 + 9)
    assert found[0] == pytest.approx(900 * cosine ** (m + 3) / 9, rel=1e-9, abs=1e-300)


def test_a_file_table_of_a_lobe_comes_within_a_thousandth_of_it() -> None:
    fine = beam(peak_cd=1000, horizontal_deg=90, vertical_deg=90, step_deg=1.0)
    x = np.linspace(0, 12, 500)
    under = np.stack((x, 0 * x, 0 * x))
    table = illuminance_lx(under, [UP], [lamp(fine, at=(0, 0, 2.4), facing=180, tilt=-30)])[0]
    lobe = illuminance_lx(
        under,
        [UP],
        [lamp(Lobe(peak_cd=1000, horizontal_deg=90, vertical_deg=90), at=(0, 0, 2.4), facing=180, tilt=-30)],
    )[0]
    assert table == pytest.approx(lobe, rel=1e-3)


# --- properties ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("horizontal", "vertical"), ((60.0, 60.0), (100.0, 40.0)))
def test_the_flux_through_a_closed_box_is_the_flux_of_the_lamp(horizontal: float, vertical: float) -> None:
    """All light of a lamp inside a box falls on its six faces: the sum of E dA is its lumens."""
    shape = Lobe(peak_cd=1000, horizontal_deg=horizontal, vertical_deg=vertical)
    inside = lamp(shape, at=(0.1, -0.2, 0.05), facing=37, tilt=-21)
    half, n = 1.0, 400
    across = (np.arange(n) + 0.5) / n * 2 * half - half
    a, b = (part.ravel() for part in np.meshgrid(across, across))
    total = 0.0
    for axis in range(3):
        for side in (-1.0, 1.0):
            at = np.empty((3, n * n))
            at[axis], at[(axis + 1) % 3], at[(axis + 2) % 3] = side * half, a, b
            normal = tuple(-side if i == axis else 0.0 for i in range(3))
            total += illuminance_lx(at, [normal], [inside])[0].sum() * (2 * half / n) ** 2
    lumens = beam(peak_cd=1000, horizontal_deg=horizontal, vertical_deg=vertical, step_deg=0.5).total_lm()
    assert total == pytest.approx(lumens, rel=1e-3)
    if horizontal == vertical:
        assert total == pytest.approx(lobe_lumens(peak_cd=1000, exponent=lobe_exponent(beam_deg=60)), rel=1e-3)


def test_many_lamps_and_planes_equal_a_plain_loop() -> None:
    rng = np.random.default_rng(20)
    kinds = {"round": 0, "elliptic": 0, "table": 0}
    lamps = []
    for number in range(24):
        shape: Shape
        kind = ("round", "elliptic", "table")[number % 3]
        kinds[kind] += 1
        wide, high = float(rng.uniform(10, 120)), float(rng.uniform(10, 120))
        if kind == "table":
            shape = beam(peak_cd=float(rng.uniform(100, 9000)), horizontal_deg=wide, vertical_deg=high, step_deg=5.0)
        else:
            shape = Lobe(
                peak_cd=float(rng.uniform(100, 9000)),
                horizontal_deg=wide,
                vertical_deg=wide if kind == "round" else high,
            )
        at = tuple(float(v) for v in rng.uniform((-1, -1, 0.5), (5, 1, 3)))
        lamps.append(
            lamp(
                shape,
                at=at,
                facing=float(rng.uniform(0, 360)),
                tilt=float(rng.uniform(-80, 20)),
                share=float(rng.uniform(0, 1)),
            )
        )
    at = rng.uniform((-10, -10, 0), (10, 10, 2), (60, 3)).T
    normals = rng.normal(size=(3, 60))
    normals /= np.linalg.norm(normals, axis=0)
    found = illuminance_lx(at, [UP, normals], lamps, chunk=17)
    for n in range(60):
        point = tuple(float(v) for v in at[:, n])
        assert found[0, n] == pytest.approx(plain(point, UP, lamps), rel=1e-9)
        assert found[1, n] == pytest.approx(plain(point, tuple(float(v) for v in normals[:, n]), lamps), rel=1e-9)
    assert min(kinds.values()) == 8


def test_a_lamp_that_is_seen_by_some_points_lights_those_alone() -> None:
    above = lamp(Lobe(peak_cd=100, horizontal_deg=90, vertical_deg=90), at=(0, 0, 2))
    at = points((0, 0, 0), (1, 0, 0), (2, 0, 0))
    whole = illuminance_lx(at, [UP], [above])[0]
    part = illuminance_lx(at, [UP], [above], seen=lambda index, chunk: chunk[0] > 0.5)[0]
    assert list(part) == [0.0, whole[1], whole[2]]


def test_dark_lamps_and_points_behind_get_nothing() -> None:
    ahead = lamp(Lobe(peak_cd=100, horizontal_deg=90, vertical_deg=90), at=(0, 0, 1), tilt=0)
    assert illuminance_lx(points((5, 0, 0)), [UP], [ahead])[0, 0] == 0.0
    off = lamp(Lobe(peak_cd=100, horizontal_deg=90, vertical_deg=90), at=(0, 0, 1), share=0.0)
    assert illuminance_lx(points((0, 0, 0)), [UP], [off])[0, 0] == 0.0
    assert illuminance_lx(points((0, 0, 2)), [UP], [lamp(steady(50), at=(0, 0, 1))])[0, 0] == 0.0  # from below


def test_memory_is_bounded_by_the_chunk_and_not_by_the_lamps() -> None:
    x = np.linspace(-30, 30, 300_000)
    at = np.stack((x, 0 * x, 0 * x))
    lamps = [lamp(Lobe(peak_cd=100, horizontal_deg=90, vertical_deg=60), at=(0.1 * i, 0, 2.4)) for i in range(24)]
    tracemalloc.start()
    illuminance_lx(at, [UP], lamps)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert peak < 300_000 * 8 + 4_000_000  # the answer, and some arrays of one chunk
