"""The ways cables may take: a graph of nodes and runs, and the shortest way through it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

import networkx as nx

from rigbook.documents.schema.vehicle import Routes
from rigbook.rig.model import Point
from rigbook.rig.places import as_point, distance_m


@dataclass(frozen=True, slots=True)
class Way:
    """A way through the graph: nodes passed, length of the runs in metres, runs as index of the vehicle's list."""

    nodes: tuple[str, ...]
    length_m: float
    runs: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class RouteGraph:
    """Nodes with their place, runs with length and area, and the graph over them."""

    nodes: Mapping[str, Point]
    lengths_m: tuple[float, ...]
    areas: tuple[str, ...]
    holes_m: tuple[float | None, ...]
    ends: tuple[tuple[str, str], ...]
    graph: nx.Graph[str]

    def shortest(self, *, start: str, end: str, through: Sequence[str] = ()) -> Way | None:
        """The shortest way that passes `through` in order; None where there is none.

        Equal lengths are decided by fewer runs, then by the order of the runs in the file.
        """
        stops = [start, *through, end]
        nodes: list[str] = [start]
        runs: list[int] = []
        for a, b in pairwise(stops):
            if a == b:
                continue
            leg = self._leg(a, b)
            if leg is None:
                return None
            nodes.extend(leg[1:])
            runs.extend(self.graph.edges[u, v]["run"] for u, v in pairwise(leg))
        return Way(nodes=tuple(nodes), length_m=sum(self.lengths_m[run] for run in runs), runs=tuple(runs))

    def _leg(self, start: str, end: str) -> list[str] | None:
        if start not in self.graph or end not in self.graph:
            return None
        try:
            found: list[str] = nx.dijkstra_path(self.graph, start, end, weight="weight")
        except nx.NetworkXNoPath:
            return None
        return found


def route_graph(*, routes: Routes) -> RouteGraph:
    """Build the graph. Of several runs between the same two nodes the shortest is taken, the first on a tie."""
    nodes = {name: as_point(at) for name, at in routes.nodes.items()}
    graph: nx.Graph[str] = nx.Graph()
    graph.add_nodes_from(nodes)
    lengths: list[float] = []
    for index, run in enumerate(routes.runs):
        a, b = run.between
        length_m = run.length if run.length is not None else distance_m(nodes[a], nodes[b])
        lengths.append(length_m)
        if graph.has_edge(a, b) and graph.edges[a, b]["length_m"] <= length_m:
            continue
        # a nanometre a run and less by its number decide ties the same way on every machine
        graph.add_edge(a, b, run=index, length_m=length_m, weight=length_m + 1e-9 + index * 1e-13)
    return RouteGraph(
        nodes=nodes,
        lengths_m=tuple(lengths),
        areas=tuple(run.area for run in routes.runs),
        holes_m=tuple(run.hole for run in routes.runs),
        ends=tuple(run.between for run in routes.runs),
        graph=graph,
    )
