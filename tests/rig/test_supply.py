"""Banks, links and feeds."""

from __future__ import annotations

import pytest

from rigbook.rig.supply import head_bank
from tests.rig.small import SUPPLY, VEHICLE, build_text, errors, opened, worked

AUXILIARY = "batteries:\n  - {id: auxiliary, part: battery-70, at: [2.9 m, 0.2 m, 0.6 m]}\n"
ISOLATOR = "  - {id: isolator, part: isolator-120, at: [0.1 m, 0 m, 0.8 m]}\n"


def link(fuse: str = "{start: auto, end: auto}", through: str = ", through: isolator") -> str:
    return f"links:\n  - {{id: join, from: battery.starter, to: battery.auxiliary{through}, fuse: {fuse}}}\n"


def test_feeds_know_the_bank_the_block_and_the_feed_above() -> None:
    rig = opened(build_text())
    main, box = rig.feeds["main"], rig.feeds["box-feed"]
    assert (main.bank_id, main.parent, main.to) == ("starter", None, "block-1")
    assert (box.block_id, box.block_position, box.parent) == ("block-1", 1, "main")
    assert head_bank(rig.feeds, "box-feed") == "starter"


def test_a_chain_of_three_feeds_carries_what_hangs_below() -> None:
    feeds = (
        "feeds:\n  - {id: main, from: battery.starter, to: bus-1}\n  - {id: second, from: bus-1, to: block-1}\n"
        "  - {id: box-feed, from: block-1.1}\n"
    )
    supply = SUPPLY + "  - {id: bus-1, part: bus, at: [1.5 m, 0 m, 0.6 m]}\n"
    rig = worked(build_text(feeds=feeds, supply=supply, install="  - {id: lamp, part: single, place: nose}\n"))
    assert rig.feeds["main"].nameplate_a == pytest.approx(0.8 + 0.25)
    assert rig.feeds["main"].feeds == ("second",) and rig.feeds["second"].feeds == ("box-feed",)
    assert rig.feeds["box-feed"].circuits == ("box-feed", "control.1")
    assert rig.segments[rig.feeds["second"].segment or ""].from_point == "feed:second"


@pytest.mark.parametrize(
    ("feeds", "says"),
    [
        ("  - {id: a, from: battery.startar}\n", "the nearest is battery.starter"),
        ("  - {id: a, from: blok-1.1}\n", "there is no bank, fuse block or bus bar blok-1.1"),
        ("  - {id: a, from: block-1.1}\n", "no feed supplies block-1"),
        ("  - {id: a, from: battery.starter, to: block-1}\n  - {id: b, from: block-1.9}\n", "positions 1 to 6, not 9"),
        ("  - {id: a, from: battery.starter, to: block-1}\n  - {id: b, from: block-1}\n", "name the position"),
        ("  - {id: a, from: battery.starter, to: block-1}\n  - {id: b, from: block-1.2}\n  - {id: c, from: block-1.2}\n",
         "position 2 of block-1 already holds the fuse of b"),
        ("  - {id: a, from: battery.starter, to: control}\n", "there is no installed fuse block or bus bar control"),
        ("  - {id: a, from: battery.starter, to: block-1}\n  - {id: b, from: battery.starter, to: block-1}\n",
         "block-1 is already supplied by feed a"),
        ("  - {id: a, from: block-1.1, to: block-1}\n", "supplies itself in a circle"),
        ("  - {id: a, from: battery.starter, through: control}\n", "there is no installed relay control"),
        ("  - {id: a, from: battery.starter, route: [fornt]}\n", "the nearest is front"),
    ],
)  # fmt: skip
def test_a_feed_that_cannot_be_is_an_error(feeds: str, says: str) -> None:
    supply = SUPPLY.replace(", feed: box-feed", "")
    said = errors(build_text(feeds=f"feeds:\n{feeds}", supply=supply))
    assert any(says in each for each in said), said


def test_a_link_is_fused_at_both_ends_and_passes_its_isolator() -> None:
    mild = VEHICLE.replace("ambient: 105 C", "ambient: 20 C").replace("ambient: 60 C", "ambient: 20 C")
    rig = worked(build_text(feeds=AUXILIARY + link() + "feeds:\n  - {id: main, from: battery.auxiliary, to: block-1}\n"
                            "  - {id: box-feed, from: block-1.1}\n", install=ISOLATOR), vehicle=mild)  # fmt: skip
    join = rig.links["join"]
    assert (join.start_how, join.end_how) == ("auto", "auto")
    assert join.load_a == 120 and "isolator passes up to 120 A" in join.why
    assert join.start_fuse_a == join.end_fuse_a == 150, "smallest in stock of at least 120/0.8"
    ends = [(rig.segments[name].from_point, rig.segments[name].to_point) for name in join.segments]
    assert ends == [("battery.starter", "isolator:a"), ("isolator:b", "battery.auxiliary")]
    assert all(rig.segments[name].role == "link" for name in join.segments)


def test_a_fuse_a_person_set_bounds_the_load_of_a_link() -> None:
    rig = opened(build_text(feeds=AUXILIARY + link("{start: 60 A, end: 80 A}"), supply="", install=ISOLATOR))
    assert rig.links["join"].load_a == 60 and "its fuse of 60 A" in rig.links["join"].load_why


def test_a_bare_link_is_sized_for_the_charging_source() -> None:
    rig = opened(build_text(feeds=AUXILIARY + link(through=""), supply="", install=ISOLATOR))
    assert rig.links["join"].load_a == 150


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (AUXILIARY + link().replace("battery.auxiliary", "battery.auxilary"), "the nearest is battery.auxiliary"),
        (AUXILIARY + link().replace("isolator,", "isolater,"), "there is no installed device isolater"),
        (AUXILIARY.replace("auxiliary", "starter"), "two banks named starter"),
        (AUXILIARY.replace("battery-70", "single"), "there is no battery part single"),
        (AUXILIARY.replace("2.9 m, 0.2 m", "9 m, 0.2 m"), "from the nearest route node"),
    ],
)
def test_a_link_or_bank_that_cannot_be_is_an_error(text: str, says: str) -> None:
    said = errors(build_text(feeds=text, supply="", install=ISOLATOR))
    assert any(says in each for each in said), said


def test_a_bank_without_a_place_is_told() -> None:
    rig = opened(
        build_text(feeds="batteries:\n  - {id: rear, part: battery-70}\n", supply="", install=ISOLATOR)
    )  # fmt: skip
    assert rig.banks["rear"].node == "rear", "a node of the bank's own name"
    assert any(note.rule == "position-assumed" and note.subject == "rear" for note in rig.notes)
