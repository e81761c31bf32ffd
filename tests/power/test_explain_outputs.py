"""Figures of the outputs left to auto are worked through."""

from __future__ import annotations

import pytest

from rigbook.power.explain import explain
from tests.power.test_choose_outputs import ALIKE, lamps
from tests.rig.small import build_text, worked


def test_each_figure_comes_to_what_the_choice_says() -> None:
    rig = worked(build_text(install=lamps(6, "pair", "pair") + lamps(3, "lone", "lone"), more=ALIKE))
    found = rig.choices.outputs_found
    assert found is not None
    assert found.spared == found.channels - found.outputs == 3
    assert found.copper_kg > 0
    for key in ("copper_kg", "copper_at_least_kg", "gap_fraction"):
        assert explain(rig, f"power.outputs.{key}").result == getattr(found, key)


def test_nothing_left_open_has_no_figure() -> None:
    row = "  - {id: one, part: single, place: nose, outputs: {amber: control.1}}\n"
    rig = worked(build_text(install=row))
    assert rig.choices.outputs_found is None
    with pytest.raises(KeyError):
        explain(rig, "power.outputs.copper_kg")
