"""Published rows and worked examples of vehicle wiring against our functions. One vector, one check.

The tolerance is the source's stated accuracy or half its last printed digit. Ids name the source.
"""

from __future__ import annotations

from collections.abc import Callable

import pytest

from rigbook.power import alternator, conductors, network, waveform
from rigbook.quantities.gauge import parse_gauge
from rigbook.quantities.tables import read_table

pytestmark = pytest.mark.outside

FT_M = 0.3048


def awg(text: str):
    return parse_gauge(f"{text} AWG")


def mm2(text: str):
    return parse_gauge(f"{text} mm2")


def ampacity(text: str, insulation_c: float, *factors: float) -> float:
    value = conductors.ampacity_a(gauge=awg(text), insulation_c=insulation_c)
    assert value is not None
    for factor in factors:
        value *= factor
    return value


def printed_ohm_per_m(text: str) -> float:
    return float(read_table("ac-43-13-1b-table-11-9-wire").cell(row=text, column="ohm_per_kft_max")) / 1000 / FT_M


def book_drop(text: str, feet: float, current_a: float) -> float:
    return conductors.voltage_drop_v(
        current_a=current_a, length_m=feet * FT_M, resistance_ohm_per_m=printed_ohm_per_m(text)
    )


def flash(*levels: tuple[int, int, float], steady_a: float = 0.0) -> waveform.Currents:
    spans = tuple(waveform.WaveSpan(start, end, waveform.exact(amps)) for start, end, amps in levels)
    waves = [waveform.Wave("control", 1000, spans)]
    if steady_a:
        waves.append(waveform.steady(clock="control", current_a=waveform.exact(steady_a)))
    return waveform.currents(waves)


def single(power_w: float) -> network.Network:
    return network.Network(
        (network.Resistor("r", "source", "load", 0.1),),
        (network.Source("e", "source", 12.0),),
        (network.Load("p", "load", "0", "constant-power", power_w / 12.0, 12.0),),
    )


def engine_space(text: str) -> float:
    factor = conductors.engine_space_factor(insulation_c=105)
    assert factor is not None
    return ampacity(text, 105, factor)


def txl(kind: str) -> list[float]:
    table = read_table("sae-j1128-outside-diameter")
    counts = (("18", 10), ("14", 4), ("10", 2))
    return [float(table.cell(row=size, column=f"txl_{kind}")) for size, count in counts for _ in range(count)]


def iec(size: str) -> float:
    return float(read_table("iec-60228-class-5").cell(row=size, column="ohm_per_km_max"))


NEAR = [
    # id, computed, expected, relative tolerance, absolute tolerance
    ("V1 ASTM B258, AWG 10 diameter mm", lambda: conductors.awg_diameter_mm(gauge=awg("10")), 2.588, 1e-3, 0),
    ("V1 ASTM B258, AWG 10 area mm2", lambda: conductors.conductor_area_mm2(gauge=awg("10")), 5.261, 1e-3, 0),
    ("V1 IACS copper, AWG 10 ohm per km at 20 C",
     lambda: 1000 * conductors.conductor_resistance_ohm_per_m(gauge=awg("10")), 3.277, 1e-3, 0),
    ("V2 ASTM B258, 4/0 AWG circular mils", lambda: conductors.circular_mils(gauge=awg("4/0")), 211600, 1e-3, 0),
    ("V3 AC 43.13-1B page 11-22, copper 85 C over 20 C",
     lambda: conductors.temperature_factor(temperature_c=85), 1.2554, 0, 5e-4),
    ("V4 AC 43.13-1B Table 11-7, 6 AWG 107 ft 20 A", lambda: book_drop("6", 107, 20), 0.942, 5e-3, 0),
    ("V5 AC 43.13-1B Table 11-7, 4 AWG 90 ft 20 A", lambda: book_drop("4", 90, 20), 0.504, 5e-3, 0),
    ("V6 AC 43.13-1B Table 11-8, 10 AWG 39 ft 20 A", lambda: book_drop("10", 39, 20), 0.98, 5e-3, 0),
    ("V7 AC 43.13-1B Table 11-8, 10 AWG 19.5 ft 20 A (misprinted .366 there)",
     lambda: book_drop("10", 19.5, 20), 0.491, 5e-3, 0),
    ("V8 AC 43.13-1B page 11-27, 14 AWG 47 A x 0.91 x 0.6",
     lambda: conductors.derated_a(free_air_a=47, factors=(0.91, 0.6)), 25.7, 0.015, 0),
    ("V9 AC 43.13-1B page 11-23, conductor at 20 of 26 A, square-root form",
     lambda: conductors.conductor_temperature_square_root_c(ambient_c=50, rated_c=200, current_a=20, ampacity_a=26),
     181.6, 5e-3, 0),
    ("V9 AC 43.13-1B page 11-22, run length at that temperature, ft",
     lambda: conductors.run_length_at_temperature(length_at_20c=15.5, temperature_c=181.6), 9.48, 5e-3, 0),
    ("V10 square-law conductor temperature, computed",
     lambda: conductors.conductor_temperature_c(ambient_c=50, rated_c=200, current_a=20, ampacity_a=26),
     138.8, 5e-3, 0),
    ("V11 33 CFR 183.425 Table 5, 10 AWG 105 C", lambda: ampacity("10", 105), 60, 0, 0.5),
    ("V11 33 CFR 183.425 Table 5, 6 AWG 105 C", lambda: ampacity("6", 105), 120, 0, 0.5),
    ("V11 33 CFR 183.425 Table 5, 4/0 AWG 105 C", lambda: ampacity("4/0", 105), 445, 0, 0.5),
    ("V11 33 CFR 183.425 note 1, 10 AWG 105 C in the engine space", lambda: engine_space("10"), 51, 0, 1),
    ("V11 33 CFR 183.425 note 1, 6 AWG 105 C in the engine space", lambda: engine_space("6"), 102, 0, 1),
    ("V11 33 CFR 183.425 note 1, 4/0 AWG 105 C in the engine space", lambda: engine_space("4/0"), 378, 0, 1),
    ("V12 boat-cable bundle table, 10 AWG 105 C, 3 conductors",
     lambda: ampacity("10", 105, conductors.bundle_factor(conductors=3)), 42, 5e-3, 0),
    ("V12 boat-cable bundle table, 10 AWG 105 C, 4 to 6 conductors",
     lambda: ampacity("10", 105, conductors.bundle_factor(conductors=6)), 36, 5e-3, 0),
    ("V12 boat-cable bundle table, 10 AWG 105 C, 7 to 24 conductors",
     lambda: ampacity("10", 105, conductors.bundle_factor(conductors=24)), 30, 5e-3, 0),
    ("V13 boat-cable bundle table, engine space, 3 conductors",
     lambda: engine_space("10") * conductors.bundle_factor(conductors=3), 35.7, 5e-3, 0),
    ("V13 boat-cable bundle table, engine space, 4 to 6 conductors",
     lambda: engine_space("10") * conductors.bundle_factor(conductors=5), 30.6, 5e-3, 0),
    ("V13 boat-cable bundle table, engine space, 7 to 24 conductors",
     lambda: engine_space("10") * conductors.bundle_factor(conductors=7), 25.5, 5e-3, 0),
    ("V14 CSA C22.1 Table 5A, 105 C insulation at 50 C",
     lambda: conductors.ambient_factor(insulation_c=105, ambient_c=50), 0.86, 0, 6e-3),
    ("V14 CSA C22.1 Table 5A, 105 C insulation at 60 C",
     lambda: conductors.ambient_factor(insulation_c=105, ambient_c=60), 0.77, 0, 6e-3),
    ("V15 CSA C22.1 Table 5A, 60 C insulation at 50 C",
     lambda: conductors.ambient_factor(insulation_c=60, ambient_c=50), 0.577, 0, 6e-3),
    ("V15 CSA C22.1 Table 5A, 60 C insulation at 60 C is not permitted",
     lambda: conductors.ambient_factor(insulation_c=60, ambient_c=60), 0.0, 0, 0),
    ("V16 33 CFR 183.455, largest fuse on 12 AWG 105 C",
     lambda: conductors.regulation_max_fuse_a(ampacity_a=ampacity("12", 105)), 67.5, 0, 1e-9),
    ("V22 E-11 circular-mil form, 24 V 8 A 50 ft 10 %",
     lambda: conductors.circular_mils_for_drop(current_a=8, round_trip_ft=50, drop_v=2.4), 1792, 5e-4, 0),
    ("V23 adiabatic k of copper 90 to 250 C", lambda: conductors.adiabatic_k(start_c=90, end_c=250), 143.1, 3e-3, 0),
    ("V23 adiabatic k of copper 70 to 160 C", lambda: conductors.adiabatic_k(start_c=70, end_c=160), 115.0, 3e-3, 0),
    ("V24 adiabatic k of aluminium 90 to 250 C",
     lambda: conductors.adiabatic_k(start_c=90, end_c=250, metal="aluminium"), 94.5, 5e-3, 0),
    ("V24 adiabatic k of aluminium 70 to 160 C",
     lambda: conductors.adiabatic_k(start_c=70, end_c=160, metal="aluminium"), 76.0, 5e-3, 0),
    ("V25 adiabatic time, 14 AWG 105 to 250 C at 200 A, computed",
     lambda: conductors.adiabatic_time_s(
         area_mm2=2.081, k=conductors.adiabatic_k(start_c=105, end_c=250), current_a=200), 1.97, 0.01, 0),
    ("V26 Onderdonk, 10 AWG 5 s from 40 C, computed",
     lambda: conductors.onderdonk_a(
         area_cmil=conductors.circular_mils(gauge=awg("10")), time_s=5, ambient_c=40), 667.5, 5e-3, 0),
    ("V26 the same melting current by the adiabatic k to 1083 C",
     lambda: conductors.adiabatic_k(start_c=40, end_c=1083)
     * conductors.conductor_area_mm2(gauge=awg("10")) / 5**0.5, 666.0, 5e-3, 0),
    ("V31 two-level flash 50 % of 10 A, average", lambda: flash((0, 500, 10.0)).average_a, 5.0, 1e-3, 0),
    ("V31 two-level flash 50 % of 10 A, rms", lambda: flash((0, 500, 10.0)).rms_a, 7.071, 1e-3, 0),
    ("V31 two-level flash 50 % of 10 A, peak", lambda: flash((0, 500, 10.0)).peak_a, 10.0, 0, 0),
    ("V31 two-level flash 25 % of 20 A, average", lambda: flash((0, 250, 20.0)).average_a, 5.0, 1e-3, 0),
    ("V31 two-level flash 25 % of 20 A, rms", lambda: flash((0, 250, 20.0)).rms_a, 10.0, 1e-3, 0),
    ("V31 two-level flash 25 % of 20 A, peak", lambda: flash((0, 250, 20.0)).peak_a, 20.0, 0, 0),
    ("V31 flash 30 % of 12 A on a base of 1 A, average",
     lambda: flash((0, 300, 11.0), steady_a=1.0).average_a, 4.3, 1e-3, 0),
    ("V31 flash 30 % of 12 A on a base of 1 A, rms",
     lambda: flash((0, 300, 11.0), steady_a=1.0).rms_a, 6.626, 1e-3, 0),
    ("V31 flash 30 % of 12 A on a base of 1 A, peak",
     lambda: flash((0, 300, 11.0), steady_a=1.0).peak_a, 12.0, 0, 0),
    ("V41 constant power behind 0.1 ohm, 300 W closed form",
     lambda: network.load_voltage_v(source_v=12, resistance_ohm=0.1, power_w=300), 8.4495, 1e-4, 0),
    ("V41 constant power behind 0.1 ohm, 300 W by Newton", lambda: solved(single(300)).load_v["p"], 8.4495, 1e-4, 0),
    ("V41 constant power behind 0.1 ohm, 360 W by Newton, the limit",
     lambda: solved(single(360)).load_v["p"], 6.0, 1e-4, 0),
    ("V41 largest power behind 0.1 ohm, E^2/4R",
     lambda: network.power_limit_w(source_v=12, resistance_ohm=0.1), 360.0, 1e-12, 0),
    ("V44 13 CCR 1249, lamp of 12.8 V design needs 85 % at the socket",
     lambda: conductors.least_lamp_voltage_v(design_v=12.8), 10.88, 0, 1e-9),
    ("V47 bundle of 24 wires of 2.0 mm, k 1.2, published calculator example",
     lambda: conductors.bundle_diameter_mm(diameters_mm=[2.0] * 24), 11.76, 5e-3, 0),
    ("V48 alternator pulley 2:1 at 1200 rpm, published example",
     lambda: alternator.rotor_rpm(engine_rpm=1200, pulley_ratio=2), 2400, 0, 0),
    ("V50 33 CFR 183.425 Table 5, 60 C 18 AWG", lambda: ampacity("18", 60), 10, 0, 0),
    ("V50 33 CFR 183.425 Table 5, 75 C 8 AWG", lambda: ampacity("8", 75), 65, 0, 0),
    ("V50 33 CFR 183.425 Table 5, 80 C 3 AWG", lambda: ampacity("3", 80), 150, 0, 0),
    ("V50 33 CFR 183.425 Table 5, 90 C 1 AWG", lambda: ampacity("1", 90), 210, 0, 0),
    ("V50 33 CFR 183.425 Table 5, 125 C 2/0 AWG", lambda: ampacity("2/0", 125), 355, 0, 0),
    ("V50 33 CFR 183.425 Table 5, 200 C 4/0 AWG", lambda: ampacity("4/0", 200), 510, 0, 0),
    ("V52 IEC 60228 class 5, 2.5 mm2 ohm per km", lambda: iec("2.5"), 7.98, 0, 0),
    ("V52 IEC 60228 class 5, 16 mm2 ohm per km", lambda: iec("16"), 1.21, 0, 0),
    ("V52 IEC 60228 class 5, 70 mm2 ohm per km", lambda: iec("70"), 0.272, 0, 0),
    ("V52 IEC 60228 class 5, 10 m of 2.5 mm2 at 15 A, one way",
     lambda: conductors.voltage_drop_v(current_a=15, length_m=10, resistance_ohm_per_m=iec("2.5") / 1000),
     1.197, 1e-3, 0),
    ("V53 ISO 6722 1.5 mm2, 6 m out and 6 m back at 8 A",
     lambda: conductors.voltage_drop_v(
         current_a=8, length_m=12,
         resistance_ohm_per_m=conductors.conductor_resistance_ohm_per_m(gauge=mm2("1.5"))), 1.219, 1e-3, 0),
    ("V54 SAE J1128 TXL bundle 10 x 18, 4 x 14, 2 x 10 AWG, nominal",
     lambda: conductors.bundle_diameter_mm(diameters_mm=txl("nominal")), 11.85, 1e-3, 0),
    ("V54 SAE J1128 TXL bundle 10 x 18, 4 x 14, 2 x 10 AWG, greatest",
     lambda: conductors.bundle_diameter_mm(diameters_mm=txl("max")), 12.56, 1e-3, 0),
]  # fmt: skip


def solved(circuit: network.Network) -> network.Solution:
    solution = network.solve(circuit)
    assert isinstance(solution, network.Solution)
    return solution


@pytest.mark.parametrize(
    ("computed", "expected", "relative", "absolute"), [pytest.param(*row[1:], id=row[0]) for row in NEAR]
)
def test_figure(computed: Callable[[], float | None], expected: float, relative: float, absolute: float) -> None:
    assert computed() == pytest.approx(expected, rel=relative or 1e-12, abs=absolute)


SIZES = [
    ("V17 E-11 tests, 60 C 8 A in a bundle of 3",
     lambda: conductors.smallest_awg_for_current(current_a=8, insulation_c=60, factor=0.7), "16"),
    ("V17 E-11 tests, 60 C 11 A in a bundle of 3",
     lambda: conductors.smallest_awg_for_current(current_a=11, insulation_c=60, factor=0.7), "14"),
    ("V17 E-11 tests, 60 C 15 A in a bundle of 3",
     lambda: conductors.smallest_awg_for_current(current_a=15, insulation_c=60, factor=0.7), "12"),
    ("V18 E-11 tests, 105 C 150 A in a bundle of 3",
     lambda: conductors.smallest_awg_for_current(current_a=150, insulation_c=105, factor=0.7), "1"),
    ("V18 E-11 tests, 105 C 150 A in a bundle of 3 in the engine space",
     lambda: conductors.smallest_awg_for_current(current_a=150, insulation_c=105, factor=0.7 * 0.85), "1/0"),
    ("V20 E-11 tests, 12 V 4 A 9 ft 3 %",
     lambda: conductors.smallest_awg(
         at_least_cmil=conductors.circular_mils_for_drop(current_a=4, round_trip_ft=9, drop_v=0.36)), "18"),
    ("V21 E-11 tests, 32 V 25 A 70 ft 3 %",
     lambda: conductors.smallest_awg(
         at_least_cmil=conductors.circular_mils_for_drop(current_a=25, round_trip_ft=70, drop_v=0.96)), "6"),
    ("V22 E-11 tests, 24 V 8 A 50 ft 10 %",
     lambda: conductors.smallest_awg(
         at_least_cmil=conductors.circular_mils_for_drop(current_a=8, round_trip_ft=50, drop_v=2.4)), "16"),
]  # fmt: skip


@pytest.mark.parametrize(("computed", "expected"), [pytest.param(*row[1:], id=row[0]) for row in SIZES])
def test_size(computed: Callable[[], object], expected: str) -> None:
    assert str(computed()) == f"{expected} AWG"


@pytest.mark.parametrize(
    ("insulation_c", "row"),
    [
        pytest.param(60, "50", id="V51 CSA C22.1 Table 5A at 50 C equals 33 CFR note 1, 60 C"),
        pytest.param(75, "50", id="V51 CSA C22.1 Table 5A at 50 C equals 33 CFR note 1, 75 C"),
        pytest.param(90, "50", id="V51 CSA C22.1 Table 5A at 50 C equals 33 CFR note 1, 90 C"),
        pytest.param(125, "50", id="V51 CSA C22.1 Table 5A at 50 C equals 33 CFR note 1, 125 C"),
    ],
)
def test_two_editions_agree(insulation_c: int, row: str) -> None:
    printed = float(read_table("c22-1-table-5a").cell(row=row, column=str(insulation_c)))
    assert printed == conductors.engine_space_factor(insulation_c=insulation_c)


@pytest.mark.parametrize(
    ("ambient_c", "insulation_c", "printed"),
    [
        pytest.param(
            int(record["ambient_c"]), int(column), float(cell),
            id=f"C22.1 Table 5A, {column} C insulation at {record['ambient_c']} C, all cells",
        )
        for record in read_table("c22-1-table-5a").records()
        for column, cell in record.items()
        if column != "ambient_c" and cell
    ],
)  # fmt: skip
def test_ambient_formula_reproduces_every_printed_cell(ambient_c: int, insulation_c: int, printed: float) -> None:
    assert conductors.ambient_factor(insulation_c=insulation_c, ambient_c=ambient_c) == pytest.approx(printed, abs=6e-3)


WIRE_TABLE = {"4/0": 211600, "3/0": 167806, "2/0": 133077, "1/0": 105535, "1": 83693, "2": 66371, "3": 52635,
              "4": 41741, "6": 26251, "8": 16510, "10": 10383, "12": 6530, "14": 4107}  # fmt: skip


@pytest.mark.parametrize(
    ("size", "cmil"),
    [pytest.param(*row, id=f"Public wire table, {row[0]} AWG circular mils") for row in WIRE_TABLE.items()],
)
def test_circular_mils(size: str, cmil: int) -> None:
    assert conductors.circular_mils(gauge=awg(size)) == pytest.approx(cmil, rel=1e-4)


@pytest.mark.parametrize("power_w", [pytest.param(361, id="V41 constant power behind 0.1 ohm, 361 W has no solution")])
def test_collapse(power_w: float) -> None:
    outcome = network.solve(single(power_w))
    assert isinstance(outcome, network.Collapse)
    assert network.load_voltage_v(source_v=12, resistance_ohm=0.1, power_w=power_w) is None
    assert outcome.share == pytest.approx(360 / 361, rel=1e-6)


def net5() -> network.Network:
    return network.Network(
        (
            network.Resistor("int", "src", "bat", 0.010),
            network.Resistor("main", "bat", "bus", 0.004),
            network.Resistor("a", "bus", "a", 0.025),
            network.Resistor("b", "bus", "b", 0.040),
            network.Resistor("ret", "g", "0", 0.002),
            network.Resistor("load", "bus", "g", 2.0),
        ),
        (network.Source("bat", "src", 13.8),),
        (
            network.Load("a", "a", "g", "constant-current", 20.0, 12.0),
            network.Load("b", "b", "g", "constant-current", 10.0, 12.0),
        ),
    )


@pytest.mark.parametrize(
    ("node", "volts"),
    [
        pytest.param(node, volts, id=f"V42 circuit simulator and matrix, two fused branches, node {node}")
        for node, volts in (("bat", 13.43393), ("bus", 13.28750), ("a", 12.78750), ("b", 12.88750), ("g", 0.07321))
    ],
)
def test_shared_return(node: str, volts: float) -> None:
    assert solved(net5()).node_v[node] == pytest.approx(volts, abs=1e-5)


@pytest.mark.parametrize("amps", [pytest.param(36.6071, id="V42 circuit simulator and matrix, source current")])
def test_shared_return_current(amps: float) -> None:
    assert solved(net5()).source_a["bat"] == pytest.approx(amps, abs=1e-4)


def test_every_table_cell_was_looked_at() -> None:
    table = read_table("cfr-33-183-425-table-5")
    cells = [
        (cells[0], column, float(cell))
        for cells in table.rows
        for column, cell in zip(table.columns[1:], cells[1:], strict=True)
    ]
    assert len(cells) == 105
    for size, column, printed in cells:
        assert ampacity(size, float(column)) == printed
    assert len(NEAR) + len(SIZES) > 60
