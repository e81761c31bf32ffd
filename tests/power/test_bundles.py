"""Bundles of runs: what lies in them, how thick they are, what they pass through."""

from __future__ import annotations

import math

import pytest

from rigbook.power import bundles
from rigbook.power.conductors import bundle_diameter_mm
from rigbook.quantities.gauge import parse_gauge
from rigbook.rig.routes import route_graph
from tests.power.cars import FEEDS, ROWS
from tests.rig.small import VEHICLE, build_text, worked

HOLED = VEHICLE.replace("area: bay, length: 1.8 m}", "area: bay, length: 1.8 m, hole: 20 mm}")


def test_every_conductor_lies_in_the_runs_of_its_route_and_in_no_other() -> None:
    rig = worked(build_text(install=ROWS, feeds=FEEDS), vehicle=HOLED)
    graph = route_graph(routes=rig.vehicle.routes)
    found = {bundle.id: bundle for bundle in bundles.bundles(rig)}
    assert set(found) == {"front-middle", "middle-rear"}
    for segment in rig.segments.values():
        pairs = {frozenset(pair) for pair in zip(segment.route, segment.route[1:], strict=False)}
        for run, ends in enumerate(graph.ends):
            name = bundles.bundle_id(graph, run)
            inside = name in found and segment.id in found[name].segments
            assert inside == (frozenset(ends) in pairs and segment.role != "lead")
    assert sum(bundle.conductors for bundle in found.values()) > 10


def test_a_bundle_by_hand() -> None:
    rig = worked(build_text(install=ROWS, feeds=FEEDS), vehicle=HOLED)
    bundle = next(each for each in bundles.bundles(rig) if each.id == "front-middle")
    wires = [1000 * bundles.outside_m(rig, rig.segments[name]) for name in bundle.segments]
    assert bundle.hole_m == 0.02
    assert bundle.fill_fraction == pytest.approx(sum(d * d for d in wires) / 400)
    expected = bundle_diameter_mm(diameters_mm=wires) if len(wires) > 7 else bundles.bundle_mm(diameters_mm=wires)
    assert bundle.outside_m == pytest.approx(expected / 1000)
    assert bundle.loaded <= bundle.conductors == len(wires)
    assert bundle.loom_m is not None and bundle.loom_m >= bundle.outside_m


@pytest.mark.outside
def test_bundle_of_sixteen_of_the_wire_makers_table() -> None:
    """10 TXL 18, 4 TXL 14 and 2 TXL 10, k 1.2: 11.85 mm nominal, 12.56 mm at most."""
    assert bundles.bundle_mm(diameters_mm=[2.0] * 10 + [2.6] * 4 + [3.9] * 2) == pytest.approx(11.85, abs=0.005)
    assert bundles.bundle_mm(diameters_mm=[2.2] * 10 + [2.7] * 4 + [4.0] * 2) == pytest.approx(12.56, abs=0.005)


@pytest.mark.parametrize(
    ("size", "mm", "mark"),
    [
        ("18 AWG", 2.5, "published"),
        ("10 AWG", 4.7, "published"),
        ("8 AWG", 6.0, "published"),
        ("22 AWG", 2.4, "published"),
        ("6 AWG", 8.3, "published"),
        ("2/0 AWG", 15.5, "memory"),
        ("2.5 mm2", 3.6, "published"),
        ("0.22 mm2", 1.2, "memory"),
        ("95 mm2", 16.7, "memory"),
    ],
)
def test_diameters_over_the_insulation_as_printed(size: str, mm: float, mark: str) -> None:
    assert bundles.printed_outside_mm(gauge=parse_gauge(size)) == (mm, mark)


def test_no_diameter_is_printed_beyond_the_table() -> None:
    with pytest.raises(ValueError, match="no diameter"):
        bundles.printed_outside_mm(gauge=parse_gauge("150 mm2"))


def test_looms() -> None:
    assert [bundles.loom_mm(outside_mm=each) for each in (4.9, 5.0, 5.1, 50.0, 50.1)] == [5, 5, 7, 50, None]


def test_fill_of_a_hole() -> None:
    assert bundles.fill(diameters_m=[0.003, 0.004], hole_m=0.01) == pytest.approx(0.25)
    assert math.isclose(bundles.fill(diameters_m=[0.01], hole_m=0.01), 1.0)
    with pytest.raises(ValueError, match="wider"):
        bundles.fill(diameters_m=[0.01], hole_m=0.0)
