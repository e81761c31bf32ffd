"""The decided rig."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest

from rigbook.documents.loader import load_build
from rigbook.power.choose import choose_exact
from rigbook.rig.decide import decide
from rigbook.rig.model import Rig
from rigbook.rig.open import open_rig
from rigbook.rig.report import Problems
from tests.rig.small import build_text, chosen, worked

EXAMPLES = Path(__file__).parents[2] / "src/rigbook/data/example_shop"
NAMES = sorted(path.name for path in (EXAMPLES / "builds").glob("*.yaml"))


def example(name: str) -> Rig | Problems:
    rig = open_rig(load_build(EXAMPLES, EXAMPLES / "builds" / name))
    if isinstance(rig, Problems):
        return rig
    found = choose_exact(rig)
    return found if isinstance(found, Problems) else decide(*found)


@pytest.mark.parametrize("name", NAMES)
def test_the_examples_hold_together(name: str) -> None:
    rig = example(name)
    assert not isinstance(rig, Problems), [str(error) for error in rig.errors]
    for circuit in rig.circuits.values():
        for member in circuit.members:
            points = [(rig.segments[s].from_point, rig.segments[s].to_point) for s in member.feed_path]
            assert points[0][0] in (circuit.id, f"feed:{circuit.id}", f"block:{rig.feeds[circuit.feed_id or ''].to}")
            assert points[-1][1] == member.terminal
            if not member.signal:
                back = [(rig.segments[s].from_point, rig.segments[s].to_point) for s in member.return_path]
                assert back[0][0] == member.return_point and back[-1][1] == f"ground:{member.ground}"
                assert all(a[1] == b[0] for a, b in pairwise(back))
    for device in rig.devices.values():
        for draw in device.draws:
            if draw.circuit_id is not None:
                members = [m for m in rig.circuits[draw.circuit_id].members if (device.id, draw.channel) in m.draws]
                assert [m.terminal for m in members] == [draw.terminal]
                assert rig.circuits[draw.circuit_id].feed_id == draw.feed_id
    assert len(rig.segments) > 30 and len(rig.circuits) > 8, "the example exercises the rig"


def test_the_same_choices_give_the_same_rig() -> None:
    rig, choices = chosen(build_text(install="  - {id: lamp, part: dual, place: nose}\n"))
    assert decide(rig, choices) == decide(rig, choices)


def test_a_choice_that_is_missing_is_our_own_fault() -> None:
    rig, choices = chosen(build_text())
    with pytest.raises(ValueError, match="nothing was chosen for main"):
        decide(rig, replace(choices, fuses={"box-feed": choices.fuses["box-feed"]}))


def test_segments_say_where_they_come_from_and_why() -> None:
    rig = worked(build_text(install="  - {id: lamp, part: dual, place: nose}\n"))
    segment = rig.segments["control.1>lamp:blue/joint"]
    assert (segment.file, segment.line) == ("builds/unit.yaml", 12)
    assert segment.areas == ("cabin", "bay") and segment.hottest_c == 105
    assert "shortest way" in segment.why and "carries 0.9 A" in segment.conductor.why
    assert rig.segments["lamp:blue/joint>lamp:blue"].conductor.how == "lead"


def test_modules_know_their_used_outputs() -> None:
    rig = worked(
        build_text(install="  - {id: lamp, part: dual, place: nose, outputs: {blue: control.5, white: control.2}}\n")
    )
    assert rig.modules["control"].outputs_used == (2, 5)
    assert rig.circuits["control.5"].bank == "b" and rig.circuits["control.5"].limit_a == 5


def test_a_low_side_module_is_told() -> None:
    from tests.rig.small import PARTS

    rig = worked(
        build_text(install="  - {id: lamp, part: single, place: nose}\n"),
        parts=PARTS.replace("side: high", "side: low"),
    )
    assert [note.rule for note in rig.notes] == ["low-side"]
