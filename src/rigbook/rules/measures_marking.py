"""Measures of reflective markings by side."""

from __future__ import annotations

from collections.abc import Iterator
from types import MappingProxyType
from typing import Literal

from rigbook.rules.measures import Measure, Reading, Results


def marking_length_share(results: Results) -> Iterator[Reading]:
    """Share of a side's length with at least 4 in of reflective height, of sides that are marked at all.

    Unit: share. Formula: stretch over length of the side. Source: nfpa-1901-striping. Fact `side`.
    """
    yield from _sides(results, "length_share")


def marking_area_share(results: Results) -> Iterator[Reading]:
    """Share of the front or rear that is covered, above the ground clearance and glass included.

    Unit: share. Formula: area covered over width times height. Source: nfpa-1901-striping. Fact `side`.
    """
    yield from _sides(results, "area_share")


def _sides(results: Results, key: Literal["length_share", "area_share"]) -> Iterator[Reading]:
    found = None if results.light is None else results.light.result.markings
    build = results.rig.build
    for row in () if found is None else found.sides:
        value = getattr(row, key)
        if value is not None:
            where = next(m for m in build.markings if m.side == row.id).where
            yield Reading(
                subject=row.id, value=value, file=where.file, line=where.line or None,
                facts=MappingProxyType({"side": row.id}), figure=f"light.markings.sides[{row.id}].{key}",
            )  # fmt: skip


_FACTS = MappingProxyType({"side": ("left", "right", "front", "rear")})
MEASURES = tuple(
    Measure(name=take.__name__, per="side", unit="share", take=take, facts=_FACTS)
    for take in (marking_length_share, marking_area_share)
)
