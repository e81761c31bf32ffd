"""Sources of a rig: aim, roll, glass, door poses, and what is dark; lobes against their closed forms."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest

from rigbook.assess.assessment import decide_rig
from rigbook.documents.loader import load_build
from rigbook.light.beams import beam
from rigbook.light.photometry import Distribution
from rigbook.light.sources import Lobe, Source, axes_of, candela, directions_of, sources_of

SHOP = Path(__file__).resolve().parents[2] / "src/rigbook/data/example_shop"


def source(shape: Lobe | Distribution, *, azimuth: float, tilt: float, roll: float = 0.0, share: float = 1.0) -> Source:
    return Source(
        device_id="a", colour="white", pose=0, when=None, at_m=(0, 0, 1), azimuth_deg=azimuth, tilt_deg=tilt,
        roll_deg=roll, all_round=False, level="upper", tags=frozenset(), passes_share=share, shape=shape, how="beam",
        light=None, size_m=(0.1, 0.1), file="", line=0,
    )  # fmt: skip


@pytest.mark.parametrize(
    ("azimuth", "tilt", "ahead"),
    [(0, 0, (-1, 0, 0)), (90, 0, (0, 1, 0)), (180, 0, (1, 0, 0)), (270, 0, (0, -1, 0)), (0, 90, (0, 0, 1))],
)
def test_the_aim_stands_on_the_vehicle_axes(azimuth: float, tilt: float, ahead: tuple[float, ...]) -> None:
    axes = axes_of(azimuth_deg=azimuth, tilt_deg=tilt)
    assert axes[0] == pytest.approx(ahead, abs=1e-12)
    assert axes @ axes.T == pytest.approx(np.eye(3), abs=1e-12)
    assert directions_of(azimuth, tilt) == pytest.approx(ahead, abs=1e-12)


def test_the_right_of_a_lamp_that_faces_the_rear_is_the_vehicles_left() -> None:
    assert axes_of(azimuth_deg=180, tilt_deg=0)[1] == pytest.approx((0, -1, 0), abs=1e-12)


def test_a_lamp_turned_on_its_side_swaps_its_beams() -> None:
    shape = Lobe(peak_cd=1000, horizontal_deg=60, vertical_deg=20)
    upright, lying = source(shape, azimuth=35, tilt=-4), source(shape, azimuth=35, tilt=-4, roll=90)
    axes = upright.axes
    for angle in (5.0, 20.0, 50.0):
        aside = math.cos(math.radians(angle)) * axes[0] + math.sin(math.radians(angle)) * axes[1]
        above = math.cos(math.radians(angle)) * axes[0] + math.sin(math.radians(angle)) * axes[2]
        assert candela(upright, aside) == pytest.approx(float(candela(lying, above)))
        assert candela(upright, aside) > candela(upright, above)


def test_half_the_peak_stands_at_both_half_widths_and_glass_takes_its_share() -> None:
    for widths in ((60, 20), (200, 30), (360, 20), (90, 90), (120, 200)):
        shape = Lobe(peak_cd=1000, horizontal_deg=widths[0], vertical_deg=widths[1])
        lamp = source(shape, azimuth=0, tilt=0, share=0.7)
        if widths[0] < 360:
            assert lamp.candela(directions_of(widths[0] / 2, 0)) == pytest.approx(350)
        if widths[1] < 180:
            assert lamp.candela(directions_of(0, widths[1] / 2)) == pytest.approx(350)
        assert lamp.candela(directions_of(0, 0)) == pytest.approx(700) == lamp.peak_cd


def test_the_lobe_is_the_beam_model_on_its_grid() -> None:
    lobe, grid = (
        Lobe(peak_cd=800, horizontal_deg=50, vertical_deg=24),
        beam(peak_cd=800, horizontal_deg=50, vertical_deg=24),
    )
    random = np.random.default_rng(7)
    directions = random.normal(size=(500, 3))
    ours, theirs = (
        s.toward_cd(ahead=directions[:, 0], right=directions[:, 1], up=directions[:, 2]) for s in (lobe, grid)
    )
    assert (ours > 1).sum() > 50
    assert ours == pytest.approx(theirs, abs=0.01 * 800)
    assert lobe.total_lm() == pytest.approx(grid.total_lm(), rel=2e-3)


def test_a_round_lobes_flux_is_that_of_the_textbook() -> None:
    assert Lobe(peak_cd=1000, horizontal_deg=120, vertical_deg=120).total_lm() == pytest.approx(math.pi * 1000)


@pytest.mark.parametrize("wrong", [{"peak_cd": -1.0}, {"horizontal_deg": 0.0}, {"vertical_deg": 361.0}])
def test_a_lobe_outside_its_range_is_refused(wrong: dict[str, float]) -> None:
    with pytest.raises(ValueError, match=r"below 0|at most 360"):
        Lobe(**{"peak_cd": 10.0, "horizontal_deg": 20.0, "vertical_deg": 20.0, **wrong})


def test_sources_of_the_complete_example() -> None:
    loaded = load_build(SHOP, Path("builds/flood-support-van.yaml"))
    rig, errors = decide_rig(loaded)
    assert rig is not None, errors
    sources, dark = sources_of(rig, loaded.light)
    known = {(s.device_id, s.colour) for s in sources} | {(d.device_id, d.colour) for d in dark}
    assert known == {(d.id, c) for d in rig.devices.values() for c in d.colours}
    doors = [s for s in sources if s.pose]
    assert doors and all(s.when for s in doors) and all(s.when is None for s in sources if not s.pose)
    assert {s.how for s in sources} >= {"file", "beam"}
    behind = next(s for s in sources if s.device_id == "windscreen")
    assert behind.passes_share < 1 and behind.peak_cd == behind.shape.peak_cd * behind.passes_share
    assert len(sources_of(rig, loaded.light, tags=["warning"])[0]) < len(sources)
    assert all(d.why for d in dark)
