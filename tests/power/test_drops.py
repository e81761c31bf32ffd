"""Drops of a rig: the right currents, lengths and temperatures asked of the functions of numbers."""

from __future__ import annotations

import math

import pytest

from rigbook.power import conductors, drops
from rigbook.rig.nameplate import nameplate_a
from tests.power.cars import car


def test_a_conductor_is_its_current_length_and_resistance() -> None:
    rig = car()
    looked = 0
    for segment in rig.segments.values():
        part = drops.segment_drop(segment)
        at_20 = segment.conductor.resistance_ohm_per_m or conductors.conductor_resistance_ohm_per_m(
            gauge=segment.conductor.gauge
        )
        per_m = at_20 * (234.5 + part.conductor_c) / 254.5
        assert part.drop_v == pytest.approx(segment.nameplate_a * segment.length_m * per_m)
        assert part.resistance_ohm == pytest.approx(per_m * segment.length_m)
        assert segment.hottest_c <= part.conductor_c <= max(segment.hottest_c, segment.conductor.insulation_c)
        looked += 1
    assert looked > 20


def test_ampacity_is_of_the_stretch_that_limits_and_leads_have_none() -> None:
    rig = car()
    leads = [s for s in rig.segments.values() if s.role == "lead"]
    assert leads and all(drops.ampacity_a(s) is None for s in leads)
    assert all(drops.segment_drop(s).conductor_c >= s.conductor.insulation_c for s in leads)
    line = rig.segments[rig.feeds["main"].segment or ""]
    by_hand = conductors.corrected_ampacity_a(
        gauge=line.conductor.gauge, insulation_c=line.conductor.insulation_c, ambient_c=line.governs_c,
        conductors=line.governs_count,
    )  # fmt: skip
    assert drops.ampacity_a(line) == by_hand


def test_the_way_out_and_back_adds_up() -> None:
    rig = car()
    circuit = rig.circuits["control.1"]
    (way,) = drops.ways(rig, circuit)
    member = circuit.members[0]
    names = (*member.feed_path, *member.return_path)
    assert len(names) == 4, "wire and lead, out and back"
    assert way.length_m == pytest.approx(math.fsum(rig.segments[n].length_m for n in names))
    assert way.drop_v == pytest.approx(math.fsum(drops.segment_drop(rig.segments[n]).drop_v for n in names))


def test_the_source_drop_adds_what_lies_above_and_the_stud() -> None:
    rig = car()
    circuit = rig.circuits["control.1"]
    (way,) = drops.ways(rig, circuit)
    above = drops.upstream(rig, circuit)
    assert [part.segment.from_point for part in above] == ["feed:main", "feed:box-feed"]
    total = math.fsum(part.drop_v for part in above) + way.drop_v + drops.stud_drop_v(rig, way.member)
    assert drops.source_drop_v(rig, circuit, way) == pytest.approx(total)
    assert [p.segment.from_point for p in drops.upstream(rig, rig.circuits["radio-feed"])] == ["feed:main"]


def test_a_stud_is_lifted_by_all_that_returns_there() -> None:
    rig = car()
    grounds = {m.ground for c in rig.circuits.values() for m in c.members if not m.signal}
    assert grounds == {"stud-front", "stud-rear"}
    total = sum(drops.stud_current_a(rig, stud) for stud in rig.studs)
    everything = [(d.device_id, d.channel) for x in rig.devices.values() for d in x.draws if d.circuit_id]
    assert total == pytest.approx(nameplate_a(rig.devices, everything))


def test_a_chained_row_is_governed_by_its_far_end() -> None:
    rig = car()
    circuit = rig.circuits["control.5"]
    ways = drops.ways(rig, circuit)
    losses = [drops.source_drop_v(rig, circuit, way) for way in ways]
    assert len(ways) == 4 and losses == sorted(losses)
    worst = drops.governing(rig, circuit)
    assert worst is not None and worst.member.device_id == "stick.4"


def test_the_weakest_conductor_has_the_least_ampacity() -> None:
    rig = car()
    own = drops.own_conductors(rig, rig.circuits["control.1"])
    assert len(own) == 2 and all(s.role != "lead" for s in own)
    weakest = drops.weakest(own)
    assert weakest is not None
    assert drops.ampacity_a(weakest) == min(drops.ampacity_a(s) or 0 for s in own)
    assert drops.weakest(()) is None
    assert rig.segments[rig.feeds["main"].segment or ""] in drops.feed_conductors(rig, "main")
    assert drops.feed_conductors(rig, "radio-feed") == drops.own_conductors(rig, rig.circuits["radio-feed"])
