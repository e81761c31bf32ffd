"""The record of choices is whole: a choice for whatever the rig has."""

from __future__ import annotations

from rigbook.rig.choices import Choices
from tests.rig.small import build_text, chosen, worked

TEXT = build_text(
    install="  - {id: lamp, part: dual, place: nose}\n  - {id: siren, part: amp, place: dash, feed: box-feed}\n"
)


def test_nothing_chosen_is_empty() -> None:
    empty = Choices()
    assert not any((empty.wires, empty.fuses, empty.outputs, empty.routes, empty.grounds, empty.nodes, empty.notes))


def test_every_segment_feed_and_device_of_the_rig_has_its_choices() -> None:
    rig = worked(TEXT)
    choices = rig.choices
    for kept in (choices.wires, choices.routes, choices.lengths_m, choices.areas, choices.bundles, choices.governs):
        assert set(kept) == set(rig.segments)
    assert set(choices.fuses) == set(rig.feeds)
    assert set(choices.outputs) == {("lamp", "blue"), ("lamp", "white"), ("siren", "wail")}
    assert set(choices.grounds) == {"control", "lamp", "siren"}
    own_leads = {name for name, segment in rig.segments.items() if segment.role == "lead"}
    assert set(choices.paths) == set(rig.segments) - own_leads and own_leads


def test_paths_are_only_known_once_decided() -> None:
    assert chosen(TEXT)[1].paths == {}
