"""Conductors: limits, between printed rows, and what the tables cannot answer. Printed rows: tests/outside."""

from __future__ import annotations

import math

import pytest

from rigbook.power import conductors
from rigbook.quantities.gauge import Gauge, parse_gauge
from rigbook.quantities.tables import read_table


@pytest.mark.parametrize("text", ["18 AWG", "10 AWG", "2/0 AWG", "2.5 mm2"])
def test_areas_agree_with_the_gauge(text: str) -> None:
    gauge = parse_gauge(text)
    assert conductors.conductor_area_mm2(gauge=gauge) == pytest.approx(gauge.area_mm2, rel=1e-12)


def test_a_metric_size_has_no_awg_diameter() -> None:
    with pytest.raises(ValueError, match="no AWG diameter"):
        conductors.awg_diameter_mm(gauge=Gauge("mm2", 2.5))


def test_three_gauges_halve_the_area_about_and_39_steps_are_92_fold() -> None:
    ratio = conductors.awg_diameter_mm(gauge=Gauge("AWG", -3)) / conductors.awg_diameter_mm(gauge=Gauge("AWG", 36))
    assert ratio == pytest.approx(92.0)
    three = [conductors.conductor_area_mm2(gauge=Gauge("AWG", n)) for n in (10, 13)]
    assert three[0] / three[1] == pytest.approx(2.0, rel=0.01)


def test_resistance_prefers_iso_6722_and_falls_back_to_iec_60228() -> None:
    of = conductors.conductor_resistance_ohm_per_m
    assert of(gauge=Gauge("mm2", 1.5)) == pytest.approx(0.0127)
    assert conductors.resistance_source(gauge=Gauge("mm2", 1.5)) == ("iso-6722", "published")
    assert conductors.resistance_source(gauge=Gauge("mm2", 25)) == ("iso-6722", "memory")
    assert conductors.resistance_source(gauge=Gauge("AWG", 10)) == ("copper-iacs", "memory")
    with pytest.raises(ValueError, match="no printed resistance"):
        of(gauge=Gauge("mm2", 7))
    with pytest.raises(ValueError, match="no printed resistance"):
        conductors.resistance_source(gauge=Gauge("mm2", 7))


def test_resistance_is_linear_in_temperature() -> None:
    gauge = Gauge("AWG", 14)
    values = [conductors.conductor_resistance_ohm_per_m(gauge=gauge, temperature_c=t) for t in (20, 60, 100)]
    assert values[2] - values[1] == pytest.approx(values[1] - values[0])
    with pytest.raises(ValueError, match="outside"):
        conductors.temperature_factor(temperature_c=900)


def test_printed_maxima_are_above_the_ideal_of_the_nominal_area() -> None:
    looked = 0
    for name, column, per in (
        ("iso-6722-resistance", "mohm_per_m_max", 1e-3), ("iec-60228-class-5", "ohm_per_km_max", 1e-3),
    ):  # fmt: skip
        for record in read_table(name).records():
            ideal = conductors.copper_constant(name="resistivity_20c") / float(record["mm2"])
            assert 1.0 <= float(record[column]) * per / ideal < 1.17
            looked += 1
    assert looked == 34


def test_an_insulation_class_between_two_printed_ones_takes_the_lower() -> None:
    at = [conductors.ampacity_a(gauge=Gauge("AWG", 10), insulation_c=t) for t in (104.9, 105.0, 124.0)]
    assert at == [55.0, 60.0, 60.0]
    assert conductors.ampacity_a(gauge=Gauge("AWG", 10), insulation_c=59) is None


def test_a_size_between_two_rows_takes_the_thinner() -> None:
    assert conductors.ampacity_a(gauge=Gauge("mm2", 2.5), insulation_c=105) == 35.0  # as 14 AWG, 2.08 mm2
    assert conductors.ampacity_a(gauge=Gauge("AWG", 5), insulation_c=105) == 120.0  # as 6 AWG
    assert conductors.ampacity_a(gauge=Gauge("AWG", 20), insulation_c=105) is None
    assert conductors.practice_max_fuse_a(gauge=Gauge("AWG", 20)) == 7.5
    assert conductors.practice_max_fuse_a(gauge=Gauge("AWG", 22)) is None
    assert conductors.practice_max_fuse_a(gauge=Gauge("AWG", 1)) == 150.0  # as 2 AWG


def test_tables_grow_with_copper_and_class() -> None:
    table = read_table(conductors.AMPACITY_TABLE)
    rows = [[float(cell) for cell in cells[1:]] for cells in table.rows]
    assert all(row == sorted(row) for row in rows)
    assert all(list(column) == sorted(column) for column in zip(*rows, strict=True))


def test_bundles_and_ambients() -> None:
    factors = [conductors.bundle_factor(conductors=n) for n in (1, 2, 3, 4, 6, 7, 24, 25, 500)]
    assert factors == [1.0, 1.0, 0.7, 0.6, 0.6, 0.5, 0.5, 0.4, 0.4]
    with pytest.raises(ValueError, match="at least one"):
        conductors.bundle_factor(conductors=0)
    assert conductors.ambient_factor(insulation_c=105, ambient_c=30) == 1.0
    assert conductors.ambient_factor(insulation_c=105, ambient_c=10) == 1.0
    assert conductors.ambient_factor(insulation_c=105, ambient_c=105) == 0.0
    assert conductors.ambient_factor(insulation_c=105, ambient_c=200) == 0.0
    with pytest.raises(ValueError, match="not above 30"):
        conductors.ambient_factor(insulation_c=30, ambient_c=20)
    assert conductors.engine_space_factor(insulation_c=50) is None


def test_corrected_ampacity_is_the_product() -> None:
    gauge = Gauge("AWG", 12)
    found = conductors.corrected_ampacity_a(gauge=gauge, insulation_c=105, ambient_c=60, conductors=5)
    assert found == pytest.approx(45 * math.sqrt(45 / 75) * 0.6)
    thin = Gauge("AWG", 22)
    assert conductors.corrected_ampacity_a(gauge=thin, insulation_c=105, ambient_c=60) is None
    assert conductors.ampacity_mark() == "published"
    assert conductors.ampacity_mark(conductors=5) == "published"
    with pytest.raises(ValueError, match="between 0 and 1"):
        conductors.derated_a(free_air_a=10, factors=(1.2,))


def test_drop_forms_agree() -> None:
    """The circular-mil form and Ohm's law differ by the resistivity they were rounded to, at about 29 C."""
    gauge = Gauge("AWG", 12)
    per_m = conductors.conductor_resistance_ohm_per_m(gauge=gauge, temperature_c=29.3)
    lost = conductors.voltage_drop_v(current_a=15, length_m=20 * 0.3048, resistance_ohm_per_m=per_m)
    needed = conductors.circular_mils_for_drop(current_a=15, round_trip_ft=20, drop_v=lost)
    assert needed == pytest.approx(conductors.circular_mils(gauge=gauge), rel=2e-3)
    with pytest.raises(ValueError, match="above 0 V"):
        conductors.circular_mils_for_drop(current_a=1, round_trip_ft=1, drop_v=0)


def test_sizes_beyond_the_table() -> None:
    assert conductors.smallest_awg(at_least_cmil=300_000) is None
    assert conductors.smallest_awg_for_current(current_a=1000, insulation_c=105) is None
    with pytest.raises(ValueError, match="no AWG size"):
        conductors.awg_of(label="2/3")


def test_conductor_temperature() -> None:
    full = conductors.conductor_temperature_c(ambient_c=60, rated_c=105, current_a=20, ampacity_a=20)
    assert full == 105
    assert conductors.conductor_temperature_c(ambient_c=60, rated_c=105, current_a=0, ampacity_a=20) == 60
    for form in (conductors.conductor_temperature_c, conductors.conductor_temperature_square_root_c):
        with pytest.raises(ValueError, match="above 0 A"):
            form(ambient_c=60, rated_c=105, current_a=1, ampacity_a=0)


@pytest.mark.parametrize(
    ("ambient_c", "current_a", "ampacity_a", "expected"),
    [(60, 10, 20, 71.25), (60, 40, 20, 105), (60, 10, None, 105), (120, 10, 0.0, 120), (60, 0, 20, 60)],
)
def test_the_temperature_a_drop_is_stated_at(
    ambient_c: float, current_a: float, ampacity_a: float | None, expected: float
) -> None:
    found = conductors.loaded_conductor_c(
        ambient_c=ambient_c, rated_c=105, current_a=current_a, ampacity_a=ampacity_a
    )  # fmt: skip
    assert found == pytest.approx(expected)


def test_adiabatic_limits() -> None:
    assert conductors.adiabatic_k(start_c=90, end_c=90) == 0
    k = conductors.adiabatic_k(start_c=90, end_c=250)
    assert conductors.adiabatic_time_s(area_mm2=2, k=k, current_a=100) == pytest.approx(
        4 * conductors.adiabatic_time_s(area_mm2=2, k=k, current_a=200)
    )
    with pytest.raises(ValueError, match="below the start"):
        conductors.adiabatic_k(start_c=100, end_c=90)
    with pytest.raises(ValueError, match="copper or aluminium"):
        conductors.adiabatic_k(start_c=90, end_c=250, metal="tin")


@pytest.mark.parametrize(
    ("count", "diameters"), [(1, 1.0), (2, 2.0), (3, 2.155), (4, 2.414), (5, 2.701), (6, 3.0), (7, 3.175)]
)
def test_small_bundles_are_no_smaller_than_the_circle_around_them(count: int, diameters: float) -> None:
    found = conductors.bundle_diameter_mm(diameters_mm=[1.0] * count)
    assert found == pytest.approx(diameters, abs=1e-3)


def test_a_bundle_needs_a_wire() -> None:
    with pytest.raises(ValueError, match="at least one"):
        conductors.bundle_diameter_mm(diameters_mm=[])


def test_an_unknown_constant_is_refused() -> None:
    with pytest.raises(KeyError):
        conductors.copper_constant(name="gold")
