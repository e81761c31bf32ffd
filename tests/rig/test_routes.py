"""Shortest ways against looking at every simple path."""

from __future__ import annotations

from itertools import pairwise, permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rigbook.documents.schema.vehicle import Routes
from rigbook.rig.routes import RouteGraph, route_graph

NODES = "abcdef"


def graph_of(lengths: dict[tuple[str, str], float]) -> RouteGraph:
    nodes = {name: ("0 m", "0 m", f"{index / 1000} m") for index, name in enumerate(NODES)}
    runs = [{"between": pair, "area": "cabin", "length": f"{length} m"} for pair, length in lengths.items()]
    return route_graph(routes=Routes.model_validate({"nodes": nodes, "runs": runs}))


def brute_m(lengths: dict[tuple[str, str], float], start: str, end: str) -> float | None:
    """Length of the shortest simple path, by trying every order of every subset of the other nodes."""
    both = lengths | {(b, a): length for (a, b), length in lengths.items()}
    if start == end:
        return 0.0
    best: float | None = None
    others = [name for name in NODES if name not in (start, end)]
    for count in range(len(others) + 1):
        for middle in permutations(others, count):
            stops = (start, *middle, end)
            steps = [both.get(pair) for pair in pairwise(stops)]
            if all(step is not None for step in steps):
                total = sum(step for step in steps if step is not None)
                best = total if best is None else min(best, total)
    return best


pairs = [(a, b) for i, a in enumerate(NODES) for b in NODES[i + 1 :]]
graphs = st.dictionaries(st.sampled_from(pairs), st.sampled_from([0.5, 1.0, 1.25, 2.0, 3.5]), max_size=12)


@given(graphs, st.sampled_from(NODES), st.sampled_from(NODES))
def test_the_way_is_as_short_as_the_best_of_all_paths(
    lengths: dict[tuple[str, str], float], start: str, end: str
) -> None:
    way = graph_of(lengths).shortest(start=start, end=end)
    best = brute_m(lengths, start, end)
    if best is None:
        assert way is None
        return
    assert way is not None
    assert way.length_m == pytest.approx(best)
    assert way.nodes[0] == start and way.nodes[-1] == end
    assert way.length_m == pytest.approx(sum(list(lengths.values())[run] for run in way.runs))
    assert len(way.nodes) == len(way.runs) + 1


@given(graphs, st.permutations(NODES))
def test_a_way_through_stops_is_its_legs_joined(lengths: dict[tuple[str, str], float], order: list[str]) -> None:
    start, middle, end = order[:3]
    graph = graph_of(lengths)
    way = graph.shortest(start=start, end=end, through=(middle,))
    legs = [graph.shortest(start=start, end=middle), graph.shortest(start=middle, end=end)]
    if None in legs:
        assert way is None
    else:
        assert way is not None and middle in way.nodes
        assert way.length_m == pytest.approx(sum(leg.length_m for leg in legs if leg is not None))


def test_of_two_runs_between_the_same_nodes_the_shorter_is_taken() -> None:
    routes = Routes.model_validate(
        {
            "nodes": {"a": ("0 m", "0 m", "0 m"), "b": ("1 m", "0 m", "0 m")},
            "runs": [
                {"between": ("a", "b"), "area": "bay", "length": "2 m"},
                {"between": ("b", "a"), "area": "cabin"},
            ],
        }
    )
    way = route_graph(routes=routes).shortest(start="a", end="b")
    assert way is not None and way.length_m == 1.0 and way.runs == (1,)


def test_equal_lengths_take_fewer_runs() -> None:
    way = graph_of({("a", "b"): 1.0, ("b", "c"): 1.0, ("a", "c"): 2.0}).shortest(start="a", end="c")
    assert way is not None and way.nodes == ("a", "c")


def test_an_unknown_node_has_no_way() -> None:
    assert graph_of({}).shortest(start="a", end="nowhere") is None


def test_of_two_runs_of_equal_length_the_first_is_taken() -> None:
    nodes = {"a": ("0 m", "0 m", "0 m"), "b": ("1 m", "0 m", "0 m")}
    runs = [{"between": ends, "area": "cabin", "length": "1 m"} for ends in (("a", "b"), ("b", "a"))]
    way = route_graph(routes=Routes.model_validate({"nodes": nodes, "runs": runs})).shortest(start="b", end="a")
    assert way is not None and way.runs == (0,)
