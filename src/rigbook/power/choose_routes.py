"""Choosing routes: the shortest way through the route graph, its length, areas and bundles."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from rigbook.rig.model import Chosen, How, Point
from rigbook.rig.open_model import OpenRig
from rigbook.rig.places import distance_m
from rigbook.rig.plan import End, Plan, PlannedSegment
from rigbook.rig.report import Report
from rigbook.rig.routes import Way

AMBIENT_WITHOUT_AREA_C = 60.0
"""Where nothing names an area: the cabin's design ambient [common practice, no source]."""


@dataclass(frozen=True, slots=True)
class Routed:
    """A planned conductor with its way: length with drops and service loops, areas, hottest ambient, runs."""

    length_m: float
    nodes: tuple[str, ...]
    runs: tuple[int, ...]
    areas: tuple[str, ...]
    hottest_c: float
    how: How
    why: str


def choose_routes(open_rig: OpenRig, plan: Plan, report: Report) -> dict[str, Routed]:
    """A way for every planned conductor; where there is none, an error that names the device."""
    routed: dict[str, Routed] = {}
    for segment in plan.segments.values():
        found = _lead(open_rig, segment) if segment.lead is not None else _route(open_rig, segment, report)
        if found is not None:
            routed[segment.id] = found
    return routed


def _lead(open_rig: OpenRig, segment: PlannedSegment) -> Routed:
    assert segment.lead is not None
    areas = tuple(area for area in (segment.start.area,) if area is not None)
    return Routed(
        segment.lead.length_m, (), (), areas, _hottest(open_rig, areas), "lead", f"own lead, {segment.lead.name}"
    )


def _route(open_rig: OpenRig, segment: PlannedSegment, report: Report) -> Routed | None:
    start, end = segment.start, segment.end
    loops_m = 2.0 * open_rig.shop.service_loop
    if start.node is None or end.node is None or (segment.chained and start.node == end.node):
        return _straight(open_rig, segment, loops_m, report)
    waypoints, how, why = _waypoints(open_rig, segment, report)
    way = open_rig.graph.shortest(start=start.node, end=end.node, through=waypoints)
    if way is None and how == "settled":
        path = route_path(segment.settles)
        says = f"the settled route of {segment.subject} no longer leads through: another is chosen"
        report.note("settled-misfit", path, says, open_rig.settled_at[path], "caution")
        how, why = "auto", "shortest way"
        way = open_rig.graph.shortest(start=start.node, end=end.node)
    if way is None:
        says = f"{segment.subject}: no run of the vehicle leads from route node {start.node} to {end.node}"
        via = f" by {', '.join(waypoints)}" if waypoints else ""
        report.error(segment.where, says + via, found=segment.subject, expected="a way through `routes`")
        return None
    drops_m = _drop(open_rig, start) + _drop(open_rig, end)
    areas = _areas(open_rig, way, start, end)
    told = f"{why}: {way.length_m:.2f} m of runs, {drops_m:.2f} m to the ends, {loops_m:.2f} m service loops"
    return Routed(
        way.length_m + drops_m + loops_m, way.nodes, way.runs, areas, _hottest(open_rig, areas), how, told
    )  # fmt: skip


def _straight(open_rig: OpenRig, segment: PlannedSegment, loops_m: float, report: Report) -> Routed | None:
    start, end = segment.start, segment.end
    if not start.at or not end.at:
        without = start.point if not start.at else end.point
        report.error(segment.where, f"{segment.subject}: {without} has no place, so no wire can be measured to it")
        return None
    away = max(distance_m(a, b) for a in start.at for b in end.at) if not segment.chained else _pairwise(start, end)
    areas = tuple(dict.fromkeys(area for area in (start.area, end.area) if area is not None))
    nodes = (start.node,) if segment.chained and start.node is not None else ()
    why = f"straight, {away:.2f} m, and {loops_m:.2f} m service loops"
    return Routed(away + loops_m, nodes, (), areas, _hottest(open_rig, areas), "auto", why)


def _pairwise(start: End, end: End) -> float:
    """Neighbours of a row move together, pose by pose."""
    return max(distance_m(a, b) for a, b in zip(start.at, end.at, strict=False))


def route_path(settles: str) -> str:
    """Path of a conductor's route in `settled:`, from the path of its wire."""
    return settles.replace(".wire", ".route", 1)


def _waypoints(open_rig: OpenRig, segment: PlannedSegment, report: Report) -> tuple[tuple[str, ...], How, str]:
    if segment.waypoints:
        return segment.waypoints, "set", f"by {', '.join(segment.waypoints)} as set"
    path = route_path(segment.settles)
    settled = open_rig.settled.get(path)
    if settled is None:
        return (), "auto", "shortest way"
    nodes = tuple(settled.split())
    if all(node in open_rig.graph.nodes for node in nodes):
        return nodes, "settled", "settled earlier"
    says = f"the settled route of {segment.subject} names a route node that is not there: another is chosen"
    report.note("settled-misfit", path, says, open_rig.settled_at[path], "caution")
    return (), "auto", "shortest way"


def _drop(open_rig: OpenRig, end: End) -> float:
    """From the route node to the thing itself, in the pose that asks for most."""
    assert end.node is not None
    node: Point = open_rig.graph.nodes[end.node]
    return max((distance_m(node, at) for at in end.at), default=0.0)


def _areas(open_rig: OpenRig, way: Way, start: End, end: End) -> tuple[str, ...]:
    passed = [start.area, *(open_rig.graph.areas[run] for run in way.runs), end.area]
    return tuple(dict.fromkeys(area for area in passed if area is not None))


def _hottest(open_rig: OpenRig, areas: tuple[str, ...]) -> float:
    return max((open_rig.ambient_c[area] for area in areas), default=AMBIENT_WITHOUT_AREA_C)


def load_runs(plan: Plan, routed: Mapping[str, Routed]) -> dict[int, int]:
    """Conductors loaded at once in each run.

    Every conductor that carries current counts, returns too; signal and sense wires do not, and the colour
    wires of a head that shows one colour at a time count once.
    """
    on_run: dict[int, set[str]] = {}
    for name, segment in plan.segments.items():
        if segment.role == "signal" or segment.nameplate_a <= 0 or name not in routed:
            continue
        for run in routed[name].runs:
            on_run.setdefault(run, set()).add(segment.loads_with)
    return {run: len(names) for run, names in on_run.items()}


def stretches_of(
    open_rig: OpenRig, segment: PlannedSegment, routed: Routed, on_run: Mapping[int, int]
) -> tuple[tuple[float, int], ...]:
    """(ambient in C, conductors loaded at once) of every stretch of a conductor's way, its ends by themselves."""
    own = 0 if segment.role != "signal" and segment.nameplate_a > 0 else 1
    found = [
        (open_rig.ambient_c[open_rig.graph.areas[run]], on_run.get(run, 0) + own) for run in dict.fromkeys(routed.runs)
    ]
    ends = [open_rig.ambient_c[end.area] for end in (segment.start, segment.end) if end.area is not None]
    found.append((max(ends), 1) if ends else (routed.hottest_c, 1))
    return tuple(dict.fromkeys(found))


def settled_chosen(routed: Routed) -> Chosen:
    """The route as a choice."""
    return Chosen(routed.nodes, routed.how, routed.why)
