"""Settling: what was worked out, written into the build, gives the same vehicle."""

from __future__ import annotations

import pytest

from rigbook.rig.settle import decided, settled_edits, settled_paths_known
from tests.rig.small import FEEDS, SHOP, VEHICLE, build_text, errors, opened, worked

INSTALL = (
    "  - {id: lamp, part: dual, place: nose, wire: 14 AWG}\n"
    "  - {id: stick, part: single, along: {from: [3.2 m, -0.3 m, 1 m], to: [3.2 m, 0.3 m, 1 m], count: 2}, outputs: auto}\n"
    "  - {id: radio, part: radio, at: [1.4 m, 0 m, 0.6 m], feed: radio-feed, antenna: rod}\n"
    "  - {id: rod, part: whip, place: roof}\n"
    "  - {id: isolator, part: isolator-120, at: [0.1 m, 0 m, 0.8 m]}\n"
)
BANK = (
    "batteries:\n  - {id: second, part: battery-70, at: [2.9 m, 0.2 m, 0.5 m]}\n"
    "links:\n  - {id: join, from: battery.starter, to: battery.second, through: isolator, fuse: {start: auto, end: 60 A}}\n"
)
TEXT = build_text(feeds=BANK + FEEDS + "  - {id: radio-feed, from: block-1.2, drop: critical}\n", install=INSTALL)


def settled(text: str, values: dict[str, str]) -> str:
    return text + "settled:\n" + "".join(f'  "{path}": "{value}"\n' for path, value in values.items())


def test_what_is_open_is_settled_and_what_is_set_is_not() -> None:
    rig = worked(TEXT)
    edits = settled_edits(rig)
    assert edits["feeds.main.fuse"] == f"{rig.feeds['main'].fuse_a:g} A"
    assert edits["install.stick.2.outputs.amber"] == "control.4"
    assert edits["install.radio.wire.power"] == str(rig.segments["feed:radio-feed>radio:power"].conductor.gauge)
    assert edits["install.radio.route.power"] == "rear middle"
    assert edits["install.radio.ground"] == rig.devices["radio"].ground
    assert edits["install.radio.node"] == "middle" and edits["links.join.fuse.start"] == "150 A"
    for path in ("links.join.fuse.end", "install.lamp.wire.blue", "install.lamp.wire.return", "install.lamp.node"):
        assert path not in edits and decided(rig)[path][1] == "set"
    assert list(edits) == sorted(edits)


def test_every_path_belongs_to_the_build() -> None:
    rig = opened(TEXT)
    edits = settled_edits(worked(TEXT))
    assert len(edits) > 25 and all(settled_paths_known(rig, path) for path in edits)
    wrong = ["feeds.gone.fuse", "feeds.main.colour", "links.join.wire.3", "install.gone.ground", "install.lamp.wire.green",
             "install.control.outputs.x", "nothing", "install.whip.wire.return"]  # fmt: skip
    assert not any(settled_paths_known(rig, path) for path in wrong)


def test_settling_changes_neither_the_vehicle_nor_its_digest() -> None:
    before = worked(TEXT)
    after = worked(settled(TEXT, settled_edits(before)))
    assert after.digest == before.digest
    assert settled_edits(after) == settled_edits(before)
    assert {n: s.conductor.gauge for n, s in after.segments.items()} == {
        n: s.conductor.gauge for n, s in before.segments.items()
    }
    assert not after.notes
    hows = {segment.conductor.how for segment in after.segments.values()}
    assert hows == {"settled", "lead", "set"}, "nothing is left to choose"
    assert {fuse.how for fuse in after.choices.fuses.values()} == {"settled", "set"}


def test_a_settled_harness_stays_when_the_rule_would_choose_another() -> None:
    rig = worked(settled(TEXT, {"install.stick.1.outputs.amber": "control.6", "install.stick.1.wire.amber": "10 AWG"}))
    segment = rig.segments["control.6>stick.1:amber"]
    assert (str(segment.conductor.gauge), segment.conductor.how) == ("10 AWG", "settled")
    assert rig.digest != worked(TEXT).digest, "another harness is another vehicle"


@pytest.mark.parametrize(
    ("path", "value", "says"),
    [
        ("install.radio.wire.power", "18 AWG", "it may carry 11.47 A, the load is 13 A"),
        ("feeds.radio-feed.fuse", "5 A", "below load / 0.8 / 0.8667 at 60 C, 18.75 A"),
        ("install.stick.1.outputs.amber", "control.9", "not there"),
        ("install.stick.1.outputs.amber", "gone.1", "not there"),
        ("install.radio.ground", "stud-gone", "is not there: another is chosen"),
        ("install.radio.route.power", "rear nowhere middle", "a route node that is not there"),
        ("install.radio.route.power", "rear island middle", "no longer leads through"),
    ],
)
def test_a_settled_value_that_no_longer_fits_is_told(path: str, value: str, says: str) -> None:
    rig = worked(settled(TEXT, {path: value}))
    told = [note for note in rig.notes if note.rule == "settled-misfit" and note.subject == path]
    assert told and says in told[0].says and told[0].severity == "caution", [note.says for note in rig.notes]


def test_a_settled_value_of_something_gone_is_told() -> None:
    rig = worked(settled(TEXT, {"install.gone.ground": "stud-rear"}))
    assert [note.rule for note in rig.notes] == ["settled-stale"]


@pytest.mark.parametrize(("path", "value"), [("feeds.main.fuse", "lots"), ("install.radio.wire.power", "thick")])
def test_a_settled_value_that_is_no_quantity_is_an_error(path: str, value: str) -> None:
    assert any(path in said for said in errors(settled(TEXT, {path: value})))


def test_a_settled_node_holds() -> None:
    rig = worked(settled(TEXT, {"install.radio.node": "front"}), vehicle=VEHICLE, shop=SHOP)
    assert rig.devices["radio"].placement.node == "front" and rig.choices.nodes["radio"].how == "settled"
