"""Controllers and output modules: banks, ports, clocks."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rigbook.rig.modules import output_numbers
from tests.rig.small import FEEDS, SUPPLY, build_text, errors, opened

BANKED = FEEDS + "  - {id: second, from: block-1.2}\n"


@pytest.mark.parametrize(
    ("text", "numbers"),
    [("1-4", (1, 2, 3, 4)), ("2", (2,)), ("1, 3-4", (1, 3, 4)), ("4-1", None), ("0-2", None), ("1-9", None),
     ("1-2, 2", None), ("", None), ("one", None), ("1-", None)],
)  # fmt: skip
def test_a_bank_lists_outputs(text: str, numbers: tuple[int, ...] | None) -> None:
    assert output_numbers(text, count=4) == numbers


@given(st.integers(1, 30), st.data())
def test_a_range_lists_each_output_once(count: int, data: st.DataObject) -> None:
    first = data.draw(st.integers(1, count))
    last = data.draw(st.integers(first, count))
    assert output_numbers(f"{first}-{last}", count=count) == tuple(range(first, last + 1))


def test_one_feed_stands_behind_all_banks() -> None:
    module = opened(build_text()).modules["control"]
    assert [(bank.id, bank.outputs, bank.limit_a, bank.feed_id) for bank in module.banks] == [
        ("a", (1, 2, 3, 4), 6, "box-feed"), ("b", (5, 6), 10, "box-feed"),
    ]  # fmt: skip
    assert module.clock == "control" and module.inputs == 4


def test_a_map_gives_each_bank_its_feed() -> None:
    supply = SUPPLY.replace("feed: box-feed", "feed: {a: box-feed, b: second}")
    rig = opened(build_text(feeds=BANKED, supply=supply))
    assert [bank.feed_id for bank in rig.modules["control"].banks] == ["box-feed", "second"]
    assert set(rig.terminals) == {"control:a", "control:b"}
    assert rig.terminals["control:a"].draws and not rig.terminals["control:b"].draws, "it draws for itself on the first"


def test_a_bank_without_feed_is_told() -> None:
    rig = opened(build_text(feeds=BANKED, supply=SUPPLY.replace("feed: box-feed", "feed: {a: box-feed}")))
    assert [note.says for note in rig.notes if note.rule == "no-feed"] == [
        "bank b of control has no feed: its outputs stay dead"
    ]


def test_a_controller_without_feed_is_told() -> None:
    rig = opened(build_text(supply=SUPPLY.replace(", feed: box-feed", "")))
    assert [(note.rule, note.severity) for note in rig.notes] == [("no-feed", "fail")]


def test_a_module_keeps_its_controllers_clock() -> None:
    row = "  - {id: module, part: more, at: [2.9 m, 0.2 m, 0.6 m], feed: box-feed, controller: control, port: 1}\n"
    module = opened(build_text(install=row)).modules["module"]
    assert module.clock == "control" and module.banks[0].outputs == (1, 2, 3, 4)


@pytest.mark.parametrize(
    ("row", "says"),
    [
        ("{id: m, part: more, at: [2.9 m, 0 m, 0.6 m], feed: box-feed}", "output module m needs `controller:`"),
        ("{id: m, part: more, at: [2.9 m, 0 m, 0.6 m], feed: box-feed, controller: controll}", "the nearest is control"),
        ("{id: m, part: more, at: [2.9 m, 0 m, 0.6 m], feed: box-feed, controller: control, port: 3}", "has 2 ports"),
        ("{id: m, part: more, at: [2.9 m, 0 m, 0.6 m], feed: box-fed, controller: control}", "the nearest is box-feed"),
        ("{id: m, part: more, at: [2.9 m, 0 m, 0.6 m], feed: {c: box-feed}, controller: control}", "bank of m c"),
        ("{id: m, part: more, at: [2.9 m, 0 m, 0.6 m], feed: box-feed, controller: control, outputs: auto}",
         "has outputs of its own"),
    ],
)  # fmt: skip
def test_a_module_that_cannot_be_is_an_error(row: str, says: str) -> None:
    said = errors(build_text(install=f"  - {row}\n"))
    assert any(says in each for each in said), said


def test_a_port_holds_one_thing() -> None:
    row = "  - {{id: {0}, part: more, at: [2.9 m, 0 m, 0.6 m], feed: box-feed, controller: control, port: 2}}\n"
    (said,) = errors(build_text(install=row.format("one") + row.format("two")))
    assert "port 2 of control already holds one" in said
