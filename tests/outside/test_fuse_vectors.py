"""Fuses against printed figures; each id names the vector and the source."""

from __future__ import annotations

import pytest

from rigbook.power import conductors, fuses
from rigbook.quantities.gauge import parse_gauge


@pytest.mark.parametrize(
    ("fuse_class", "rating_a", "amps", "fast_s", "slow_s"),
    [
        pytest.param("maxi", 40, 80, 2, 50, id="V27 maker's datasheet, maxi 40 A at 80 A"),
        pytest.param("blade-standard", 40, 80, 0.15, 5, id="V27 maker's datasheet, standard blade 40 A at 80 A"),
        pytest.param("maxi", 40, 140, 0.2, 7, id="V28 maker's datasheet, maxi 40 A at 140 A"),
        pytest.param("maxi-form-e", 60, 81, 60, 1800, id="V55 DIN 72581-3 form E, 60 A at 81 A"),
        pytest.param("maxi-form-e", 60, 120, 2, 60, id="V55 DIN 72581-3 form E, 60 A at 120 A"),
        pytest.param("maxi-form-e", 60, 210, 0.2, 7, id="V55 DIN 72581-3 form E, 60 A at 210 A"),
    ],
)
def test_gates(fuse_class: str, rating_a: float, amps: float, fast_s: float, slow_s: float) -> None:
    percent = 100 * amps / rating_a
    assert fuses.fastest_s(fuse_class=fuse_class, percent=percent) == pytest.approx(fast_s)
    assert fuses.slowest_s(fuse_class=fuse_class, percent=percent) == pytest.approx(slow_s)


@pytest.mark.parametrize(
    ("ambient_c", "amps"),
    [
        pytest.param(85, 30, id="V29 maker's rerating, maxi 40 A at 85 C"),
        pytest.param(75, 32, id="V29 maker's rerating, maxi 40 A at 75 C"),
    ],
)
def test_rerating(ambient_c: float, amps: float) -> None:
    assert 40 * fuses.rerating_share(ambient_c=ambient_c) == pytest.approx(amps, abs=0.1)


@pytest.mark.parametrize(
    ("below", "rating_a", "ratio"),
    [
        pytest.param("blade-small", 25, 13.6, id="V30 melting heat, maxi 40 A over mini 25 A"),
        pytest.param("blade-standard", 40, 2.58, id="V30 melting heat, maxi 40 A over standard 40 A"),
    ],
)
def test_melting_ratio(below: str, rating_a: float, ratio: float) -> None:
    upper, lower = (
        fuses.melting_a2s(fuse_class="maxi", rating_a=40),
        fuses.melting_a2s(fuse_class=below, rating_a=rating_a),
    )
    assert upper is not None and lower is not None
    assert upper[0] / lower[0] == pytest.approx(ratio, rel=0.01)


@pytest.mark.parametrize(
    ("pulses", "heat"),
    [
        pytest.param(100_000, 1870, id="V56 pulse chart, maxi 40 A for 100 000 pulses"),
        pytest.param(100, 4080, id="V56 pulse chart, maxi 40 A for 100 pulses"),
    ],
)
def test_pulses(pulses: int, heat: float) -> None:
    assert fuses.allowed_pulse_a2s(melting_a2s=8500, pulses=pulses) == pytest.approx(heat, rel=0.001)


@pytest.mark.parametrize(
    ("form", "rating_a"),
    [
        pytest.param("mini", 10, id="V57 colour charts, red mini"),
        pytest.param("blade", 10, id="V57 colour charts, red standard blade"),
        pytest.param("maxi", 50, id="V57 colour charts, red maxi"),
    ],
)
def test_red(form: str, rating_a: float) -> None:
    assert fuses.colour(form=form, rating_a=rating_a) == "red"


@pytest.mark.parametrize("rating_a", [pytest.param(30, id="V57 maker's specification, orange bolt-in")])
def test_orange_bolt_in(rating_a: float) -> None:
    assert fuses.colour(form="bolt-in", rating_a=rating_a) == "orange"


@pytest.mark.parametrize(
    "loop_m", [pytest.param(6, id="Worked example, 6 m loop of 18 AWG behind 6 mohm, 30 A blade and 60 A maxi")]
)
def test_far_end_short(loop_m: float) -> None:
    gauge = parse_gauge("18 AWG")
    loop = 0.006 + loop_m * conductors.conductor_resistance_ohm_per_m(gauge=gauge)
    short_a = fuses.fault_a(source_v=12.6, resistance_ohm=loop)
    assert short_a == pytest.approx(96, abs=0.5)
    blade = fuses.slowest_s(fuse_class="blade-standard", percent=100 * short_a / 30)
    assert blade == pytest.approx(0.7, abs=0.05)
    k = conductors.adiabatic_k(start_c=105, end_c=250)
    burns_s = conductors.adiabatic_time_s(area_mm2=conductors.conductor_area_mm2(gauge=gauge), k=k, current_a=short_a)
    assert burns_s == pytest.approx(1.3, abs=0.06)
    maxi = fuses.slowest_s(fuse_class="maxi", percent=100 * short_a / 60)
    assert blade is not None and maxi is not None and blade < burns_s < 60 < maxi
    heat = (k * conductors.conductor_area_mm2(gauge=gauge)) ** 2
    assert fuses.least_cleared_a(fuse_class="blade-standard", rating_a=30, heat_a2s=heat) < short_a
    assert fuses.least_cleared_a(fuse_class="maxi", rating_a=60, heat_a2s=heat) > short_a
