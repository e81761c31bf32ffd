"""Leads that no circuit feeds: each thing that has one has it once; lengths by hand along the route graph."""

from __future__ import annotations

from dataclasses import replace

import pytest

from rigbook.rig.leads import SignalLead, leads_of
from rigbook.rig.model import Rig
from tests.papers.example_builds import BUILDS, desk


def found(rig: Rig) -> dict[str, SignalLead]:
    leads = leads_of(rig)
    by_id = {lead.id: lead for lead in leads}
    assert len(by_id) == len(leads), "no lead stands twice"
    return by_id


@pytest.mark.parametrize("build", BUILDS)
def test_every_input_controller_amplifier_antenna_and_head_has_its_lead(build: str) -> None:
    rig = desk(build).rig
    leads = found(rig)
    wanted = {f"{u.module_id}.in{u.input}" for u in rig.inputs}
    for d in rig.devices.values():
        if d.inside_of is None and (d.index or 1) == 1:
            named = (("data link", d.controller), ("speaker", d.amplifier), ("antenna", d.antenna))
            wanted |= {f"{d.id}:{kind}" for kind, other in named if other in rig.devices}
            wanted |= {f"{d.id}:remote head"} if d.head_at else set()
    assert set(leads) == wanted
    assert len(leads) >= 8 or build == "planted-faults"


def test_all_leads_of_the_three_good_builds_have_a_length_and_both_ends() -> None:
    looked = 0
    for build in BUILDS:
        if build == "planted-faults":
            continue
        for lead in found(desk(build).rig).values():
            assert lead.length_m is not None, lead
            assert lead.length_m > 2 * desk(build).rig.shop.service_loop - 1e-9
            assert lead.start.node and lead.end.node
            assert not lead.note
            looked += 1
    assert looked > 40


def test_a_length_by_hand() -> None:
    """The way between the route nodes, the drops to both ends, two service loops."""
    rig = desk("flood-support-van").rig
    lead = found(rig)["panel-rear:data link"]
    nodes = dict(rig.vehicle.routes.nodes.items())

    def away(a: tuple[float, ...], b: tuple[float, ...]) -> float:
        return sum((x - y) ** 2 for x, y in zip(a, b, strict=True)) ** 0.5

    run = {frozenset(r.between): r for r in rig.vehicle.routes.runs}
    way = 0.0
    for a, b in zip(lead.route, lead.route[1:], strict=False):
        own = run[frozenset((a, b))]
        way += own.length if own.length is not None else away(nodes[a], nodes[b])
    drops = 0.0
    for end in (lead.start, lead.end):
        at = rig.devices[end.device].placement.at
        drops += away(nodes[end.node], (at.x_m, at.y_m, at.z_m))  # type: ignore[index]
    assert lead.length_m == pytest.approx(way + drops + 2 * rig.shop.service_loop)


def test_speakers_are_fed_from_their_amplifier_and_links_lead_to_their_port() -> None:
    leads = found(desk("flood-support-van").rig)
    speaker = leads["siren-speaker-left:speaker"]
    assert (speaker.start.device, speaker.end.device) == ("siren-amp", "siren-speaker-left")
    assert leads["module-rear:data link"].end.what == "data 4"
    assert leads["panel-console:data link"].end.what == "data"
    assert leads["control.in1"].start.what == "ground when yes"
    assert leads["control.in2"].start.what == "battery when yes"


def test_without_a_node_there_is_no_length_and_a_note_says_so() -> None:
    rig = desk("duty-officer-utility").rig
    bare = tuple(s.model_copy(update={"node": None}) for s in rig.vehicle.signals)
    lead = found(replace(rig, vehicle=rig.vehicle.model_copy(update={"signals": bare})))["control.in4"]
    assert lead.length_m is None
    assert "measure it on the vehicle" in lead.note


def test_sync_wires_join_the_heads_of_a_group_in_a_chain() -> None:
    rig = desk("duty-officer-utility").rig
    lamps = [r.id for r in rig.build.install if rig.devices.get(r.id) and rig.devices[r.id].part_kind == "lamp"][:3]
    rows = [r.model_copy(update={"sync": "heads"}) if r.id in lamps else r for r in rig.build.install]
    leads = found(replace(rig, build=rig.build.model_copy(update={"install": rows})))
    ends = [(x.start.device, x.end.device, x.note) for x in leads.values() if x.kind == "sync"]
    assert ends == [(lamps[0], lamps[1], "group heads"), (lamps[1], lamps[2], "group heads")]
