"""The ways cables may take: a graph of nodes and runs, and the shortest way through it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from heapq import heappop, heappush
from itertools import pairwise

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
    """Nodes with their place, runs with length and area, and from each node the nodes one run away."""

    nodes: Mapping[str, Point]
    lengths_m: tuple[float, ...]
    areas: tuple[str, ...]
    holes_m: tuple[float | None, ...]
    ends: tuple[tuple[str, str], ...]
    beside: Mapping[str, Mapping[str, int]]

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
            runs.extend(self.beside[u][v] for u, v in pairwise(leg))
        return Way(nodes=tuple(nodes), length_m=sum(self.lengths_m[run] for run in runs), runs=tuple(runs))

    def _leg(self, start: str, end: str) -> tuple[str, ...] | None:
        """Dijkstra's search. Importing a library of graphs for it takes longer than checking a small build."""
        if start not in self.beside or end not in self.beside:
            return None
        waiting: list[tuple[float, tuple[str, ...]]] = [(0.0, (start,))]
        done: set[str] = set()
        while waiting:
            weight, way = heappop(waiting)
            if way[-1] == end:
                return way
            if way[-1] in done:
                continue
            done.add(way[-1])
            for node, run in self.beside[way[-1]].items():
                if node not in done:
                    # a nanometre a run and less by its number decide ties the same way on every machine
                    heappush(waiting, (weight + self.lengths_m[run] + 1e-9 + run * 1e-13, (*way, node)))
        return None


def route_graph(*, routes: Routes) -> RouteGraph:
    """Build the graph. Of several runs between the same two nodes the shortest is taken, the first on a tie."""
    nodes = {name: as_point(at) for name, at in routes.nodes.items()}
    beside: dict[str, dict[str, int]] = {name: {} for name in nodes}
    lengths: list[float] = []
    for index, run in enumerate(routes.runs):
        a, b = run.between
        lengths.append(run.length if run.length is not None else distance_m(nodes[a], nodes[b]))
        if b in beside[a] and lengths[beside[a][b]] <= lengths[index]:
            continue
        beside[a][b] = beside[b][a] = index
    return RouteGraph(
        nodes=nodes,
        lengths_m=tuple(lengths),
        areas=tuple(run.area for run in routes.runs),
        holes_m=tuple(run.hole for run in routes.runs),
        ends=tuple(run.between for run in routes.runs),
        beside=beside,
    )
