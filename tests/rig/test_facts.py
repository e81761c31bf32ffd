"""What the compiler is told: clocks, feeds, zones, poses."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rigbook.rig.facts import split_output, whole_mm
from rigbook.rig.model import Rig
from rigbook.switching.program import DeviceFacts
from tests.rig.small import FEEDS, build_text, worked

MORE_FEEDS = FEEDS + "  - {id: extra, from: block-1.2, live_when: gear == park, through: relay}\n"
RELAY = "  - {id: relay, part: relay-40, at: [2.9 m, 0.1 m, 0.6 m], outputs: {closed: control.6}}\n"


def facts(rig: Rig) -> dict[str, DeviceFacts]:
    return {each.id: each for each in rig.device_facts}


@given(st.integers(-9_000_000, 9_000_000))
def test_whole_millimetres_round_halves_up(thousandths: int) -> None:
    assert whole_mm(thousandths / 1000) == thousandths
    assert whole_mm(0.0005) == 1 and whole_mm(-0.0005) == 0


def test_an_output_splits_at_its_last_dot() -> None:
    assert split_output("module-2.14") == ("module-2", 14)


def test_clocks_follow_the_controller_the_group_or_the_head_itself() -> None:
    install = RELAY + "".join(
        f"  - {{{row}}}\n"
        for row in (
            "id: module, part: more, at: [2.9 m, 0.2 m, 0.6 m], feed: box-feed, controller: control",
            "id: other, part: box, at: [2.9 m, 0.3 m, 0.6 m], feed: box-feed",
            "id: near, part: single, place: nose, outputs: {amber: control.1}",
            "id: far, part: single, place: nose, outputs: {amber: module.1}",
            "id: apart, part: single, place: nose, outputs: {amber: other.1}",
            "id: alone, part: flasher, place: nose, feed: extra, outputs: {amber: control.2}",
            "id: one, part: flasher, place: nose, feed: extra, sync: pair, outputs: {amber: control.3}",
            "id: two, part: flasher, place: nose, feed: extra, sync: pair, outputs: {amber: other.2}",
            "id: link, part: linked, place: nose, feed: extra, controller: other",
        )
    )
    rig = worked(build_text(feeds=MORE_FEEDS, install=install))
    clocks = {name: each.clock for name, each in facts(rig).items()}
    assert clocks["near"] == clocks["far"] == "control"
    assert clocks["apart"] == clocks["link"] == "other"
    assert clocks["alone"] == "alone"
    assert clocks["one"] == clocks["two"] == "sync:pair"
    assert clocks["tail"] == "vehicle"
    assert {name: rig.devices[name].clock for name in clocks} == clocks


def test_each_channel_knows_the_feed_that_powers_it() -> None:
    feeds = MORE_FEEDS + "  - {id: second, from: block-1.4}\n"
    install = RELAY + (
        "  - {id: lamp, part: dual, place: nose, outputs: {blue: control.1, white: control.5}}\n"
        "  - {id: siren, part: amp, place: dash, feed: extra}\n"
    )
    text = build_text(feeds=feeds, install=install).replace("feed: box-feed}", "feed: {a: box-feed, b: second}}", 1)
    found = facts(worked(text))
    assert dict(found["lamp"].feeds) == {"blue": "box-feed", "white": "second"}
    assert dict(found["siren"].feeds) == {"standby": "extra", "wail": "extra"}
    assert dict(found["control"].feeds) == {"awake": "box-feed", "asleep": "box-feed"}
    assert found["tail"].feeds == () and found["tail"].commanded_when == "gear == drive"


def test_feeds_know_what_makes_them_live() -> None:
    rig = worked(build_text(feeds=MORE_FEEDS, install=RELAY))
    extra = next(each for each in rig.feed_facts if each.id == "extra")
    assert (extra.above, extra.live_when, extra.through) == ("main", "gear == park", "relay")
    assert extra.line == 9 and extra.column > 1


def test_a_door_gives_a_second_pose() -> None:
    found = facts(worked(build_text(install="  - {id: lamp, part: single, place: hatch-edge, level: upper}\n")))["lamp"]
    assert found.zones == {"rear"} and found.seen_zones == frozenset()
    assert [(pose.when, pose.zones) for pose in found.poses] == [("hatch", frozenset({"rear"}))]
    assert found.at_mm == (3500, 0, 1000) and found.level == "upper" and found.half is None


def test_a_bar_is_named_by_its_row_and_is_no_device_of_its_own() -> None:
    bar = "  - {id: bar, part: bar, at: [2.5 m, 0 m, 1.4 m], facing: 0 deg, node: rear, feed: box-feed, controller: control}\n"
    found = facts(worked(build_text(install=bar)))
    assert "bar" not in found
    assert {each.row for each in found.values() if each.id.startswith("bar.")} == {"bar"}
    assert found["bar.front-left"].clock == "control"


@pytest.mark.parametrize(("part", "kind"), [("single", "lamp"), ("relay-40", "relay"), ("amp", "device")])
def test_kinds_are_those_of_the_language(part: str, kind: str) -> None:
    feed = ", feed: box-feed" if part == "amp" else ""
    row = f"  - {{id: thing, part: {part}, place: dash{feed}}}\n"
    assert facts(worked(build_text(install=row)))["thing"].kind == kind
