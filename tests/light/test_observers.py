"""Eyes around the vehicle: hand cases, the inverse square far away, glare, and peaks against a walk over time."""

from __future__ import annotations

import math
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rigbook.assess.assessment import decide_rig
from rigbook.documents.loader import load_build
from rigbook.light.observers import (
    DISTANCES_M,
    DRIVERS_M,
    ZONES,
    Observers,
    disability_glare_cd_m2,
    drivers_of,
    eyes_of,
    most_together,
)
from rigbook.light.outline import outline_of
from rigbook.light.sources import sources_of

from .test_flashes import pattern

SHOP = Path(__file__).resolve().parents[2] / "src/rigbook/data/example_shop"


@cache
def observers(build: str) -> Observers:
    loaded = load_build(SHOP, Path(f"builds/{build}.yaml"))
    rig, errors = decide_rig(loaded)
    assert rig is not None, errors
    return Observers(rig, sources_of(rig, loaded.light)[0], outline_of(rig.vehicle))


def test_where_eyes_stand() -> None:
    vehicle = observers("flood-support-van").rig.vehicle
    eyes = eyes_of(vehicle)
    assert eyes.shape == (4, 3, 3)
    assert eyes[ZONES.index("front"), 0] == pytest.approx((-1.02 - 3, 0, 1.5))
    assert eyes[ZONES.index("rear"), 2] == pytest.approx((5.98 - 1.02 + 150, 0, 1.5))
    assert eyes[ZONES.index("left"), 1] == pytest.approx((5.98 / 2 - 1.02, -2.05 / 2 - 30, 1.5))
    assert drivers_of(vehicle)[0] == pytest.approx((-1.02 - 10, -3.5, 1.2))


def test_what_a_lamp_gives_an_eye_by_hand() -> None:
    them = observers("flood-support-van")
    looked = 0
    for number, source in enumerate(them.sources):
        start = them.starts[number]
        for eye in range(len(ZONES) * len(DISTANCES_M)):
            given_lx = float(them.eyes.given_lx[number, eye])
            if given_lx <= 0 or start is None:
                continue
            way = them.eyes.at_m[eye] - start
            distance = math.dist(them.eyes.at_m[eye], start)
            cosine = -float(way @ them.eyes.looks[eye]) / distance
            assert given_lx == pytest.approx(float(source.candela(way)) * cosine / distance**2)
            looked += 1
    assert looked > 200


def test_far_away_it_falls_with_the_square() -> None:
    """About so: near by, beams and roof hide some of it."""
    them, looked = observers("flood-support-van"), 0
    for saved in them.rig.states:
        figures = them.figures(saved)
        for zone in figures.zones:
            if zone.mean_30_lx > 2:
                assert 12 < zone.mean_30_lx / zone.mean_150_lx < 38
                looked += 1
            assert zone.peak_3_lx >= zone.mean_3_lx - 1e-9 and zone.peak_150_lx >= zone.mean_150_lx - 1e-9
            assert zone.pulses_per_min >= zone.flashes_per_min - 1e-9
    assert looked > 8


def test_glare_of_steady_light_alone() -> None:
    them = observers("flood-support-van")
    veils = {saved.id: them.figures(saved) for saved in them.rig.states}
    assert any(v.veil_cd_m2 > 1 for v in veils.values()) and any(v.veil_cd_m2 == 0 for v in veils.values())
    for saved in them.rig.states:
        burning = them.burning(saved)
        most, place = them.glare(burning)
        by_hand = []
        for driver in range(len(DRIVERS_M)):
            total = 0.0
            for b in burning:
                lux, off = (
                    float(them.drivers.given_lx[b.source, driver]) * b.mean,
                    float(them.drivers.off_deg[b.source, driver]),
                )
                if b.steady and lux > 0 and off <= 30:
                    total += 10 * lux / max(1.0, off) ** 2 * 2
            by_hand.append(total)
        assert most == pytest.approx(max(by_hand))
        assert (place is None) == (max(by_hand) == 0)


@pytest.mark.parametrize("angle", [0.5, 31.0])
def test_the_glare_formula_ends_where_it_ends(angle: float) -> None:
    with pytest.raises(ValueError, match="1 to 30 deg"):
        disability_glare_cd_m2(illuminance_lx=1, angle_deg=angle, age_years=70)


@settings(max_examples=100, deadline=None)
@given(
    st.lists(st.tuples(st.lists(st.integers(1, 9), min_size=1, max_size=2), st.floats(0.1, 5)), min_size=1, max_size=3)
)
def test_the_brightest_instant_against_every_millisecond(rows: list[tuple[list[int], float]]) -> None:
    lamps = {pattern(*(t for time in times for t in (time, time + 1))): lux for times, lux in rows}
    common = math.lcm(*(t.period_ms for t in lamps))
    sums = np.zeros(common)
    for timeline, lux in lamps.items():
        own = np.zeros(timeline.period_ms)
        for span in timeline.spans:
            own[span.start_ms : span.end_ms] = span.intensity_from
        sums += lux * np.tile(own, common // timeline.period_ms)
    found = most_together(tuple(lamps), np.array([[lux, 0.0] for lux in lamps.values()]))
    assert found == pytest.approx([float(sums.max()), 0.0])
