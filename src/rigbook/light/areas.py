"""The areas of a build that work light must reach: average, least, uniformity, in the state each names."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from rigbook.documents.schema.lighting import SceneArea
from rigbook.light.illuminance import FAR_FIELD_TIMES, Numbers
from rigbook.light.scene import Burning, Grid, Lighting, grid_of, lighting_of, reaching
from rigbook.light.sources import Unlit
from rigbook.rig.model import Rig, RigNote, SavedPoint


@dataclass(frozen=True, slots=True, kw_only=True)
class LampShare:
    """What one colour of one lamp adds to the average of an area, lx."""

    id: str
    average_lx: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """A point, m."""

    x_m: float
    y_m: float
    z_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SceneResult:
    """Light on one area in its state, at the middles of equal cells.

    average_lx, minimum_lx, maximum_lx: on the plane of the area (level on the ground), past the vehicle's outline.
    uniformity: least over average; None where all is dark. unshaded_average_lx: as if the outline hid nothing.
    vertical_…: on upright planes that face the vehicle at the same points of the ground; None on work planes.
    spacing_m: widest distance of neighbouring points. area_m2: what is not under the vehicle.
    """

    name: str
    title: str
    state: str
    task: str | None
    average_lx: float
    minimum_lx: float
    maximum_lx: float
    uniformity: float | None
    vertical_average_lx: float | None
    vertical_minimum_lx: float | None
    unshaded_average_lx: float
    area_m2: float
    spacing_m: float
    points: int
    least_at: Spot
    lamps: tuple[LampShare, ...]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Worked:
    """An area with the arrays behind its figures: lamps by points, lx."""

    area: SceneArea
    grid: Grid
    burning: tuple[Burning, ...]
    lux: Numbers
    """Lamp by point, on the plane of the area."""


def state_of(rig: Rig, saved: SavedPoint) -> tuple[int, ...]:
    """A saved state as indexes of values, one a variable."""
    values = list(rig.program.rest)
    for variable, value in saved.indexes:
        values[variable] = value
    return tuple(values)


def worked(lighting: Lighting, area: SceneArea, burning: Sequence[Burning] | None = None) -> Worked | None:
    """Light on an area by lamp, in its own state or of what burns; None where the vehicle covers all of it."""
    grid = grid_of(area, lighting.rig.vehicle)
    if not grid.points_m.shape[1]:
        return None
    if burning is None:
        saved = next(s for s in lighting.rig.states if s.id == area.state)
        burning = lighting.burning(state_of(lighting.rig, saved))
    burning = reaching(burning, inside=grid.inside)
    rows = [lighting.light((lamp,), grid.points_m, (grid.normal,), inside=grid.inside)[0] for lamp in burning]
    lux = np.array(rows) if rows else np.zeros((0, grid.points_m.shape[1]))
    return Worked(area=area, grid=grid, burning=burning, lux=lux)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Scene:
    """Every area of a build: its figures, the arrays behind them, what is to be told."""

    lighting: Lighting
    results: tuple[SceneResult, ...]
    worked: Mapping[str, Worked]
    notes: tuple[RigNote, ...]


def scene_of(rig: Rig, files: Mapping[str, bytes]) -> Scene:
    """Every area of the build, in file order; one that lies wholly under the vehicle has a note and no figures."""
    lighting, unlit = lighting_of(rig, files)
    found = {area.id: worked(lighting, area) for area in lighting.rig.build.scene}
    kept = {name: each for name, each in found.items() if each is not None}
    return Scene(
        lighting=lighting,
        results=tuple(result_of(lighting, each) for each in kept.values()),
        worked=kept,
        notes=tuple(_notes(lighting, found, unlit)),
    )


def result_of(lighting: Lighting, found: Worked) -> SceneResult:
    """The figures of one area."""
    area, grid, burning = found.area, found.grid, found.burning
    total = found.lux.sum(axis=0)
    least = int(total.argmin())
    average, minimum = float(total.mean()), float(total[least])
    open_sky = lighting.light(burning, grid.points_m, (grid.normal,), inside=grid.inside, shaded=False)[0]
    upright = None
    if grid.toward_vehicle is not None:
        upright = lighting.light(burning, grid.points_m, (grid.toward_vehicle,))[0]
    x, y, z = (float(v) for v in grid.points_m[:, least])
    return SceneResult(
        name=area.id,
        title=area.title or area.id,
        state=area.state,
        task=area.task,
        average_lx=average,
        minimum_lx=minimum,
        maximum_lx=float(total.max()),
        uniformity=minimum / average if average > 0 else None,
        vertical_average_lx=None if upright is None else float(upright.mean()),
        vertical_minimum_lx=None if upright is None else float(upright.min()),
        unshaded_average_lx=float(open_sky.mean()),
        area_m2=grid.cell_m2 * len(total),
        spacing_m=grid.spacing_m,
        points=len(total),
        least_at=Spot(x_m=x, y_m=y, z_m=z),
        lamps=tuple(
            LampShare(id=lamp.source.id, average_lx=float(row.mean()))
            for lamp, row in zip(burning, found.lux, strict=True)
            if row.any()
        ),
    )


def _notes(lighting: Lighting, found: Mapping[str, Worked | None], unlit: Sequence[Unlit]) -> Iterator[RigNote]:
    for area in lighting.rig.build.scene:
        each, where = found[area.id], area.where
        if each is None:
            says = f"{area.id} lies wholly under the vehicle: no point of it can be lit. Move its corners out."
            yield RigNote("scene-area-covered", area.id, "caution", says, where.file, where.line)
        elif near := _near(each):
            says = (
                f"{area.id} has points nearer to {_listed(near)} than {FAR_FIELD_TIMES:g} times the lamp's own size, "
                "where it is no longer a point: measure there"
            )
            yield RigNote("scene-lamp-near", area.id, "note", says, where.file, where.line, "published")
    yield from _dark(lighting, unlit)


def _near(found: Worked) -> list[str]:
    """Lamps nearer to a point they light than five times their own size."""
    near = []
    for lamp, row in zip(found.burning, found.lux, strict=True):
        if row.any():
            way = found.grid.points_m - np.array(lamp.source.at_m)[:, None]
            nearest = float(np.sqrt((way**2).sum(axis=0))[row > 0].min())
            if nearest < FAR_FIELD_TIMES * max(lamp.source.size_m):
                near.append(lamp.source.device_id)
    return near


def _dark(lighting: Lighting, unlit: Sequence[Unlit]) -> Iterator[RigNote]:
    """Lamps that burn in a state an area names, and whose light is not known."""
    told: set[tuple[str, str]] = set()
    for area in lighting.rig.build.scene:
        for lamp in unlit:
            key = (lamp.device_id, lamp.colour)
            if key not in told and lamp.colour in dict(lighting.steady_of(lamp.device_id, area.state)):
                told.add(key)
                says = f"the {lamp.colour} of {lamp.device_id} burns in {area.state} and counts as dark: {lamp.why}"
                where = area.where
                yield RigNote(
                    "scene-light-unknown", f"{lamp.device_id}.{lamp.colour}", "note", says, where.file, where.line
                )


def _listed(names: Sequence[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
