"""Measures of scene light on the areas a build names."""

from __future__ import annotations

from collections.abc import Iterator
from types import MappingProxyType
from typing import TYPE_CHECKING

from rigbook.rules.measures import Fact, Measure, Reading, Results

if TYPE_CHECKING:
    from rigbook.light.areas import SceneResult


def scene_least(results: Results) -> Iterator[Reading]:
    """Least illuminance of an area in the state it names.

    Unit: lx. Formula: sum over steady lamps of I cos(theta) / d^2, the least of the points. Source: ies-cosine-law.
    Limit `asked`: `least` of the area. Fact `task`: as the area says.
    """
    yield from _areas(results, "minimum_lx", "least")


def scene_average(results: Results) -> Iterator[Reading]:
    """Average illuminance of an area in the state it names.

    Unit: lx. Formula: sum over steady lamps of I cos(theta) / d^2, averaged over equal cells. Source: ies-cosine-law.
    Limit `asked`: `average` of the area. Fact `task`: as the area says.
    """
    yield from _areas(results, "average_lx", "average")


def _areas(results: Results, key: str, asked: str) -> Iterator[Reading]:
    rows: tuple[SceneResult, ...] | None = None if results.light is None else results.light.result.scene
    areas = {area.id: area for area in results.rig.build.scene}
    for row in rows or ():
        area = areas[row.name]
        figure = getattr(area, asked)
        facts: dict[str, Fact] = {"task": row.task or "", "surface": "ground" if area.plane is None else "plane"}
        yield Reading(
            subject=row.name,
            value=getattr(row, key),
            file=area.where.file,
            line=area.where.line or None,
            limits=MappingProxyType({} if figure is None else {"asked": figure}),
            words=MappingProxyType({"title": row.title, "state": row.state}),
            facts=MappingProxyType(facts),
            figure=f"light.scene[{row.name}].{key}",
        )


_FACTS = MappingProxyType({"task": (), "surface": ("ground", "plane")})
MEASURES = tuple(
    Measure(
        name=take.__name__, per="area", unit="lx", take=take, limits=("asked",), words=("title", "state"), facts=_FACTS
    )
    for take in (scene_least, scene_average)
)
