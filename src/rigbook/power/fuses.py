"""Fuses and breakers: when they open, what they carry hot, what pulse they stand. Functions of plain numbers.

Tables lie as printed in `rigbook/data/tables`; a gate is the span of opening times the standard allows, so a
wire is judged by its slow edge and a neighbour by its fast one.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import cache
from itertools import pairwise

from rigbook.quantities.tables import Mark, as_mark, read_table, weakest

GATES = "fuse-gates"
DATA = "fuse-data"
FORMS = "fuse-forms"
PULSES = "fuse-pulses"
RERATING = "fuse-rerating"
COLOURS = "fuse-colours"
MOST_AMBIENT_C = 125.0
"""Last printed ambient of the rerating."""
LIFE_PULSES = 100_000
"""Pulses a device's start is counted with over a vehicle's life [common practice, no source]."""


@cache
def _points(fuse_class: str, column: str) -> tuple[tuple[float, float], ...]:
    rows = [row for row in read_table(GATES).records() if row["class"] == fuse_class]
    if not rows:
        raise ValueError(f"no opening times are printed for {fuse_class}")
    return tuple(sorted((float(row["percent"]), float(row[column])) for row in rows if row[column]))


def _between(points: Sequence[tuple[float, float]], percent: float) -> float:
    for (low, low_s), (high, high_s) in pairwise(points):
        if percent <= high:
            share = math.log(percent / low) / math.log(high / low)
            return float(low_s * (high_s / low_s) ** share)
    return points[-1][1]


def slowest_s(*, fuse_class: str, percent: float) -> float | None:
    """Longest time in s a fuse may take to open at per cent of its rating; None where it need not open at all.

    Straight on log-log paper between printed gates; beyond the last by equal heat, I2 t [common practice].
    Source: iso-8820-3. ValueError for a class without printed gates.
    """
    points = _points(fuse_class, "max_s")
    last, last_s = points[-1]
    if percent > last:
        return last_s * (last / percent) ** 2
    return None if percent < points[0][0] * (1 - 1e-12) else _between(points, max(percent, points[0][0]))


def fastest_s(*, fuse_class: str, percent: float) -> float:
    """Shortest time in s in which a fuse may open at per cent of its rating; 0 beyond the last printed gate.

    Below the first gate its time is kept, the safe side. Source: iso-8820-3. ValueError as for `slowest_s`.
    """
    points = _points(fuse_class, "min_s")
    if percent > points[-1][0] * (1 + 1e-12):
        return 0.0
    return _between(points, max(percent, points[0][0]))


def last_fast_gate(*, fuse_class: str) -> tuple[float, float]:
    """Per cent of rating and shortest time in s of the last gate with a printed shortest time."""
    return _points(fuse_class, "min_s")[-1]


def breakpoints(*, fuse_class: str) -> tuple[float, ...]:
    """Per cents of rating at which gates are printed."""
    return tuple(sorted({p for column in ("min_s", "max_s") for p, _ in _points(fuse_class, column)}))


def gates_mark(*, fuse_class: str) -> tuple[str, Mark]:
    """Source and weakest mark of the gates of a class."""
    rows = [row for row in read_table(GATES).records() if row["class"] == fuse_class]
    return rows[0]["source"], weakest(*(as_mark(row["mark"]) for row in rows))


def form_row(*, form: str, rating_a: float) -> dict[str, str]:
    """Row of the table of forms for a fuse: its class and what it interrupts. Source: iso-8820-3.

    A blade above 30 A is of the large standard type; a rating beyond a form's largest is judged as that form all
    the same. ValueError for a form that is not in the table.
    """
    name = "blade-large" if form == "blade" and rating_a > 30.0 else form
    for row in read_table(FORMS).records():
        if row["form"] == name:
            return row
    raise ValueError(f"no fuse form {form!r} is known")


def rerating_share(*, ambient_c: float) -> float:
    """What a fuse carries at an ambient in C as a share of its rating, straight between printed points.

    Printed for a maxi fuse of 40 A, used for every fuse as a guide. Source: iso-8820-3. Range: up to 125 C, below
    20 C the rating; ValueError above.
    """
    points = [(float(r["ambient_c"]), float(r["amps"])) for r in read_table(RERATING).records()]
    if ambient_c > points[-1][0]:
        raise ValueError(f"no rerating is printed above {points[-1][0]:g} C")
    full = points[0][1]
    for (low_c, low_a), (high_c, high_a) in pairwise(points):
        if ambient_c <= high_c:
            return min(1.0, (low_a + (high_a - low_a) * (ambient_c - low_c) / (high_c - low_c)) / full)
    return points[-1][1] / full


def melting_a2s(*, fuse_class: str, rating_a: float) -> tuple[float, bool] | None:
    """Typical melting heat in A2s, and whether it is printed; None for a class without any.

    Between printed ratings that of the nearest one times the square of the ratings' ratio [common practice].
    Source: iso-8820-3.
    """
    rows = [row for row in read_table(DATA).records() if row["class"] == fuse_class]
    if not rows:
        return None
    near = min(rows, key=lambda row: abs(math.log(float(row["rating_a"]) / rating_a)))
    printed = math.isclose(float(near["rating_a"]), rating_a)
    return float(near["melt_a2s"]) * (rating_a / float(near["rating_a"])) ** 2, printed


def cold_ohm(*, fuse_class: str, rating_a: float) -> float:
    """Cold resistance of a fuse in ohm: of the printed one nearest in rating, over the ratio of the ratings.

    A class without printed data takes that of the maxi types. Source: iso-8820-3, between ratings common practice.
    """
    rows = read_table(DATA).records()
    own = [row for row in rows if row["class"] == fuse_class] or [row for row in rows if row["class"] == "maxi"]
    near = min(own, key=lambda row: abs(math.log(float(row["rating_a"]) / rating_a)))
    return float(near["cold_mohm"]) / 1000.0 * float(near["rating_a"]) / rating_a


def pulse_share(*, pulses: int) -> float:
    """Share of the melting heat that a pulse may bring, repeated so often, at least 10 s apart.

    The next larger printed number of pulses is taken. Source: fuse-pulses. ValueError above 100 000.
    """
    for row in read_table(PULSES).records():
        if pulses <= int(row["pulses"]):
            return float(row["share"])
    raise ValueError("pulses are printed up to 100 000")


def allowed_pulse_a2s(*, melting_a2s: float, pulses: int = LIFE_PULSES) -> float:
    """Heat of a pulse in A2s that does not eat a fuse over so many pulses. Source: fuse-pulses."""
    return melting_a2s * pulse_share(pulses=pulses)


def colour(*, form: str, rating_a: float) -> str | None:
    """Body colour; None where none is printed. Read the number, never the colour alone. Source: fuse-colours.

    A mini is coloured as a standard blade.
    """
    name = "blade" if form == "mini" else form
    for row in read_table(COLOURS).records():
        if row["form"] == name and math.isclose(float(row["rating_a"]), rating_a):
            return row["colour"]
    return None


def fault_a(*, source_v: float, resistance_ohm: float) -> float:
    """Prospective current in A of a short: E / R of the whole loop. Source: network. ValueError for no resistance."""
    if resistance_ohm <= 0:
        raise ValueError("a loop without resistance has no prospective current")
    return source_v / resistance_ohm


def least_cleared_a(*, fuse_class: str, rating_a: float, heat_a2s: float) -> float:
    """Least current in A that a fuse surely clears before a wire has taken its heat, k2 S2 in A2s.

    The root of slowest(I) I2 = heat over the printed gates: inside each log-log stretch the product follows a power
    of the current, so the first current from which it stays below is found in closed form. Infinite where no
    current is cleared in time.
    """
    points = _points(fuse_class, "max_s")
    least = None
    for (low, low_s), (high, high_s) in pairwise(points):
        slope = math.log(high_s / low_s) / math.log(high / low) + 2.0
        low_heat = low_s * (low / 100 * rating_a) ** 2
        high_heat = high_s * (high / 100 * rating_a) ** 2
        if low_heat <= heat_a2s and least is None:
            least = low / 100 * rating_a
        if low_heat > heat_a2s >= high_heat:
            least = low / 100 * rating_a * (heat_a2s / low_heat) ** (1.0 / slope)
        if high_heat > heat_a2s:
            least = None
    if least is None and points[-1][1] * (points[-1][0] / 100 * rating_a) ** 2 <= heat_a2s:
        least = points[-1][0] / 100 * rating_a
    return math.inf if least is None else least
