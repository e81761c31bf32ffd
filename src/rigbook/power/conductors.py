"""Conductors: size, resistance, ampacity, heating, bundles. Functions of plain numbers, one source each.

Tables lie as printed in `rigbook/data/tables`; the source keys named here are those of the bibliography.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import cache

from rigbook.quantities.gauge import Gauge
from rigbook.quantities.tables import Mark, Table, as_mark, read_table, weakest

AMPACITY_TABLE = "cfr-33-183-425-table-5"
ENGINE_SPACE_TABLE = "cfr-33-183-425-note-1"
BUNDLE_TABLE = "bundle-factors"
PRACTICE_TABLE = "practice-max-fuse"
METRIC_TABLES = ("iso-6722-resistance", "iec-60228-class-5")
COPPER_TABLE = "copper"
SQUARE_MM_PER_CIRCULAR_MIL = math.pi / 4 * 0.0254**2
"""Area of a circle of one mil (0.0254 mm) diameter, in mm2: a definition."""


def copper_constant(*, name: str) -> float:
    """A constant of the table of copper, in the unit the table names. KeyError for an unknown name."""
    return float(read_table(COPPER_TABLE).cell(row=name, column="value"))


def awg_diameter_mm(*, gauge: Gauge) -> float:
    """Diameter in mm of a solid AWG conductor: d = 0.127 mm x 92^((36-n)/39). Source: astm-b258.

    1/0 is n = 0, 4/0 is n = -3. ValueError for a size in mm2, whose strands have no one diameter.
    """
    if gauge.system != "AWG":
        raise ValueError(f"{gauge} has no AWG diameter")
    return float(0.127 * 92.0 ** ((36.0 - gauge.number) / 39.0))


def conductor_area_mm2(*, gauge: Gauge) -> float:
    """Copper area in mm2: of the ideal solid conductor for AWG (astm-b258), the nominal name for mm2."""
    if gauge.system == "mm2":
        return float(gauge.number)
    return math.pi / 4 * awg_diameter_mm(gauge=gauge) ** 2


def circular_mils(*, gauge: Gauge) -> float:
    """Area in circular mils (diameter in mils squared), for the published drop formula. Source: astm-b258."""
    return conductor_area_mm2(gauge=gauge) / SQUARE_MM_PER_CIRCULAR_MIL


def temperature_factor(*, temperature_c: float) -> float:
    """Resistance of copper against that at 20 C: (234.5 + T)/254.5. Source: ac-43-13-1b, page 11-22.

    Range: -200 to 400 C, where the linear law holds; ValueError outside.
    """
    if not -200.0 <= temperature_c <= 400.0:
        raise ValueError(f"copper at {temperature_c} C is outside -200 to 400 C")
    zero = copper_constant(name="zero_resistance_c")
    return (temperature_c - zero) / (20.0 - zero)


def _metric_row(gauge: Gauge) -> tuple[float, Table, Mark] | None:
    """Resistance in ohm per metre at 20 C, table and mark of a nominal mm2 size; ISO 6722 before IEC 60228."""
    for name in METRIC_TABLES:
        table = read_table(name)
        for record in table.records():
            if math.isclose(float(record["mm2"]), gauge.number, rel_tol=1e-9):
                per_m = float(record["mohm_per_m_max" if "mohm_per_m_max" in record else "ohm_per_km_max"]) / 1000
                return per_m, table, as_mark(record.get("mark", table.mark))
    return None


def conductor_resistance_ohm_per_m(*, gauge: Gauge, temperature_c: float = 20.0) -> float:
    """Resistance in ohm per metre at a conductor temperature in C.

    AWG: the ideal solid annealed conductor of 100 % IACS (astm-b258, copper-iacs); real strands run up to
    about 20 % above, so a wire part that states its own resistance is preferred. mm2: the greatest resistance
    of iso-6722, else of iec-60228 class 5; ValueError for a nominal size neither prints.
    """
    if gauge.system == "AWG":
        at_20 = copper_constant(name="resistivity_20c") / conductor_area_mm2(gauge=gauge)
    else:
        row = _metric_row(gauge)
        if row is None:
            raise ValueError(f"no printed resistance for {gauge}")
        at_20 = row[0]
    return at_20 * temperature_factor(temperature_c=temperature_c)


def resistance_source(*, gauge: Gauge) -> tuple[str, Mark]:
    """Source key and mark of the resistance of a size at 20 C. ValueError as for the resistance."""
    if gauge.system == "AWG":
        return "copper-iacs", "memory"
    row = _metric_row(gauge)
    if row is None:
        raise ValueError(f"no printed resistance for {gauge}")
    return row[1].source, row[2]


@cache
def printed_class_c(*, insulation_c: float) -> float | None:
    """The printed insulation class in C at or next below one's own; None below the lowest, 60 C."""
    classes = [float(column) for column in read_table(AMPACITY_TABLE).columns[1:]]
    at_most = [value for value in classes if value <= insulation_c]
    return max(at_most) if at_most else None


@cache
def printed_awg(*, gauge: Gauge, table: str = AMPACITY_TABLE) -> str | None:
    """The row of a table that judges a size: its own AWG row, or the next thinner in copper area.

    None where the table has no row so thin. A size in mm2, or an odd AWG number that is not printed, is read
    as the thickest printed size that has no more copper: never as more than it is.
    """
    best: tuple[float, str] | None = None
    own = conductor_area_mm2(gauge=gauge)
    for cells in read_table(table).rows:
        area = conductor_area_mm2(gauge=awg_of(label=cells[0]))
        if area <= own * (1 + 1e-9) and (best is None or area > best[0]):
            best = (area, cells[0])
    return best[1] if best else None


def awg_of(*, label: str) -> Gauge:
    """The AWG size a table row names: 18, 1/0, 4/0. ValueError for anything else."""
    number, slash, zero = label.partition("/")
    if slash and zero != "0":
        raise ValueError(f"{label!r} is no AWG size")
    return Gauge("AWG", 1 - int(number) if slash else int(number))


@cache
def ampacity_a(*, gauge: Gauge, insulation_c: float) -> float | None:
    """Allowable amperes at 30 C ambient, free-standing or up to two bundled. Source: cfr-33-183-425 Table 5.

    An insulation class between two printed ones takes the next lower; a size between two takes the next thinner.
    None where the table has no cell: insulation below 60 C, or thinner than 18 AWG.
    """
    column, row = printed_class_c(insulation_c=insulation_c), printed_awg(gauge=gauge)
    if column is None or row is None:
        return None
    return float(read_table(AMPACITY_TABLE).cell(row=row, column=f"{column:g}"))


@cache
def bundle_factor(*, conductors: int) -> float:
    """Factor on the ampacity for current-carrying conductors in one bundle. Source: e11-bundles.

    Count loaded conductors only; a return that carries current counts. ValueError below 1.
    """
    for record in read_table(BUNDLE_TABLE).records():
        if int(record["at_least"]) <= conductors and (
            not record["at_most"] or conductors <= int(record["at_most"])
        ):  # fmt: skip
            return float(record["factor"])
    raise ValueError(f"a bundle has at least one conductor, not {conductors}")


def ambient_factor(*, insulation_c: float, ambient_c: float) -> float:
    """Factor on the ampacity for ambient in C: F = sqrt((Tc - Ta)/(Tc - 30)); 0 at and above Tc.

    Reproduces c22-1-5a within its rounding. Below 30 C the factor is held at 1, the safe side.
    ValueError for insulation at or below 30 C.
    """
    if insulation_c <= 30.0:
        raise ValueError(f"an insulation class of {insulation_c} C is not above 30 C")
    if ambient_c >= insulation_c:
        return 0.0
    return min(1.0, math.sqrt((insulation_c - ambient_c) / (insulation_c - 30.0)))


def engine_space_factor(*, insulation_c: float) -> float | None:
    """Factor of note 1 to Table 5 for an engine space (cfr-33-183-425), by printed class; None below 60 C.

    An alternative to `ambient_factor`, never used together with it.
    """
    printed = printed_class_c(insulation_c=insulation_c)
    if printed is None:
        return None
    return float(read_table(ENGINE_SPACE_TABLE).cell(row=f"{printed:g}", column="factor"))


def derated_a(*, free_air_a: float, factors: Sequence[float]) -> float:
    """Amperes after factors: the free-air figure times each. Source: ac-43-13-1b, page 11-27.

    ValueError for a factor below 0 or above 1.
    """
    if any(not 0.0 <= factor <= 1.0 for factor in factors):
        raise ValueError("a factor lies between 0 and 1")
    return free_air_a * math.prod(factors)


def corrected_ampacity_a(
    *, gauge: Gauge, insulation_c: float, ambient_c: float, conductors: int = 1
) -> float | None:  # fmt: skip
    """Table ampacity x ambient factor x bundle factor, in amperes; None where the table has no cell."""
    table_a = ampacity_a(gauge=gauge, insulation_c=insulation_c)
    if table_a is None:
        return None
    ambient = ambient_factor(insulation_c=insulation_c, ambient_c=ambient_c)
    return derated_a(free_air_a=table_a, factors=(ambient, bundle_factor(conductors=conductors)))


def ampacity_mark(*, conductors: int = 1) -> Mark:
    """Mark of a corrected ampacity: that of its table, and of the bundle table where it takes part."""
    marks = [read_table(AMPACITY_TABLE).mark]
    if conductors > 2:
        marks.append(read_table(BUNDLE_TABLE).mark)
    return weakest(*marks)


def practice_max_fuse_a(*, gauge: Gauge) -> float | None:
    """Largest fuse in amperes on a conductor, whatever a table allows. Source: practice-wiring, common practice.

    Sizes between rows take the next thinner row; None thinner than 20 AWG.
    """
    row = printed_awg(gauge=gauge, table=PRACTICE_TABLE)
    return None if row is None else float(read_table(PRACTICE_TABLE).cell(row=row, column="max_fuse_a"))


def regulation_max_fuse_a(*, ampacity_a: float) -> float:
    """Largest overcurrent device in amperes below 50 V: 150 % of the table amperage. Source: cfr-33-183-455.

    Looser than trade practice; use the stricter unless the regulation is claimed.
    """
    return 1.5 * ampacity_a


def voltage_drop_v(*, current_a: float, length_m: float, resistance_ohm_per_m: float) -> float:
    """Volts lost along one conductor: I x L x r. Length is of that conductor alone, feed or return."""
    return current_a * length_m * resistance_ohm_per_m


def circular_mils_for_drop(*, current_a: float, round_trip_ft: float, drop_v: float) -> float:
    """Circular mils for a drop: CM = 10.75 x I x L / dV, L there and back in feet. Source: e11-drop (memory)."""
    if drop_v <= 0:
        raise ValueError("the drop must be above 0 V")
    return copper_constant(name="circular_mil_ohm_ft") * current_a * round_trip_ft / drop_v


def smallest_awg(*, at_least_cmil: float) -> Gauge | None:
    """Thinnest AWG size of the ampacity table with that many circular mils; None beyond 4/0."""
    for cells in read_table(AMPACITY_TABLE).rows:
        gauge = awg_of(label=cells[0])
        if circular_mils(gauge=gauge) >= at_least_cmil:
            return gauge
    return None


def smallest_awg_for_current(*, current_a: float, insulation_c: float, factor: float = 1.0) -> Gauge | None:
    """Thinnest AWG size whose table ampacity times a factor carries the current; None beyond 4/0.

    Source of the checks: e11-tests.
    """
    for cells in read_table(AMPACITY_TABLE).rows:
        gauge = awg_of(label=cells[0])
        table_a = ampacity_a(gauge=gauge, insulation_c=insulation_c)
        if table_a is not None and table_a * factor >= current_a:
            return gauge
    return None


def conductor_temperature_c(*, ambient_c: float, rated_c: float, current_a: float, ampacity_a: float) -> float:
    """Conductor temperature in C at part load: Ta + (Tr - Ta) x (I/Imax)^2, losses following the square.

    Imax is the ampacity at that ambient. ac-43-13-1b uses the square root instead, which overestimates at
    part load (`conductor_temperature_square_root_c`). ValueError for an ampacity of 0 or less.
    """
    if ampacity_a <= 0:
        raise ValueError("the ampacity must be above 0 A")
    return ambient_c + (rated_c - ambient_c) * (current_a / ampacity_a) ** 2


def loaded_conductor_c(*, ambient_c: float, rated_c: float, current_a: float, ampacity_a: float | None) -> float:
    """Temperature in C a drop is stated at: that of the load by the square law, at most the insulation class.

    Where no ampacity is known (a device's own lead, a wire thinner than the table) and where the ambient is
    above the class, the higher of class and ambient: never cooler than it may be.
    """
    if ampacity_a is None or ampacity_a <= 0.0:
        return max(ambient_c, rated_c)
    reached = conductor_temperature_c(
        ambient_c=ambient_c, rated_c=rated_c, current_a=current_a, ampacity_a=ampacity_a
    )  # fmt: skip
    return min(reached, rated_c)


def conductor_temperature_square_root_c(
    *, ambient_c: float, rated_c: float, current_a: float, ampacity_a: float
) -> float:  # fmt: skip
    """The published form Ta + (Tr - Ta) x sqrt(I/Imax). Source: ac-43-13-1b, page 11-23."""
    if ampacity_a <= 0:
        raise ValueError("the ampacity must be above 0 A")
    return ambient_c + (rated_c - ambient_c) * math.sqrt(current_a / ampacity_a)


def run_length_at_temperature(*, length_at_20c: float, temperature_c: float) -> float:
    """Greatest run length at a conductor temperature for the drop a length gave at 20 C (any length unit).

    Source: ac-43-13-1b, page 11-22: L2 = 254.5 x L1/(234.5 + T2).
    """
    return length_at_20c / temperature_factor(temperature_c=temperature_c)


def adiabatic_k(*, start_c: float, end_c: float, metal: str = "copper") -> float:
    """k of the adiabatic limit in A s^0.5/mm2: 226 sqrt(ln(1 + (Tf-Ti)/(234.5+Ti))), 148 and 228 for aluminium.

    Source: adiabatic. ValueError where the end is below the start or the metal unknown.
    """
    if end_c < start_c:
        raise ValueError("the end temperature is below the start")
    if metal == "copper":
        factor, zero = copper_constant(name="adiabatic_copper"), -copper_constant(name="zero_resistance_c")
    elif metal == "aluminium":
        factor = copper_constant(name="adiabatic_aluminium")
        zero = -copper_constant(name="adiabatic_aluminium_zero_c")
    else:
        raise ValueError(f"copper or aluminium, not {metal!r}")
    return factor * math.sqrt(math.log1p((end_c - start_c) / (zero + start_c)))


def adiabatic_time_s(*, area_mm2: float, k: float, current_a: float) -> float:
    """Seconds until the end temperature of k: t = (k S / I)^2. Source: adiabatic; exact to about 5 s, safe beyond."""
    return (k * area_mm2 / current_a) ** 2


def onderdonk_a(*, area_cmil: float, time_s: float, ambient_c: float) -> float:
    """Melting current in amperes: A sqrt(log10((Tm-Ta)/(234+Ta)+1)/(33 t)), A in circular mils.

    Source: onderdonk (memory). Melting of the copper, far beyond what insulation survives.
    """
    melting = copper_constant(name="melting_copper_c")
    return area_cmil * math.sqrt(math.log10((melting - ambient_c) / (234.0 + ambient_c) + 1.0) / (33.0 * time_s))


def bundle_diameter_mm(*, diameters_mm: Sequence[float], k: float = 1.2) -> float:
    """Diameter in mm of a round bundle: k sqrt(sum d^2). Source: bundle-diameter, common practice.

    Two to seven equal wires are taken by the circle that really encloses them, where that is larger.
    ValueError for an empty bundle.
    """
    if not diameters_mm:
        raise ValueError("a bundle needs at least one wire")
    if len(diameters_mm) == 1:
        return float(diameters_mm[0])
    formula = k * math.sqrt(sum(d * d for d in diameters_mm))
    enclosing = {2: 2.0, 3: 1.0 + 2.0 / math.sqrt(3.0), 4: 1.0 + math.sqrt(2.0), 5: 1.0 + 1.0 / math.sin(math.pi / 5),
                 6: 3.0, 7: 3.0}  # fmt: skip
    if len(set(diameters_mm)) == 1 and len(diameters_mm) in enclosing:
        return max(formula, enclosing[len(diameters_mm)] * diameters_mm[0])
    return formula


def least_lamp_voltage_v(*, design_v: float) -> float:
    """Least volts at a lamp's socket with the engine running: 85 % of its design voltage. Source: ccr-13-1249."""
    return 0.85 * design_v
