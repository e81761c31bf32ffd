"""Batteries: charge by rate, by the kinetic model, by temperature; charging voltages; tests. Plain numbers.

Hours and ampere-hours here, as datasheets print them; a whole working day stands in its own module.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from rigbook.quantities.tables import read_table

TEMPERATURES = "battery-temperature"
LITHIUM_REST = "lithium-rest-voltage"
AGM_55 = "agm-55-discharge"


# --- rates ------------------------------------------------------------------------------------------------


def peukert_h(*, capacity_ah: float, rated_h: float, current_a: float, exponent: float) -> float:
    """Discharge time in h: H (C/(I H))^k, C rated at H hours. Source: peukert. ValueError for no current."""
    if current_a <= 0 or capacity_ah <= 0 or rated_h <= 0:
        raise ValueError("capacity, time and current lie above 0")
    return float(rated_h * (capacity_ah / (current_a * rated_h)) ** exponent)


def peukert_exponent(*, low: tuple[float, float], high: tuple[float, float]) -> float:
    """Exponent k between two points (hours, Ah): ln(t1/t2)/ln(I2/I1). Source: peukert."""
    (h1, ah1), (h2, ah2) = low, high
    return math.log(h1 / h2) / math.log((ah2 / h2) / (ah1 / h1))


def table_time_h(*, points: Sequence[tuple[float, float]], current_a: float) -> float:
    """Discharge time in h from points (hours, amperes), straight on log-log paper.

    Beyond the ends the outer exponent; below the smallest printed current its capacity is kept, so a small drain
    never finds more charge than was printed. Source: battery-datasheets. ValueError for fewer than two points.
    """
    known = sorted(((hours, amps) for hours, amps in points), key=lambda point: point[1])
    if len(known) < 2 or current_a <= 0:
        raise ValueError("a table of rates has two points or more, and a current lies above 0")
    slowest_h, least_a = known[0]
    if current_a <= least_a:
        return slowest_h * least_a / current_a
    pairs = list(pairwise(known))
    for (h1, a1), (h2, a2) in pairs:
        if current_a <= a2 or (h2, a2) == known[-1]:
            return float(h1 * (h2 / h1) ** (math.log(current_a / a1) / math.log(a2 / a1)))
    raise AssertionError("the last pair always answers")


def agm_55_points(*, end_v_cell: str) -> tuple[tuple[float, float], ...]:
    """(hours, amperes) of the printed 55 Ah AGM battery to an end voltage a cell, as printed ("1.80").

    Source: battery-datasheets. KeyError for an end voltage that is not printed.
    """
    table = read_table(AGM_55)
    return tuple((float(column), float(table.cell(row=end_v_cell, column=column))) for column in table.columns[1:])


# --- kinetic model ------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Kinetic:
    """Kinetic model: share `c` of the charge at once available, rate `k` per hour, most charge `full_ah`."""

    c: float
    k_per_h: float
    full_ah: float


@dataclass(frozen=True, slots=True)
class Charge:
    """Available and bound charge, Ah."""

    available_ah: float
    bound_ah: float

    @property
    def whole_ah(self) -> float:
        """Both together."""
        return self.available_ah + self.bound_ah


def full(model: Kinetic, *, share: float = 1.0) -> Charge:
    """A rested battery at a share of its charge."""
    return Charge(model.c * share * model.full_ah, (1 - model.c) * share * model.full_ah)


def after(model: Kinetic, charge: Charge, *, current_a: float, hours: float) -> Charge:
    """Charge after a constant current (negative charges) for so long, without limits. Source: kibam."""
    k, c, whole = model.k_per_h, model.c, charge.whole_ah
    fade = math.exp(-k * hours)
    gone = -math.expm1(-k * hours)
    settle = k * hours - gone
    available = charge.available_ah * fade + (whole * k * c - current_a) * gone / k - current_a * c * settle / k
    bound = charge.bound_ah * fade + whole * (1 - c) * gone - current_a * (1 - c) * settle / k
    return Charge(available, bound)


def most_current_a(model: Kinetic, charge: Charge, *, hours: float) -> float:
    """Largest current in A that the available charge gives for so long. Source: kibam."""
    k, c = model.k_per_h, model.c
    gone = -math.expm1(-k * hours)
    return (k * charge.available_ah * math.exp(-k * hours) + charge.whole_ah * k * c * gone) / (
        gone + c * (k * hours - gone)
    )


def lasting_ah(model: Kinetic, *, hours: float) -> float:
    """Charge in Ah a full battery gives at the constant current that lasts so long. Source: kibam."""
    k, c = model.k_per_h, model.c
    gone = -math.expm1(-k * hours)
    return model.full_ah * k * c * hours / (gone + c * (k * hours - gone))


def empty_after_h(model: Kinetic, charge: Charge, *, current_a: float, within_h: float) -> float | None:
    """When the available charge is gone at a constant current; None if not within the time. Source: kibam.

    At a constant current the available charge falls to zero once only, so the first sign change is the answer.
    """
    if after(model, charge, current_a=current_a, hours=within_h).available_ah > 0:
        return None
    low, high = 0.0, within_h
    for _ in range(200):
        middle = (low + high) / 2
        if after(model, charge, current_a=current_a, hours=middle).available_ah > 0:
            low = middle
        else:
            high = middle
        if high - low <= 1e-12 * within_h:
            break
    return high


def fitted(*, rates: Sequence[tuple[float, float]]) -> Kinetic:
    """Kinetic model through two or three points (hours, Ah), or nearest to more, by least squares of relative error.

    For any c and k the best `full_ah` is a plain quotient, so the search is over two numbers alone: a grid, then ever
    finer ones about the best. Source: kibam. ValueError for fewer than two points.
    """
    if len(rates) < 2:
        raise ValueError("a fit needs two rates or more")

    def full_and_error(c: float, k: float) -> tuple[float, float]:
        ratios = [lasting_ah(Kinetic(c, k, 1.0), hours=h) / ah for h, ah in rates]
        best = math.fsum(ratios) / math.fsum(r * r for r in ratios)
        return best, math.fsum((best * r - 1.0) ** 2 for r in ratios)

    c, log_k, wide_c, wide_k = 0.5, 0.0, 0.49, 4.0
    for _ in range(60):
        grid = [
            (min(0.999, max(0.001, c + wide_c * i / 4)), log_k + wide_k * j / 4)
            for i in range(-4, 5)
            for j in range(-4, 5)
        ]
        best_c, best_k = min(grid, key=lambda at: full_and_error(at[0], math.exp(at[1]))[1])
        inner = abs(best_c - c) < wide_c * 0.9 and abs(best_k - log_k) < wide_k * 0.9
        c, log_k = best_c, best_k
        if inner:
            wide_c, wide_k = wide_c * 0.6, wide_k * 0.6
    return Kinetic(c, math.exp(log_k), full_and_error(c, math.exp(log_k))[0])


# --- temperature and rest -----------------------------------------------------------------------------------


def _straight(points: Sequence[tuple[float, float]], at: float) -> float:
    known = sorted(points)
    if at <= known[0][0]:
        return known[0][1]
    for (x1, y1), (x2, y2) in pairwise(known):
        if at <= x2:
            return y1 + (y2 - y1) * (at - x1) / (x2 - x1)
    return known[-1][1]


def capacity_share(*, battery: str, temperature_c: float) -> float:
    """Capacity at a temperature as a share of that at 25 C, straight between printed points, held beyond them.

    battery: vrla, agm, lithium-iron-phosphate. Source: battery-datasheets. ValueError for another.
    """
    rows = [r for r in read_table(TEMPERATURES).records() if r["battery"] == battery]
    if not rows:
        raise ValueError(f"no capacity by temperature is printed for {battery}")
    return _straight([(float(r["temperature_c"]), float(r["share"])) for r in rows], temperature_c)


def lithium_rest_v(*, charge: float) -> float:
    """Rest voltage in V of four lithium iron phosphate cells at a share of charge. Source: bpx-lfp.

    Flat between 0.3 and 0.95: never estimate charge from it.
    """
    return _straight([(float(r["charge"]), float(r["volts"])) for r in read_table(LITHIUM_REST).records()], charge)


def lead_rest_v(*, charge: float) -> float:
    """Rest voltage in V of six lead-acid cells: 11.75 V empty to 12.65 V full, straight. Source: battery-rest."""
    return 11.75 + 0.90 * min(1.0, max(0.0, charge))


def compensated_v(*, voltage_v: float, at_c: float, temperature_c: float, volts_per_k: float) -> float:
    """Charging voltage in V at a temperature: V + slope (T - T0), slope below 0. Source: charging-voltages.

    Never for lithium iron phosphate.
    """
    return voltage_v + volts_per_k * (temperature_c - at_c)


# --- drains and tests -----------------------------------------------------------------------------------------


def reserve_ah(*, reserve_min: float) -> float:
    """Slow-rate capacity in Ah from reserve capacity in minutes: 0.6 RC. Source: reserve-capacity."""
    return 0.6 * reserve_min


def days_to_no_start(*, reserve_min: float, drain_a: float, usable: float = 0.4) -> float:
    """Days until a key-off drain has taken the share after which an engine no longer starts. Source: reserve-capacity."""
    if drain_a <= 0:
        raise ValueError("a drain lies above 0 A")
    return usable * reserve_ah(reserve_min=reserve_min) / (24.0 * drain_a)


ALARM_V, ALARM_WITHIN_S, RESERVE_MOST = 11.70, 140.0, 0.50


def alarm_in_time(*, after_s: float) -> bool:
    """Whether the low-voltage alarm sounded within 140 s of 11.70 V at the terminals. Source: low-voltage-tests."""
    return after_s <= ALARM_WITHIN_S


def reserve_passes(*, used_share: float, restarts: bool) -> bool:
    """Whether 10 min of the minimum continuous load took at most half the reserve and the engine restarts.

    Source: low-voltage-tests.
    """
    return restarts and used_share <= RESERVE_MOST


def load_dump_ohm(*, nominal_v: float, rated_a: float, rotor_rpm: float) -> float:
    """Inside resistance in ohm of a load dump: 10 Unom Nact/(0.8 Irated 12000). Source: load-dump."""
    return 10.0 * nominal_v * rotor_rpm / (0.8 * rated_a * 12_000.0)


def filament_shares(*, voltage_share: float) -> dict[str, tuple[float, float]]:
    """Light, life and current of a filament lamp at a share of its design voltage, each as a span. Source: lamp-rerating."""
    span = {"light": (3.4, 3.5), "life": (-12.0, -16.0), "current": (0.55, 0.55)}
    found = {name: sorted(voltage_share**power for power in powers) for name, powers in span.items()}
    return {name: (low, high) for name, (low, high) in found.items()}
