"""The harness build sheet against the rig it is made from."""

from __future__ import annotations

import math

import pytest

from rigbook.papers import harness
from rigbook.papers.wire_ends import NONE
from tests.papers.example_builds import BUILDS, desk


@pytest.mark.parametrize("build", BUILDS)
def test_every_wire_of_the_rig_is_cut_once(build: str) -> None:
    made, rig = desk(build).harness, desk(build).rig
    wanted = sorted(name for name, s in rig.segments.items() if s.role != "lead")
    assert sorted(c.segment.id for c in made.cuts) == wanted and wanted


@pytest.mark.parametrize("build", BUILDS)
def test_labels_are_unique_and_stand_at_both_ends(build: str) -> None:
    texts = [e.text for c in desk(build).harness.cuts for e in c.label.ends]
    assert len(texts) == len(set(texts)) == 2 * len(desk(build).harness.cuts)


@pytest.mark.parametrize("build", BUILDS)
def test_every_end_can_be_made_from_the_catalogue_and_every_colour_from_stock(build: str) -> None:
    rig = desk(build).rig
    for cut in desk(build).harness.cuts:
        gauge = cut.segment.conductor.gauge
        for end in (cut.start, cut.end):
            assert end.terminal != NONE, f"{cut.segment.id} has no terminal at {end.node}"
            low, high = rig.parts[end.terminal].gauges
            assert low <= gauge <= high
        stock = next((w.colours for w in rig.shop.wires if w.gauge == gauge), None)
        if stock is None:
            assert cut.colour == harness.NOT_IN_STOCK and build == "planted-faults"
            continue
        assert cut.colour in stock
        assert (cut.colour == "black") == (cut.segment.role == "return")


@pytest.mark.parametrize("build", BUILDS)
def test_cut_lengths_are_rounded_up_by_less_than_a_step(build: str) -> None:
    for cut in desk(build).harness.cuts:
        inches = cut.segment.length_m / 0.0254
        assert inches - 1e-6 <= cut.length_m < inches + 0.5 and cut.length_m * 2 == int(cut.length_m * 2)


@pytest.mark.parametrize("build", BUILDS)
def test_bundles_hold_every_wire_and_are_as_thick_as_their_wires(build: str) -> None:
    made, rig = desk(build).harness, desk(build).rig
    assert sum(b.wires for b in made.bundles) == len(made.cuts)
    for bundle in made.bundles:
        wires = [c.segment for c in made.cuts if c.bundle == bundle.id]
        if any(w.conductor.part_id is None for w in wires):
            continue
        squares = sum(rig.parts[w.conductor.part_id].outside_diameter ** 2 for w in wires)
        assert bundle.diameter_m == pytest.approx(math.sqrt(squares) * (harness.FILL if len(wires) > 1 else 1.0))


def test_a_chain_of_rows_meets_in_splices_that_name_all_their_wires() -> None:
    made = desk("flood-support-van").harness
    assert made.splices
    by_id = {s.id: s for s in made.splices}
    for splice in made.splices:
        touching = [c for c in made.cuts if splice.at in (c.segment.from_point, c.segment.to_point)]
        assert len(touching) == len(splice.labels) >= 2
        assert all(splice.id in c.splice.split(", ") for c in touching)
    assert {s for c in made.cuts for s in c.splice.split(", ")} - {"none"} == set(by_id)


def test_the_link_names_the_fuse_at_either_end() -> None:
    made, rig = desk("flood-support-van").harness, desk("flood-support-van").rig
    link = rig.links["bank-link"]
    fuses = {c.segment.id: c.fuse_a for c in made.cuts if c.label.circuit == "bank-link"}
    assert fuses == {link.segments[0]: link.start_fuse_a, link.segments[1]: link.end_fuse_a}
