"""The plan of conductors: ends, paths, flows, guards."""

from __future__ import annotations

import pytest

from rigbook.rig.plan import Plan
from rigbook.rig.wiring import plan_wiring
from tests.rig.small import build_text, chosen, opened

DUAL = "  - {id: lamp, part: dual, place: nose, outputs: {blue: control.1, white: control.2}}\n"


def plan_of(text: str) -> Plan:
    rig, choices = chosen(text)
    return plan_wiring(
        open_rig=rig,
        outputs={need: choice.value for need, choice in choices.outputs.items()},
        grounds={name: choice.value for name, choice in choices.grounds.items()},
    )


def test_a_circuit_leads_from_its_source_to_the_device_and_back_to_a_stud() -> None:
    plan = plan_of(build_text(install=DUAL))
    (member,) = plan.circuits["control.1"].members
    assert member.feed_path == ("control.1>lamp:blue/joint", "lamp:blue/joint>lamp:blue")
    assert member.return_path == ("lamp:return>lamp:return/joint", "lamp:return/joint>ground:stud-front")
    roles = [plan.segments[name].role for name in (*member.feed_path, *member.return_path)]
    assert roles == ["feed", "lead", "lead", "return"]


def test_both_colours_share_one_return_at_the_higher_current() -> None:
    plan = plan_of(build_text(install=DUAL))
    back = plan.segments["lamp:return/joint>ground:stud-front"]
    assert back.nameplate_a == 1.1 and back.guards == ("control.1", "control.2")
    assert back.equal_to == ("control.1>lamp:blue/joint", "control.2>lamp:white/joint")


def test_the_colours_of_a_head_that_shows_one_load_a_run_once() -> None:
    plan = plan_of(build_text(install=DUAL))
    assert (
        plan.segments["control.1>lamp:blue/joint"].loads_with == plan.segments["control.2>lamp:white/joint"].loads_with
    )
    assert plan.segments["lamp:return/joint>ground:stud-front"].loads_with == "lamp:return/joint>ground:stud-front"


def test_a_modules_supply_carries_its_outputs_and_its_return_only_itself() -> None:
    plan = plan_of(build_text(install=DUAL))
    (member,) = plan.circuits["box-feed"].members
    assert member.carries == ("control.1", "control.2")
    assert plan.segments[member.feed_path[0]].nameplate_a == pytest.approx(0.25 + 1.1)
    assert plan.segments[member.return_path[-1]].nameplate_a == 0.25
    assert plan.feed_load_a == {"main": pytest.approx(1.35), "box-feed": pytest.approx(1.35)}


def test_a_feed_that_leads_to_a_block_has_a_segment_of_its_own() -> None:
    plan = plan_of(build_text(install=DUAL))
    assert plan.feed_segments == {"main": "feed:main>block:block-1"}
    assert plan.segments["feed:main>block:block-1"].guards == ("main",)


def test_a_row_on_the_feed_of_a_block_starts_at_the_block() -> None:
    plan = plan_of(build_text(install="  - {id: radio, part: radio, place: dash, feed: main}\n"))
    (member,) = plan.circuits["main"].members
    assert member.feed_path == ("block:block-1>radio:power",)


def test_every_draw_that_has_a_source_lies_in_one_circuit() -> None:
    rig = opened(build_text(install=DUAL))
    plan = plan_of(build_text(install=DUAL))
    found = [need for circuit in plan.circuits.values() for member in circuit.members for need in member.draws]
    assert len(found) == len(set(found))
    wanted = {(d.id, w.channel) for d in rig.devices.values() if d.part_kind != "factory-lamp" for w in d.draws}
    assert set(found) == wanted
