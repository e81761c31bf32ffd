"""One bank of batteries through time: charge in two tanks, terminal voltage, what it takes when charged. Plain numbers.

The kinetic model (`battery`, source: kibam) holds the charge; the voltage follows the available share h = q1/(c Q) by the
form of the same authors, E = E0 + A X + C X/(D - X) with X = 1 - h, less the current through the inside resistance. A cold
battery gives less: what is drawn counts by 1 over its capacity share. Hours, ampere-hours, amperes (drawn above 0).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache, lru_cache
from itertools import pairwise

from rigbook.power import battery
from rigbook.power.battery import Kinetic
from rigbook.quantities.tables import read_table

CHARGING = "battery-charging"
LITHIUM = "lithium-iron-phosphate"
AGM_ABOVE_V = 0.15
"""An AGM or gel battery rests this much above a flooded one [memory: BCI]."""
FULL_V, SLOPE_V = 12.65, -0.90
"""Rest voltage of six flooded cells, full, and its fall to empty, straight (source: battery-rest)."""
KNEE_C, KNEE_D = -0.019, 1.02
"""Knee of the voltage near empty: 1.80 V a cell where the available charge is gone (source: kibam-voltage)."""
LITHIUM_END_V = 11.2
"""End of discharge of four lithium cells (source: battery-datasheets)."""
DEFAULT_RATES = "agm-model-100"
"""Shape of the capacity by time where a lead-acid part states none."""
TAPER = 0.2
"""Charging current falls over this last share of the available charge [common practice, no source]."""
MODEL_C = 25.0


@dataclass(frozen=True, slots=True)
class BankModel:
    """A bank by its numbers. `scale`: 2 for 24 V. `cranking_a`: cold cranking amperes of all, None where not stated."""

    id: str
    chemistry: str
    kinetic: Kinetic
    capacity_ah: float
    resistance_ohm: float
    scale: float
    reserve_min: float | None
    cranking_a: float | None
    count: int = 1

    @property
    def available_full_ah(self) -> float:
        """Available charge of a full bank."""
        return self.kinetic.c * self.kinetic.full_ah


def kinetic_of(chemistry: str, capacity_ah: float, rates: tuple[tuple[float, float], ...]) -> Kinetic:
    """The kinetic model of a battery: fitted to its rates (hours, Ah); lead without rates by the shape of a published
    AGM battery; lithium without rates gives its capacity at any rate. Source: kibam, battery-datasheets."""
    if len(rates) < 2:
        if chemistry == LITHIUM:
            return Kinetic(1.0, 1.0, capacity_ah)
        rows = [r for r in read_table("battery-rates").records() if r["battery"] == DEFAULT_RATES]
        top_ah, by = max(float(r["ah"]) for r in rows), capacity_ah
        rates = tuple((float(r["hours"]), float(r["ah"])) for r in rows)
    else:
        top_ah = by = max(amount_ah for _, amount_ah in rates)
    shape = _shape(tuple((hours, round(amount_ah / top_ah, 9)) for hours, amount_ah in rates))
    return Kinetic(shape.c, shape.k_per_h, shape.full_ah * by)


@lru_cache(maxsize=64)
def _shape(rates: tuple[tuple[float, float], ...]) -> Kinetic:
    """The model fitted to rates as shares of the largest: the same for batteries of any size."""
    return battery.fitted(rates=rates)


def scaled(one: Kinetic, count: int) -> Kinetic:
    """Batteries in parallel: the charges add."""
    return Kinetic(one.c, one.k_per_h, one.full_ah * count)


# --- voltage -----------------------------------------------------------------------------------------------


def open_v(model: BankModel, *, head: float) -> float:
    """Voltage in V without current, by the available share 0 to 1. Source: kibam-voltage, battery-rest, bpx-lfp."""
    h = min(1.0, max(0.0, head))
    if model.chemistry == LITHIUM:
        return model.scale * _lithium_v(h)
    x = 1.0 - h
    above = AGM_ABOVE_V if model.chemistry in ("agm", "gel") else 0.0
    return model.scale * (FULL_V + above + SLOPE_V * x + KNEE_C * x / (KNEE_D - x))


@cache
def _lithium_points() -> tuple[tuple[float, float], ...]:
    rows = read_table(battery.LITHIUM_REST).records()
    return ((0.0, LITHIUM_END_V), *((float(r["charge"]), float(r["volts"])) for r in rows))


def _lithium_v(h: float) -> float:
    points = _lithium_points()
    h = min(h, 0.9)  # what lies above rises to the charging voltage and is no rest voltage
    for (x1, y1), (x2, y2) in pairwise(points):
        if h <= x2:
            return y1 + (y2 - y1) * (h - x1) / (x2 - x1)
    return points[-1][1]


# --- temperature --------------------------------------------------------------------------------------------


@lru_cache(maxsize=256)
def cold_share(chemistry: str, temperature_c: float) -> float:
    """Share of its capacity that a bank gives at a temperature, at most 1. Source: battery-datasheets."""
    known = {LITHIUM: LITHIUM, "agm": "agm", "gel": "agm", "flooded": "vrla"}[chemistry]
    return min(1.0, battery.capacity_share(battery=known, temperature_c=temperature_c))


# --- charging ------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Profile:
    """How a chemistry is charged, at a temperature: stage voltages in V, most current a C20, efficiency, tail a C20."""

    absorption_v: float
    float_v: float
    most_share: float
    efficiency: float
    tail_share: float


@lru_cache(maxsize=256)
def profile(chemistry: str, temperature_c: float, scale: float) -> Profile:
    """Charging by chemistry and temperature; lithium takes nothing below 0 C. Source: charging-voltages."""
    row = next(r for r in read_table(CHARGING).records() if r["chemistry"] == chemistry)
    slope = float(row["volts_per_k"])

    def at(volts: str) -> float:
        return scale * battery.compensated_v(
            voltage_v=float(volts), at_c=MODEL_C, temperature_c=temperature_c, volts_per_k=slope
        )

    most = 0.0 if chemistry == LITHIUM and temperature_c < 0.0 else float(row["most_share"])
    return Profile(
        at(row["absorption_v"]), at(row["float_v"]), most, float(row["efficiency"]), float(row["tail_share"])
    )


def accepts_a(model: BankModel, how: Profile, *, available_ah: float, bound_ah: float) -> float:
    """Current in A a bank takes at its absorption voltage: at most `most_share` of C20 until the last fifth of the
    available charge, then falling to what flows on into the bound charge, k c (bound missing). Source: kibam."""
    kin = model.kinetic
    top = how.most_share * model.capacity_ah
    missing = max(0.0, (1.0 - kin.c) * kin.full_ah - bound_ah)
    onward = min(top, kin.k_per_h * kin.c * missing)
    room = max(0.0, 1.0 - available_ah / model.available_full_ah)
    taken = onward + (top - onward) * min(1.0, room / TAPER)
    return taken / how.efficiency if top > 0 else 0.0


# --- cranking -------------------------------------------------------------------------------------------------

LOAD_TEST_V, LOAD_TEST_S = 9.6, 15.0
NO_START_SHARE = 0.40
"""Share of its charge after which an engine no longer starts (source: reserve-capacity)."""


def crank_v(model: BankModel, *, head: float) -> float | None:
    """Terminal voltage in V at half the cold cranking current; None where the part states none. Source: load-test."""
    if model.cranking_a is None:
        return None
    return open_v(model, head=head) - 0.5 * model.cranking_a * model.resistance_ohm


def cranks(model: BankModel, *, available_ah: float, bound_ah: float) -> bool:
    """Whether a bank still starts the engine: no more than 40 % of its charge is gone, and at half its cold cranking
    current it holds 9.6 V for 15 s. Source: reserve-capacity, load-test."""
    whole = available_ah + bound_ah
    if whole < (1.0 - NO_START_SHARE) * model.kinetic.full_ah:
        return False
    volts = crank_v(model, head=available_ah / model.available_full_ah)
    if volts is None or model.cranking_a is None:
        return True
    gives = battery.most_current_a(model.kinetic, battery.Charge(available_ah, bound_ah), hours=LOAD_TEST_S / 3600.0)
    return volts >= LOAD_TEST_V * model.scale and gives >= 0.5 * model.cranking_a


def days_to_no_start(model: BankModel, *, drain_a: float, per_month: float = 0.05) -> float:
    """Days until key-off drain and self-discharge have taken 40 % of the charge; of 0.6 RC where the part states a
    reserve capacity. Self-discharge 5 % a month by default. Source: reserve-capacity."""
    whole = model.capacity_ah if model.reserve_min is None else battery.reserve_ah(reserve_min=model.reserve_min)
    rate = -math.log1p(-per_month) / 30.0
    daily = 24.0 * drain_a
    # q' = -daily - rate q, from the whole charge to 60 % of it
    return math.log((whole + daily / rate) / ((1.0 - NO_START_SHARE) * whole + daily / rate)) / rate


def rates_of(rows: Sequence[tuple[float, float]]) -> tuple[tuple[float, float], ...]:
    """Entered rates (seconds, Ah) as hours and ampere-hours."""
    return tuple(sorted((seconds / 3600.0, amount_ah) for seconds, amount_ah in rows))
