"""Bundles: which conductors share each run, how thick that makes the bundle, and whether hole and loom take it."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache

from rigbook.power import circles, conductors
from rigbook.quantities.gauge import Gauge
from rigbook.quantities.tables import Mark, read_table
from rigbook.rig.model import Rig, Segment
from rigbook.rig.routes import RouteGraph, route_graph

OUTSIDE = "sae-j1128-outside-diameter"
METRIC_OUTSIDE = "iso-6722-resistance"
LOOMS = "loom-sizes"
PACKING = 1.2
"""Factor of a round bundle by the formula (source: bundle-diameter)."""


@dataclass(frozen=True, slots=True)
class Bundle:
    """The conductors of one run.

    loaded: those that carry current at once. outside_m: over the wires, laid round. loom_m: smallest loom that closes
    round it, by its inside diameter; None beyond the largest. hole_m: as entered. fill_fraction: area of the wires over
    that of the hole.
    """

    id: str
    area: str
    conductors: int
    loaded: int
    outside_m: float
    loom_m: float | None
    hole_m: float | None
    fill_fraction: float | None
    segments: tuple[str, ...]


# --- plain numbers ----------------------------------------------------------------------------------


@cache
def printed_outside_mm(*, gauge: Gauge) -> tuple[float, Mark]:
    """Greatest diameter over the insulation in mm of a stock wire that states none, and its mark.

    20 to 8 AWG: type GXL (j1128-wire); a size in mm2 and larger AWG: thick wall of iso-6722, else thin, the printed size
    of at least that much copper. Thinner than 20 AWG as 20 AWG. ValueError above 120 mm2.
    """
    table = read_table(OUTSIDE)
    sizes = [(conductors.awg_of(label=row["awg"]), float(row["gxl_max"])) for row in table.records()]
    thickest = sizes[-1][0]
    if gauge.system == "AWG" and gauge.area_mm2 <= thickest.area_mm2 * (1 + 1e-9):
        return next(mm for size, mm in sizes if size.area_mm2 >= gauge.area_mm2 * (1 - 1e-9)), table.mark
    metric = read_table(METRIC_OUTSIDE)
    for record in metric.records():
        if float(record["mm2"]) >= gauge.area_mm2 * (1 - 1e-9):
            mark: Mark = "memory" if record["mark"] == "memory" else "published"
            return float(record["thick_wall_max_od_mm"] or record["thin_wall_max_od_mm"]), mark
    raise ValueError(f"no diameter over the insulation is printed for {gauge}")


def bundle_mm(*, diameters_mm: Sequence[float]) -> float:
    """Diameter in mm of a round bundle: up to seven wires by the circle that holds them, else 1.2 sqrt(sum d2).

    Source: circle packing; bundle-diameter above seven (common practice). ValueError for an empty bundle.
    """
    if len(diameters_mm) <= circles.MOST:
        return circles.enclosing_diameter(diameters=diameters_mm)
    return conductors.bundle_diameter_mm(diameters_mm=diameters_mm, k=PACKING)


def loom_mm(*, outside_mm: float) -> float | None:
    """Inside diameter in mm of the smallest loom that closes round a bundle; None beyond the largest.

    Source: practice-wiring, the table loom-sizes.
    """
    sizes = sorted(float(row["inside_mm"]) for row in read_table(LOOMS).records())
    return next((size for size in sizes if size >= outside_mm), None)


def fill(*, diameters_m: Sequence[float], hole_m: float) -> float:
    """Area of round wires over that of a hole. ValueError for a hole of no width."""
    if hole_m <= 0:
        raise ValueError("the hole must be wider than 0 m")
    return math.fsum(each * each for each in diameters_m) / (hole_m * hole_m)


# --- of a rig -----------------------------------------------------------------------------------------


def outside_m(rig: Rig, segment: Segment) -> float:
    """Diameter over the insulation of a conductor in m: the stock part's own, else as printed for its size."""
    part = rig.parts.get(segment.conductor.part_id or "")
    own = getattr(part, "outside_diameter", None)
    return float(own) if own else printed_outside_mm(gauge=segment.conductor.gauge)[0] / 1000.0


def runs_of(graph: RouteGraph, segment: Segment) -> tuple[int, ...]:
    """Runs a conductor passes, by their index in the vehicle's list, each once."""
    pairs = zip(segment.route, segment.route[1:], strict=False)
    return tuple(dict.fromkeys(graph.beside[a][b] for a, b in pairs if b in graph.beside.get(a, {})))


def on_runs(rig: Rig, graph: RouteGraph) -> Mapping[int, tuple[Segment, ...]]:
    """Conductors in each run that holds any, devices' own leads aside, by the vehicle's order of runs."""
    found: dict[int, list[Segment]] = {}
    for segment in rig.segments.values():
        if segment.role != "lead":
            for run in runs_of(graph, segment):
                found.setdefault(run, []).append(segment)
    return {run: tuple(found[run]) for run in sorted(found)}


def bundle_id(graph: RouteGraph, run: int) -> str:
    """A run by its two nodes, as the vehicle names them."""
    return "-".join(graph.ends[run])


def bundles(rig: Rig) -> tuple[Bundle, ...]:
    """Every run with conductors in it."""
    graph = route_graph(routes=rig.vehicle.routes)
    return tuple(_bundle(rig, graph, run, segments) for run, segments in on_runs(rig, graph).items())


def _bundle(rig: Rig, graph: RouteGraph, run: int, segments: tuple[Segment, ...]) -> Bundle:
    wires_m = [outside_m(rig, segment) for segment in segments]
    outside = bundle_mm(diameters_mm=[1000.0 * each for each in wires_m]) / 1000.0
    loom, hole = loom_mm(outside_mm=1000.0 * outside), graph.holes_m[run]
    loaded = sum(segment.role != "signal" and segment.nameplate_a > 0 for segment in segments)
    return Bundle(
        id=bundle_id(graph, run),
        area=graph.areas[run],
        conductors=len(segments),
        loaded=loaded,
        outside_m=outside,
        loom_m=None if loom is None else loom / 1000.0,
        hole_m=hole,
        fill_fraction=None if hole is None else fill(diameters_m=wires_m, hole_m=hole),
        segments=tuple(segment.id for segment in segments),
    )
