"""Each figure of scene light worked through like a hand calculation, from the arrays that gave it."""

from __future__ import annotations

import re

import numpy as np

from rigbook.light.areas import Scene, SceneResult, Worked
from rigbook.light.illuminance import Numbers
from rigbook.light.scene import Burning
from rigbook.quantities.working import Input, Sourced, Working

LAW = "ies-cosine-law"
_FIGURE = re.compile(r"light\.scene\[([^\]]+)\]\.([a-z0-9_.]+)")
_LAMP = re.compile(r"light\.scene\[([^\]]+)\]\.lamps\[([^\]]+)\]\.average_lx")
NOTHING = 1e-9
"""Share of a figure below which a lamp is left out of its calculation."""
HOW = {"file": "its photometric file", "beam": "the beam model", "lumens": "a cosine lobe of its lumens"}


def explain(figure_id: str, scene: Scene) -> Working:
    """How a figure of `light.scene` was worked out. KeyError for an id it does not give."""
    if match := _LAMP.fullmatch(figure_id):
        found, _ = _area(scene, figure_id, match.group(1))
        for lamp, row in zip(found.burning, found.lux, strict=True):
            if lamp.source.id == match.group(2):
                return _lamp_average(figure_id, found, lamp, row)
        raise KeyError(figure_id)
    match = _FIGURE.fullmatch(figure_id)
    if match is None:
        raise KeyError(figure_id)
    found, result = _area(scene, figure_id, match.group(1))
    key = match.group(2)
    if key in ("average_lx", "unshaded_average_lx", "vertical_average_lx"):
        return _average(figure_id, scene, found, result, key)
    if key in ("minimum_lx", "maximum_lx", "vertical_minimum_lx"):
        return _at_point(figure_id, scene, found, result, key)
    return _plain(figure_id, found, result, key)


def _area(scene: Scene, figure_id: str, name: str) -> tuple[Worked, SceneResult]:
    for result in scene.results:
        if result.name == name:
            return scene.worked[name], result
    raise KeyError(figure_id)


def _grid_input(found: Worked) -> Input:
    count = found.grid.points_m.shape[1]
    where = found.area.where
    return Input(symbol="n", meaning=f"points at the middles of equal cells, at most {found.grid.spacing_m:g} m apart",
                 value=count, unit="", source=f"{where.file}:{where.line}")  # fmt: skip


def _sourced(lamp: Burning) -> Sourced:
    return "computed" if lamp.source.how == "file" else "common practice"


def _title(result: SceneResult) -> str:
    return f"{result.title}, in the state {result.state}"


def _average(figure_id: str, scene: Scene, found: Worked, result: SceneResult, key: str) -> Working:
    rows = found.lux
    what = "Average illuminance"
    if key != "average_lx":
        upright = found.grid.toward_vehicle if key == "vertical_average_lx" else None
        if key == "vertical_average_lx" and upright is None:
            raise KeyError(figure_id)
        rows = _rows(scene, found, upright, shaded=key != "unshaded_average_lx")
        what = (
            "Average on upright planes that face the vehicle" if upright is not None else "Average, nothing in the way"
        )
    inputs = tuple(
        Input(symbol="E", meaning=f"average by {lamp.source.id}, by {HOW[lamp.source.how]}", value=float(row.mean()),
              unit="lx", sourced=_sourced(lamp))
        for lamp, row in zip(found.burning, rows, strict=True)
        if row.mean() > NOTHING * rows.sum(axis=0).mean()
    )  # fmt: skip
    return Working(
        figure_id=figure_id, title=f"{what}: {_title(result)}", formula="Eavg = sum over lamps of (sum over points of E) / n",
        inputs=(*inputs, _grid_input(found)), result=float(rows.sum(axis=0).mean()), unit="lx", source=LAW,
        steps=("At each point E = I cos(theta) / d^2 by every lamp that burns steadily; flashing lamps do not count.",),
    )  # fmt: skip


def _rows(scene: Scene, found: Worked, normals: Numbers | None, *, shaded: bool) -> Numbers:
    """Illuminance by lamp and point, on other planes or with nothing in the way."""
    grid, lighting = found.grid, scene.lighting
    planes = (grid.normal,) if normals is None else (normals,)
    rows = [
        lighting.light((lamp,), grid.points_m, planes, inside=grid.inside, shaded=shaded)[0] for lamp in found.burning
    ]
    return np.array(rows) if rows else np.zeros((0, grid.points_m.shape[1]))


def _at_point(figure_id: str, scene: Scene, found: Worked, result: SceneResult, key: str) -> Working:
    grid, rows = found.grid, found.lux
    normal = np.array(grid.normal)
    if key == "vertical_minimum_lx":
        if grid.toward_vehicle is None:
            raise KeyError(figure_id)
        rows = _rows(scene, found, grid.toward_vehicle, shaded=True)
    total = rows.sum(axis=0)
    place = int(total.argmax() if key == "maximum_lx" else total.argmin())
    if key == "vertical_minimum_lx" and grid.toward_vehicle is not None:
        normal = grid.toward_vehicle[:, place]
    point = grid.points_m[:, place]
    steps = tuple(
        _one_lamp(figure_id, found, lamp, point, normal, float(row[place]))
        for lamp, row in zip(found.burning, rows, strict=True)
        if row[place] > NOTHING * total[place]
    )
    inputs = tuple(
        Input(symbol="E", meaning=step.title, value=step.result, unit="lx", sourced=step.least_sure) for step in steps
    )
    word = {"minimum_lx": "Least illuminance", "maximum_lx": "Greatest illuminance",
            "vertical_minimum_lx": "Least on upright planes that face the vehicle"}[key]  # fmt: skip
    at = ", ".join(f"{axis} {value:.3f} m" for axis, value in zip("xyz", point, strict=True))
    return Working(
        figure_id=figure_id, title=f"{word}: {_title(result)}", formula="E = sum over lamps of I cos(theta) / d^2",
        inputs=inputs, result=float(total[place]), unit="lx", source=LAW, steps=(f"At {at}, of", *steps),
    )  # fmt: skip


def _one_lamp(figure_id: str, found: Worked, lamp: Burning, point: Numbers, normal: Numbers, lux: float) -> Working:
    beam = lamp.beam(inside=found.grid.inside)
    way = np.array(beam.at) - point
    distance = float(np.sqrt(way @ way))
    candela = float(lamp.source.candela(-way)) * lamp.share
    return Working(
        figure_id=figure_id, title=f"by {lamp.source.id}", formula="E = I cos(theta) / d^2", result=lux, unit="lx",
        source=LAW,
        inputs=(
            Input(symbol="I", meaning=f"toward the point, by {HOW[lamp.source.how]}, glass and intensity counted",
                  value=candela, unit="cd", source=f"{lamp.source.file}:{lamp.source.line}", sourced=_sourced(lamp)),
            Input(symbol="d", meaning="distance", value=distance, unit="m"),
            Input(symbol="cos(theta)", meaning="of the light against the upright of the plane",
                  value=float(normal @ way) / distance, unit=""),
        ),
    )  # fmt: skip


def _lamp_average(figure_id: str, found: Worked, lamp: Burning, row: Numbers) -> Working:
    if not row.any():
        raise KeyError(figure_id)
    return Working(
        figure_id=figure_id, title=f"What {lamp.source.id} adds to the average of {found.area.id}",
        formula="E = (sum over points of I cos(theta) / d^2) / n", result=float(row.mean()), unit="lx", source=LAW,
        sourced=_sourced(lamp),
        inputs=(
            Input(symbol="sum E", meaning=f"over the points, by {HOW[lamp.source.how]}", value=float(row.sum()), unit="lx"),
            _grid_input(found),
        ),
    )  # fmt: skip


def _plain(figure_id: str, found: Worked, result: SceneResult, key: str) -> Working:
    grid = found.grid
    ways: dict[str, tuple[str, str, float | None, str]] = {
        "uniformity": ("Uniformity", "U0 = Emin / Eavg", result.uniformity, "1"),
        "area_m2": ("Area", "A = n * cell", grid.cell_m2 * grid.points_m.shape[1], "m2"),
        "spacing_m": ("Widest distance of the points", "side / cells along it", grid.spacing_m, "m"),
        "least_at.x_m": ("Where it is darkest", "the first point with the least illuminance", result.least_at.x_m, "m"),
        "least_at.y_m": ("Where it is darkest", "the first point with the least illuminance", result.least_at.y_m, "m"),
        "least_at.z_m": ("Where it is darkest", "the first point with the least illuminance", result.least_at.z_m, "m"),
    }
    if key not in ways or ways[key][2] is None:
        raise KeyError(figure_id)
    word, formula, value, unit = ways[key]
    inputs: tuple[Input, ...] = (_grid_input(found),)
    if key == "uniformity":
        inputs = (Input(symbol="Emin", meaning="least", value=result.minimum_lx, unit="lx"),
                  Input(symbol="Eavg", meaning="average", value=result.average_lx, unit="lx"))  # fmt: skip
    elif key == "area_m2":
        inputs = (*inputs, Input(symbol="cell", meaning="what one point stands for", value=grid.cell_m2, unit="m2"))
    return Working(figure_id=figure_id, title=f"{word}: {_title(result)}", formula=formula, inputs=inputs, result=value,
                   unit=unit)  # fmt: skip
