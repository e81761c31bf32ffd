"""What a wire may carry by the rule that a set of rules goes by. Functions of plain numbers.

A pack names its rule as `ampacity:`. The rules rest on different conditions and must never be mixed for one wire:

corrected   Table 5 of 33 CFR 183.425 x the ambient factor for any temperature x the factor of the bundle [the trade's
            way, and the rule where no pack names one]
33-cfr-183  the regulation as printed: Table 5, in an engine space times note 1, no bundle factors below 50 V
e-11        Table 5 x note 1 in an engine space (none there for 60 C insulation) x the factor of the bundle
ac-43-13    Table 11-9 for wires in a bundle at 70 C ambient, which counts bundle and altitude in
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache
from typing import Literal, get_args

from rigbook.power import conductors
from rigbook.quantities.gauge import Gauge
from rigbook.quantities.tables import read_table

Rule = Literal["corrected", "33-cfr-183", "e-11", "ac-43-13"]
RULES: tuple[str, ...] = get_args(Rule)
AIRCRAFT = "ac-43-13-1b-table-11-9-current"
AIRCRAFT_C = 70.0
ENGINE_SPACE_C = 60.0
"""An area of a higher design ambient is taken for an engine space [common practice, no source]."""


@dataclass(frozen=True, slots=True)
class Allowed:
    """Current of the table in A and what it is multiplied by: (symbol, what, factor, source)."""

    table_a: float
    table: str
    column_c: float
    factors: tuple[tuple[str, str, float, str], ...]

    @property
    def amps(self) -> float:
        """The product."""
        return self.table_a * math.prod(factor for _, _, factor, _ in self.factors)


@cache
def allowed(*, rule: str, gauge: Gauge, insulation_c: float, ambient_c: float, bundled: int) -> Allowed | None:
    """What a wire may carry on one stretch, with every factor. None where the rule has no figure for it.

    bundled: conductors loaded at once there. Sources: as the module says. ValueError for an unknown rule.
    """
    if rule not in RULES:
        raise ValueError(f"an ampacity rule is one of {', '.join(RULES)}, not {rule!r}")
    if rule == "ac-43-13":
        return _aircraft(gauge, insulation_c, ambient_c)
    table_a = conductors.ampacity_a(gauge=gauge, insulation_c=insulation_c)
    column = conductors.printed_class_c(insulation_c=insulation_c)
    if table_a is None or column is None:
        return None
    bundle = ("B", f"bundle of {bundled} loaded", conductors.bundle_factor(conductors=bundled), "e11-bundles")
    if rule == "corrected":
        ambient = conductors.ambient_factor(insulation_c=insulation_c, ambient_c=ambient_c)
        factors = (("F(Ta)", f"ambient {ambient_c:g} C", ambient, "c22-1-5a"), bundle)
        return Allowed(table_a, conductors.AMPACITY_TABLE, column, factors)
    if ambient_c >= insulation_c:
        return None
    engine = conductors.engine_space_factor(insulation_c=insulation_c) if ambient_c > ENGINE_SPACE_C else 1.0
    if engine is None or (rule == "e-11" and ambient_c > ENGINE_SPACE_C and column <= 60.0):
        return None
    space = ("E", "engine space" if ambient_c > ENGINE_SPACE_C else "outside an engine space", engine, "cfr-33-183-425")
    return Allowed(table_a, conductors.AMPACITY_TABLE, column, (space,) if rule == "33-cfr-183" else (space, bundle))


def _aircraft(gauge: Gauge, insulation_c: float, ambient_c: float) -> Allowed | None:
    table = read_table(AIRCRAFT)
    columns = [float(name) for name in table.columns[1:] if float(name) <= insulation_c]
    row = conductors.printed_awg(gauge=gauge, table=AIRCRAFT)
    if not columns or row is None or ambient_c >= max(columns):
        return None
    column = max(columns)
    factor = 1.0 if ambient_c <= AIRCRAFT_C else math.sqrt((column - ambient_c) / (column - AIRCRAFT_C))
    return Allowed(
        float(table.cell(row=row, column=f"{column:g}")),
        AIRCRAFT,
        column,
        (("F(Ta)", f"ambient {ambient_c:g} C", factor, "ac-43-13-1b"),),
    )


def allowed_a(*, rule: str, gauge: Gauge, insulation_c: float, ambient_c: float, bundled: int) -> float | None:
    """The same as one figure in A; None where the rule has none."""
    if rule == "corrected":  # asked for again and again
        return conductors.corrected_ampacity_a(
            gauge=gauge, insulation_c=insulation_c, ambient_c=ambient_c, conductors=bundled
        )
    found = allowed(rule=rule, gauge=gauge, insulation_c=insulation_c, ambient_c=ambient_c, bundled=bundled)
    return None if found is None else found.amps
