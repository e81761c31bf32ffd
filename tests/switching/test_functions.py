from __future__ import annotations

import pytest

from rigbook.documents.schema.base import NOWHERE
from rigbook.switching.functions import Contents, read_patterns, states_of
from rigbook.switching.patterns import SHIPPED
from rigbook.switching.program import Content
from rigbook.switching.trouble import Trouble
from tests.switching.sections import compiled, program_of

SHOW = """
ranks: [low]
functions:
  - name: F
    rank: low
    when: rear_door
    show:
      - lamps: %s
        colour: %s
        %s
"""


def timelines(lamps: str, more: str, colour: str = "blue") -> dict[str, list[tuple[int, int, float]]]:
    program = program_of(SHOW % (lamps, colour, more))
    return {
        d.id: [
            (s.start_ms, s.end_ms, s.intensity_from)
            for s in program.contents[d.entries[0].content].channels[0][1].spans
        ]
        for d in program.devices
        if d.entries
    }


def test_defaults_are_steady_and_full():
    assert timelines("front", "undimmed: no") == {"grille-left": [(0, 1, 1.0)], "grille-right": [(0, 1, 1.0)]}


def test_phase_maps_leave_the_others_at_zero():
    found = timelines(
        "warning", "pattern: single\n        intensity: 30 %\n        phase: {right & warning: 1/2, hatch-left: 1/3}"
    )
    assert found["side-right"] == [(400, 800, 0.3)]
    assert found["hatch-left"] == [(267, 667, 0.3)]
    assert found["side-left"] == found["grille-left"] == [(0, 400, 0.3)]


def test_a_phase_shifts_a_sequence_too():
    sequence = (
        "sequence: {kind: walk, order: left-to-right, step: 100 ms, hold: 200 ms, gap: 100 ms}\n        phase: 1/7"
    )
    found = timelines("stick", sequence, "amber")
    assert found["stick.1"] == [(100, 200, 1.0)]
    assert found["stick.5"] == [(500, 700, 1.0)]


def test_colours_under_one_show_and_lamps_with_some_of_them():
    text = SHOW % ("warning", "blue", "")
    text = text.replace("colour: blue", "colours: {blue: {pattern: double}, white: {pattern: single, phase: 1/2}}")
    done = compiled(text)
    assert done.program is not None and done.notes == ()
    channels = {
        d.id: [c for c, _ in done.program.contents[d.entries[0].content].channels]
        for d in done.program.devices
        if d.entries
    }
    assert channels["grille-left"] == ["blue", "white"] and channels["side-left"] == ["blue"]


def test_patterns_of_the_build_before_the_shop_before_the_shipped():
    trouble = Trouble()
    found = read_patterns({"single": [1, 2], "double": [3, 4]}, {"double": [5, 6], "odd": [1]}, NOWHERE, trouble)
    assert (found["single"], found["double"], found["triple"]) == ((1, 2), (5, 6), SHIPPED["triple"])
    assert "pattern odd" in trouble.problems[0].says and "odd" not in found


def test_contents_are_held_once():
    contents = Contents()
    assert contents.number(Content()) == 0
    assert contents.number(Content(state="wail")) == contents.number(Content(state="wail")) == 1


@pytest.mark.parametrize(
    ("kind", "states", "expected"), [("relay", (), ("open", "closed")), ("relay", ("a",), ("a",)), ("device", (), ())]
)
def test_states_of_devices(kind, states, expected):
    assert states_of(kind, states) == expected
