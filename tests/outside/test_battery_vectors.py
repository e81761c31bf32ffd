"""Batteries against printed tables and published model runs; each id names the vector and the source."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from rigbook.power import battery
from rigbook.power.battery import Kinetic
from rigbook.quantities.tables import read_table

TEST_BATTERY = [(20.0, 100.0), (10.0, 93.0), (1.0, 60.0)]


def rates(name: str) -> list[tuple[float, float]]:
    return [(float(r["hours"]), float(r["ah"])) for r in read_table("battery-rates").records() if r["battery"] == name]


def agm_k(one: float, two: float) -> float:
    amps = {round(h, 4): a for h, a in battery.agm_55_points(end_v_cell="1.80")}
    a, b = amps[round(one, 4)], amps[round(two, 4)]
    return battery.peukert_exponent(low=(one, a * one), high=(two, b * two))


def agm_ah(end: str, hours: float) -> float:
    return next(h * a for h, a in battery.agm_55_points(end_v_cell=end) if abs(h - hours) < 1e-4)


def agm_time(amps: float) -> float:
    return battery.table_time_h(points=battery.agm_55_points(end_v_cell="1.80"), current_a=amps)


VECTORS: list[tuple[str, Callable[[], float], float, float, float]] = [
    ("V32 Peukert, C20 100 Ah k 1.2 at 25 A, hours", lambda: battery.peukert_h(capacity_ah=100, rated_h=20, current_a=25, exponent=1.2), 2.90, 5e-3, 0),
    ("V32 the same, Ah", lambda: 25 * battery.peukert_h(capacity_ah=100, rated_h=20, current_a=25, exponent=1.2), 72.5, 5e-3, 0),
    ("V33 Peukert at its own rate, hours", lambda: battery.peukert_h(capacity_ah=100, rated_h=20, current_a=5, exponent=1.2), 20, 0, 1e-9),
    ("V34 exponent of a 40 Ah product sheet, 20 to 10 h", lambda: battery.peukert_exponent(low=(20, 40), high=(10, 37.2)), 1.117, 0, 2e-3),
    ("V34 exponent of a 40 Ah product sheet, 5 to 1 h", lambda: battery.peukert_exponent(low=(5, 34), high=(1, 24)), 1.276, 0, 2e-3),
    ("V35 fit of an open battery library's test, c", lambda: battery.fitted(rates=TEST_BATTERY).c, 0.4751, 0, 1e-3),
    ("V35 fit of an open battery library's test, k", lambda: battery.fitted(rates=TEST_BATTERY).k_per_h, 0.6770, 0, 1e-3),
    ("V35 fit of an open battery library's test, full", lambda: battery.fitted(rates=TEST_BATTERY).full_ah, 108.16, 0, 5e-3),
    ("Fit of the library's AGM default, c", lambda: battery.fitted(rates=rates("agm-model-100")).c, 0.44741, 0, 1e-4),
    ("Fit of the library's AGM default, full", lambda: battery.fitted(rates=rates("agm-model-100")).full_ah, 107.877, 0, 1e-2),
    ("V38 product sheet, 40 Ah at -10 C", lambda: 40 * battery.capacity_share(battery="vrla", temperature_c=-10), 29.6, 1e-2, 0),
    ("V39 manual of a lithium battery, 100 Ah at 0 C", lambda: 100 * battery.capacity_share(battery="lithium-iron-phosphate", temperature_c=0), 80, 1e-2, 0),
    ("V39 manual of a lithium battery, 100 Ah at -20 C", lambda: 100 * battery.capacity_share(battery="lithium-iron-phosphate", temperature_c=-20), 50, 1e-2, 0),
    ("V40 maker's bulletin, 100 min reserve, Ah", lambda: battery.reserve_ah(reserve_min=100), 60, 1e-2, 0),
    ("V40 maker's bulletin, 50 mA, days", lambda: battery.days_to_no_start(reserve_min=100, drain_a=0.05), 20, 1e-2, 0),
    ("V45 lead-acid float a cell at 35 C", lambda: battery.compensated_v(voltage_v=2.30, at_c=25, temperature_c=35, volts_per_k=-0.003), 2.27, 0, 1e-3),
    ("V45 lead-acid float a cell at 15 C", lambda: battery.compensated_v(voltage_v=2.30, at_c=25, temperature_c=15, volts_per_k=-0.003), 2.33, 0, 1e-3),
    ("V46 load dump, 14 V 120 A at 6000 rpm", lambda: battery.load_dump_ohm(nominal_v=14, rated_a=120, rotor_rpm=6000), 0.729, 5e-3, 0),
    ("V49 open cell model, four cells at 50 %", lambda: battery.lithium_rest_v(charge=0.5), 13.112, 0, 5e-3),
    ("V49 open cell model, four cells at 90 %", lambda: battery.lithium_rest_v(charge=0.9), 13.287, 0, 5e-3),
    ("V58 AGM product sheet, exponent 20 to 10 h", lambda: agm_k(20, 10), 1.056, 0, 2e-3),
    ("V58 AGM product sheet, exponent 10 to 5 h", lambda: agm_k(10, 5), 1.366, 0, 2e-3),
    ("V58 AGM product sheet, exponent 5 to 1 h", lambda: agm_k(5, 1), 1.418, 0, 2e-3),
    ("V58 AGM product sheet, exponent 1 h to 5 min", lambda: agm_k(1, 0.08333333), 1.691, 0, 2e-3),
    ("V59 AGM product sheet, hours at 20 A", lambda: agm_time(20), 1.613, 5e-3, 0),
    ("V59 AGM product sheet, hours at 50 A", lambda: agm_time(50), 0.447, 5e-3, 0),
    ("V60 the same by one exponent 1.15", lambda: battery.peukert_h(capacity_ah=55.4, rated_h=20, current_a=50, exponent=1.15), 0.718, 5e-3, 0),
    ("V61 AGM product sheet, Ah in 5 min to 1.85 V", lambda: agm_ah("1.85", 0.08333333), 7.45, 5e-3, 0),
    ("V61 AGM product sheet, Ah in 5 min to 1.60 V", lambda: agm_ah("1.60", 0.08333333), 15.11, 5e-3, 0),
    ("V61 AGM product sheet, Ah in 20 h to 1.80 V", lambda: agm_ah("1.80", 20), 55.4, 5e-3, 0),
    ("V62 AGM product sheet, 10 h at 0 C", lambda: 53.4 * battery.capacity_share(battery="agm", temperature_c=0), 45.9, 1e-2, 0),
    ("V62 AGM product sheet, 10 h at -15 C", lambda: 53.4 * battery.capacity_share(battery="agm", temperature_c=-15), 34.7, 1e-2, 0),
    ("V63 filament at 90 %, light", lambda: battery.filament_shares(voltage_share=0.9)["light"][0], 0.69, 1e-2, 0),
    ("V63 filament at 90 %, life least", lambda: battery.filament_shares(voltage_share=0.9)["life"][0], 3.54, 1e-2, 0),
    ("V63 filament at 90 %, life most", lambda: battery.filament_shares(voltage_share=0.9)["life"][1], 5.40, 1e-2, 0),
    ("V63 filament at 90 %, current", lambda: battery.filament_shares(voltage_share=0.9)["current"][0], 0.944, 1e-2, 0),
    ("V65 AGM float at 40 C", lambda: battery.compensated_v(voltage_v=13.5, at_c=20, temperature_c=40, volts_per_k=-0.020), 13.1, 0, 1e-2),
    ("V65 AGM cycle at 0 C", lambda: battery.compensated_v(voltage_v=14.5, at_c=20, temperature_c=0, volts_per_k=-0.030), 15.1, 0, 1e-2),
]  # fmt: skip


@pytest.mark.parametrize(
    ("computed", "expected", "relative", "absolute"), [pytest.param(*row[1:], id=row[0]) for row in VECTORS]
)
def test_figure(computed: Callable[[], float], expected: float, relative: float, absolute: float) -> None:
    assert computed() == pytest.approx(expected, rel=relative or 1e-12, abs=absolute)


@pytest.mark.parametrize(
    ("asked", "used", "whole"),
    [
        pytest.param(
            (1.5, 3.0, 490.0, 490.0), (1.5, 3.0, 26.65, 6.25), (52.58, 49.58, 22.927, 16.67),
            id="V36 an open battery library's unit test, hour by hour",
        )
    ],
)  # fmt: skip
def test_hour_by_hour(asked: tuple[float, ...], used: tuple[float, ...], whole: tuple[float, ...]) -> None:
    model = battery.fitted(rates=TEST_BATTERY)
    charge = battery.full(model, share=0.5)
    for amps, expected, left in zip(asked, used, whole, strict=True):
        taken = min(amps, battery.most_current_a(model, charge, hours=1.0))
        charge = battery.after(model, charge, current_a=taken, hours=1.0)
        assert taken == pytest.approx(expected, abs=0.01)
        assert charge.whole_ah == pytest.approx(left, abs=0.01)


def lifetime_min(steps: list[tuple[float, float]]) -> float:
    """Minutes until empty under repeated (mA, minutes), c 0.166, k' 0.122 a minute, 5.5 A min."""
    model = Kinetic(0.166, 0.122 * 60, 5.5 / 60)
    charge, minutes = battery.full(model), 0.0
    for _ in range(1000):
        for milliamps, duration in steps:
            gone = battery.empty_after_h(model, charge, current_a=milliamps / 1000, within_h=duration / 60)
            if gone is not None:
                return minutes + 60 * gone
            charge = battery.after(model, charge, current_a=milliamps / 1000, hours=duration / 60)
            minutes += duration
    raise AssertionError("never empty")


@pytest.mark.parametrize(
    ("steps", "minutes"),
    [
        pytest.param([(250, 60)], 4.53, id="V37 published lifetimes, 250 mA"),
        pytest.param([(500, 60)], 2.02, id="V37 published lifetimes, 500 mA"),
        pytest.param([(500, 1), (250, 1)], 2.58, id="V37 published lifetimes, 500 and 250 mA by the minute"),
        pytest.param([(250, 1), (0, 1)], 10.80, id="V37 published lifetimes, 250 mA on and off by the minute"),
        pytest.param([(500, 1), (0, 1)], 4.30, id="V37 published lifetimes, 500 mA on and off by the minute"),
        pytest.param([(250, 1), (0, 2)], 21.86, id="V37 published lifetimes, 250 mA one minute on, two off"),
        pytest.param([(500, 1), (0, 2)], 6.53, id="V37 published lifetimes, 500 mA one minute on, two off"),
    ],
)
def test_lifetimes(steps: list[tuple[float, float]], minutes: float) -> None:
    assert lifetime_min(steps) == pytest.approx(minutes, abs=0.01)


@pytest.mark.parametrize(
    ("after_s", "passes"),
    [
        pytest.param(139, True, id="V43 municipal specification, alarm after 139 s"),
        pytest.param(141, False, id="V43 municipal specification, alarm after 141 s"),
    ],
)
def test_alarm(after_s: float, passes: bool) -> None:
    assert battery.alarm_in_time(after_s=after_s) is passes


@pytest.mark.parametrize(
    ("used", "passes"),
    [
        pytest.param(0.45, True, id="V64 municipal specification, 45 % of the reserve"),
        pytest.param(0.55, False, id="V64 municipal specification, 55 % of the reserve"),
    ],
)
def test_reserve(used: float, passes: bool) -> None:
    assert battery.reserve_passes(used_share=used, restarts=True) is passes
    assert not battery.reserve_passes(used_share=used, restarts=False)
