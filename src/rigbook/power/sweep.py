"""Tolerances of a build as distributions, and what a sample of them does to drop, margin and endurance. Pure.

Every kind of thing varies together (all lamps by one factor, all wire by one): the safe side for sums. A row of the sweep
draws two samples and their mixtures with one factor exchanged, from its own seed, so rows can run anywhere in any order.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields, replace
from statistics import NormalDist
from types import MappingProxyType
from typing import Any

from rigbook.documents.schema.parts import Battery
from rigbook.power import drops, endurance, figures, loads
from rigbook.power.duty import bank_days, run_day
from rigbook.power.duty_case import plant_of
from rigbook.quantities.tables import read_table
from rigbook.rig.model import Rig

TOLERANCES = "sweep-tolerances"
LEAST_SHARE = 0.05
"""A factor of a thing never falls below this share of the entered value."""


@dataclass(frozen=True, slots=True)
class Factor:
    """One tolerance. spread: standard deviation of a normal one, half width of a uniform one."""

    id: str
    title: str
    distribution: str
    middle: float
    spread: float

    def at(self, chance: float) -> float:
        """The value below which it lies with a chance between 0 and 1."""
        if self.distribution == "uniform":
            return self.middle + self.spread * (2.0 * chance - 1.0)
        value = NormalDist(self.middle, self.spread).inv_cdf(min(1.0 - 1e-12, max(1e-12, chance)))
        return max(LEAST_SHARE, value)


def factors() -> tuple[Factor, ...]:
    """The tolerances of the table, in its order. Source: sweep-tolerances."""
    return tuple(
        Factor(r["factor"], r["title"], r["distribution"], float(r["middle"]), float(r["spread"]))
        for r in read_table(TOLERANCES).records()
    )


@dataclass(frozen=True, slots=True)
class Output:
    """A figure that the sweep follows; `least`: its low end is the bad one."""

    id: str
    title: str
    unit: str
    least: bool


# --- one sample ---------------------------------------------------------------------------------------------


def varied(rig: Rig, values: Mapping[str, float]) -> Rig:
    """The rig with its lengths, resistances, currents, batteries and charging changed by a sample of factors."""
    current = values["device_current"]
    along = values["conductor_length"] * values["conductor_resistance"]
    segments = {
        name: replace(each, length_m=each.length_m * along, **_amps(each, current))
        for name, each in rig.segments.items()
    }
    devices = {
        name: replace(each, draws=tuple(replace(d, current_a=d.current_a * current) for d in each.draws))
        for name, each in rig.devices.items()
    }
    parts = {name: _battery(part, values) if isinstance(part, Battery) else part for name, part in rig.parts.items()}
    return replace(
        rig, segments=MappingProxyType(segments), devices=MappingProxyType(devices), parts=MappingProxyType(parts),
        vehicle=_vehicle(rig.vehicle, values), build=_build(rig.build, values["battery_temperature"]),
    )  # fmt: skip


def _amps(record: Any, by: float) -> dict[str, Any]:
    """The currents of a record, scaled."""
    found: dict[str, Any] = {}
    for each in fields(record):
        value = getattr(record, each.name)
        if each.name.endswith("_a") and isinstance(value, float | int):
            found[each.name] = value * by
    return found


def _battery(part: Battery, values: Mapping[str, float]) -> Battery:
    share = values["battery_capacity"]
    ohm = None if part.resistance is None else part.resistance * values["battery_resistance"]
    rates = [(seconds, amount * share) for seconds, amount in part.rates]
    return part.model_copy(update={"capacity": part.capacity * share, "resistance": ohm, "rates": rates})


def _vehicle(vehicle: Any, values: Mapping[str, float]) -> Any:
    charging, base = vehicle.charging, vehicle.base_load
    by = values["charging_output"]
    output = None if charging.output is None else charging.output * by
    hot = [(rpm, amps * by) for rpm, amps in charging.hot]
    loads_ = {key: getattr(base, key) * values["base_load"] for key in ("engine", "headlamps", "climate", "key_off")}
    return vehicle.model_copy(
        update={
            "charging": charging.model_copy(update={"hot": hot, "output": output}),
            "base_load": base.model_copy(update=loads_),
        }
    )


def _build(build: Any, warmer_c: float) -> Any:
    duty = [each.model_copy(update={"temperature": each.temperature + warmer_c}) for each in build.duty]
    return build.model_copy(update={"duty": duty})


# --- what is followed ----------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Followed:
    """What of a rig is followed: circuits with a drop, states with a margin, the state that empties a bank first."""

    outputs: tuple[Output, ...]
    circuits: tuple[str, ...]
    states: tuple[str, ...]
    engine_off: str | None
    banks: tuple[str, ...]


def followed(rig: Rig) -> Followed:
    """What the sweep of a rig follows."""
    circuits = tuple(c.id for c in rig.circuits.values() if drops.governing(rig, c) is not None)
    states = tuple(
        s.point.id for s in loads.state_loads(rig) if figures.state_supply(rig, s).margin_a is not None and s.running
    )
    plant = plant_of(rig)
    lasting = [endurance.state_endurance(rig, plant, point) for point in rig.states]
    known = [(each.engine_off_h, each.id) for each in lasting if each is not None and each.engine_off_h is not None]
    first = min(known, default=None)
    banks = tuple(rig.banks) if rig.build.duty else ()
    outputs = [
        *(Output(f"drop_fraction[{name}]", f"Voltage drop of {name}", "", False) for name in circuits),
        *(Output(f"margin_a[{name}]", f"Charging margin in {name}", "A", True) for name in states),
        *([] if first is None else [Output("engine_off_h", f"Endurance of {first[1]}, engine off", "h", True)]),
        *(Output(f"end_share[{name}]", f"Charge of {name} after the day", "", True) for name in banks),
        *(Output(f"lowest_v[{name}]", f"Lowest voltage of {name} in the day", "V", True) for name in banks),
    ]
    return Followed(tuple(outputs), circuits, states, None if first is None else first[1], banks)


def evaluate(rig: Rig, what: Followed, values: Mapping[str, float]) -> list[float]:
    """Every followed figure for a sample of factors, in the order of `what.outputs`; NaN where there is none."""
    now = varied(rig, values)
    found: list[float] = []
    for name in what.circuits:
        circuit = now.circuits[name]
        way = drops.governing(now, circuit)
        lost = math.nan if way is None else drops.source_drop_v(now, circuit, way)
        found.append(lost / now.shop.drop_from)
    states = {s.point.id: s for s in loads.state_loads(now)}
    for name in what.states:
        margin = figures.state_supply(now, states[name]).margin_a
        found.append(math.nan if margin is None else margin)
    plant = plant_of(now)
    if what.engine_off is not None:
        point = next(p for p in now.states if p.id == what.engine_off)
        lasts = endurance.state_endurance(now, plant, point)
        found.append(endurance.HORIZON_H if lasts is None or lasts.engine_off_h is None else lasts.engine_off_h)
    if what.banks:
        run = run_day(now, plant)
        days = {each.id: each for each in bank_days(run)} if run is not None else {}
        found.extend(days[name].end_share if name in days else math.nan for name in what.banks)
        found.extend(days[name].lowest_v if name in days else math.nan for name in what.banks)
    return found


def row(rig: Rig, what: Followed, *, seed: int, number: int) -> list[list[float]]:
    """One row: the figures of sample A, of sample B, and of A with each factor taken from B."""
    import numpy as np

    known = factors()
    # the very child that SeedSequence(seed).spawn gives at that place, whatever ran before it
    generator = np.random.default_rng(np.random.SeedSequence(entropy=seed, spawn_key=(number,)))
    chances = generator.random((2, len(known)))
    a, b = ({f.id: f.at(float(c)) for f, c in zip(known, line, strict=True)} for line in chances)
    mixed = [{**a, f.id: b[f.id]} for f in known]
    return [evaluate(rig, what, values) for values in (a, b, *mixed)]


# --- what the rows tell -----------------------------------------------------------------------------------------

PERCENTILES = (1, 5, 25, 50, 75, 95, 99)


@dataclass(frozen=True, slots=True)
class Spread:
    """How a figure spreads: the nominal value, mean, deviation, percentiles, and variance shares by factor."""

    output: Output
    nominal: float
    mean: float
    deviation: float
    percentiles: Mapping[int, float]
    first_order: Mapping[str, float]
    total: Mapping[str, float]


def shares(rows: Sequence[Sequence[float]]) -> tuple[list[float], list[float]]:
    """First-order and total variance shares of one figure by factor, from rows (A, B, A with factor 1 of B, …).

    Source: sobol-shares. Zeros where the figure does not vary. Estimates from few rows stray: they are kept within 0 and 1.
    """
    import numpy as np

    values = np.asarray(rows, dtype=float)
    a, b, mixed = values[:, 0], values[:, 1], values[:, 2:]
    variance = float(np.var(np.concatenate([a, b])))
    if variance <= 1e-24 * max(1.0, float(np.mean(a)) ** 2):
        return [0.0] * mixed.shape[1], [0.0] * mixed.shape[1]
    first = [max(0.0, 1.0 - float(np.mean((b - m) ** 2)) / (2.0 * variance)) for m in mixed.T]
    total = [min(1.0, float(np.mean((a - m) ** 2)) / (2.0 * variance)) for m in mixed.T]
    return first, total


def spreads(what: Followed, nominal: Sequence[float], rows: Sequence[Sequence[Sequence[float]]]) -> tuple[Spread, ...]:
    """How every followed figure spreads over the rows."""
    import numpy as np

    names = [f.id for f in factors()]
    cube = np.asarray(rows, dtype=float)  # row, sample, figure
    found = []
    for index, output in enumerate(what.outputs):
        both = np.concatenate([cube[:, 0, index], cube[:, 1, index]])
        if not np.all(np.isfinite(both)):
            continue
        first, total = shares(cube[:, :, index].tolist())
        levels = np.percentile(both, PERCENTILES)
        found.append(
            Spread(
                output, nominal[index], float(np.mean(both)), float(np.std(both)),
                dict(zip(PERCENTILES, map(float, levels), strict=True)), dict(zip(names, first, strict=True)),
                dict(zip(names, total, strict=True)),
            )
        )  # fmt: skip
    return tuple(found)
