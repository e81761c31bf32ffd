"""What draws nothing is looked at place by place, and nothing that draws stands among it."""

from __future__ import annotations

import pytest

from rigbook.shop.final_inspection import inspection_of
from rigbook.shop.fitted import AT_ONCE, unshown, words
from tests.papers.example_builds import BUILDS, assessed, desk


@pytest.mark.parametrize("build", BUILDS)
def test_every_bought_part_is_shown_by_a_function_or_looked_at(build: str) -> None:
    rig = desk(build).rig
    looked = {device.row for devices in unshown(rig).values() for device in devices}
    shown = {rig.devices[d.id].row for d in rig.program.devices if d.entries}
    bars = {d.inside_of for d in rig.devices.values() if d.inside_of is not None}
    bought = {device.row for device in rig.devices.values() if device.bought}
    assert bought <= looked | shown | {rig.devices[bar].row for bar in bars}
    assert not looked & shown
    assert len(looked) > 3


@pytest.mark.parametrize("build", BUILDS)
def test_the_form_has_a_step_for_each_place(build: str) -> None:
    found = unshown(desk(build).rig)
    steps = {s.step: s.see for s in inspection_of(assessed(build), desk(build).bench) if s.step.startswith("Fitted: ")}
    assert list(steps) == [f"Fitted: {where}" for where in found]
    for where, devices in found.items():
        assert steps[f"Fitted: {where}"] == ", ".join(map(words, devices))


def test_abbreviations_keep_their_capitals() -> None:
    rig = desk("boat-crew-pickup").rig
    assert words(rig.devices["dcdc-1"]).startswith("dcdc-1 (DC-DC")
    assert words(rig.devices["console"]).startswith("console (console")


def test_no_step_asks_for_more_than_a_person_keeps_in_mind() -> None:
    found = unshown(desk("flood-support-van").rig)
    assert max(map(len, found.values())) <= AT_ONCE
    assert any(where.endswith(", 1 of 2") for where in found)
