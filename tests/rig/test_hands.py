"""Switches, signals, inputs, panels and saved states."""

from __future__ import annotations

import pytest

from rigbook.rig.model import InputUse
from tests.rig.small import build_text, errors, opened, worked

PANEL = "  - {id: panel, part: keys, place: dash, feed: box-feed, controller: control}\n"


def switching(*switches: str, more: str = "") -> str:
    rows = "".join(f"    - {{{switch}}}\n" for switch in switches)
    return f"switching:\n  ranks: [only]\n  switches:\n{rows}{more}"


def test_a_switch_knows_its_inputs_and_its_place() -> None:
    text = switching(
        "id: slide, kind: slide, positions: [off, low, high], panel: dash, input: {low: control.in1, high: control.in2}",
        "id: key, label: KEY, kind: latching, link: panel",
    )
    rig = worked(build_text(install=PANEL, more=text))
    slide, key = rig.switches
    assert [(use.position, use.input) for use in slide.inputs] == [("low", 1), ("high", 2)]
    assert slide.panel == "dash" and slide.at == rig.devices["panel"].placement.at
    assert (key.link, key.panel, key.label) == ("panel", "panel", "KEY")
    assert rig.modules["control"].inputs_used == (1, 2)
    assert InputUse("control", 1, "slide", "low", "builds/unit.yaml", 16) in rig.inputs


def test_a_wire_signal_ends_on_an_input() -> None:
    more = "  signals:\n    - {id: door, source: wire, input: control.in4}\n"
    rig = worked(build_text(more=switching("id: key, kind: latching", more=more)))
    assert [(use.subject, use.input) for use in rig.inputs] == [("door", 4)]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (switching("id: key, kind: latching, input: control.3"), "write MODULE.inN"),
        (switching("id: key, kind: latching, input: contrl.in3"), "the nearest is control"),
        (switching("id: key, kind: latching, input: control.in5"), "control has 4 inputs"),
        (switching("id: a, kind: latching, input: control.in1", "id: b, kind: latching, input: control.in1"),
         "input control.in1 already carries a"),
        (switching("id: key, kind: latching, link: pannel"), "the nearest is panel"),
        (switching("id: key, kind: latching, link: panel, input: control.in1"), "choose one"),
        (switching("id: key, kind: latching, panel: dahs"), "the nearest is dash"),
        (switching("id: key, kind: latching", more="  signals:\n    - {id: low, measures: voltage.startr, below: 11 V}\n"),
         "there is no bank startr"),
        (switching("id: key, kind: latching", more="  signals:\n    - {id: hot, measures: temperature.bey, above: 90 C}\n"),
         "there is no area bey"),
    ],
)  # fmt: skip
def test_an_input_that_cannot_be_is_an_error(text: str, says: str) -> None:
    said = errors(build_text(install=PANEL, more=text))
    assert any(says in each for each in said), said


def test_a_panel_with_more_switches_than_keys_is_told() -> None:
    text = switching("id: a, kind: latching, link: panel", "id: b, kind: latching, link: panel")
    rig = opened(build_text(install=PANEL, more=text))
    assert [(note.rule, note.severity) for note in rig.notes] == [("panel-full", "fail")]


STATES = "states:\n  - {{id: one, title: One, set: {{{0}}}, rpm: 900}}\n"


def test_a_saved_state_holds_indexes_of_the_program() -> None:
    rig = worked(build_text(more=switching("id: key, kind: latching") + STATES.format("key: yes, gear: drive")))
    (state,) = rig.states
    named = {rig.program.variables[v].name: rig.program.variables[v].values[value] for v, value in state.indexes}
    assert named == {"key": "yes", "gear": "drive"} and state.rpm == 900


@pytest.mark.parametrize(
    ("settings", "says"),
    [("gaer: drive", "nothing is called gaer"), ("gear: reverse", "reverse is no value of gear"), ("key: yes", "key")],
)
def test_a_state_that_cannot_be_is_an_error(settings: str, says: str) -> None:
    text = switching("id: key, kind: latching, releases_when: gear == park") + STATES.format(settings)
    said = errors(build_text(more=text))
    assert any("state one" in each and says in each for each in said), said
