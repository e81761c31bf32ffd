"""Figures of bundles worked through."""

from __future__ import annotations

import re
from collections import Counter

from rigbook.power import bundles, circles
from rigbook.power.bundles import Bundle
from rigbook.quantities.working import Input, Working
from rigbook.rig.model import Rig
from rigbook.rig.routes import route_graph

BUNDLE = re.compile(r"power\.bundles\[([^\]]+)\]\.(outside_m|loom_m|hole_m|fill_fraction)")


def explain_bundle(rig: Rig, figure_id: str, name: str, key: str) -> Working:
    """One figure of one bundle. KeyError where the block gives none."""
    found = next((each for each in bundles.bundles(rig) if each.id == name), None)
    value = None if found is None else getattr(found, key)
    if found is None or value is None:
        raise KeyError(figure_id)
    if key == "outside_m":
        return _outside(rig, figure_id, found)
    if key == "loom_m":
        return Working(
            figure_id=figure_id, title=f"Loom round the bundle {name}", unit="m", result=value,
            formula="smallest inside diameter in stock that closes round it", source="practice-wiring",
            sourced="common practice", steps=(_outside(rig, "", found),),
        )  # fmt: skip
    if key == "hole_m":
        graph = route_graph(routes=rig.vehicle.routes)
        where = next(r.where for r in rig.vehicle.routes.runs if "-".join(r.between) == name and r.hole is not None)
        assert name in {bundles.bundle_id(graph, run) for run in range(len(graph.ends))}
        return Working(figure_id=figure_id, title=f"Hole of the run {name}", formula="as entered", result=value, unit="m",
                       source=f"{where.file}:{where.line}")  # fmt: skip
    return Working(
        figure_id=figure_id, title=f"How full the hole of the run {name} is", formula="sum of d2 / hole2", result=value,
        unit="fraction",
        inputs=(*_wires(rig, found), Input(symbol="hole", meaning="as entered", value=found.hole_m, unit="m")),
    )  # fmt: skip


def _wires(rig: Rig, found: Bundle) -> tuple[Input, ...]:
    counted = Counter(
        (str(rig.segments[name].conductor.gauge), bundles.outside_m(rig, rig.segments[name]),
         rig.segments[name].conductor.part_id or "") for name in found.segments
    )  # fmt: skip
    return tuple(
        Input(symbol="d", meaning=f"{count} of {gauge}", value=diameter_m, unit="m", source=part)
        for (gauge, diameter_m, part), count in counted.items()
    )


def _outside(rig: Rig, figure_id: str, found: Bundle) -> Working:
    few = found.conductors <= circles.MOST
    return Working(
        figure_id=figure_id, title=f"Bundle of {found.conductors} wires in the run {found.id}", unit="m",
        formula="the circle that holds them" if few else "1.2 x sqrt(sum of d2)", inputs=_wires(rig, found),
        result=found.outside_m, source="circle-packing" if few else "bundle-diameter",
        sourced="published" if few else "common practice",
        steps=("of one size in closed form; of several laid one by one, at most 0.2 % above",) if few else (),
    )  # fmt: skip
