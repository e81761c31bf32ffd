"""What the lines speak of stands on the sheet: every name, with its source and its rule."""

from __future__ import annotations

import pytest

from rigbook.papers.program_names import named_pieces
from rigbook.switching.plain_words import name_of
from tests.papers.example_builds import BUILDS, desk


@pytest.mark.parametrize("build", BUILDS)
def test_every_name_is_there(build: str) -> None:
    here = desk(build)
    tables = {p["caption"]: p["rows"] for p in named_pieces(here) if p["kind"] == "table"}
    program = here.rig.program
    for kind, caption in (
        ("signal", "Signals and where they come from"),
        ("switch", "Switches"),
        ("memory", "Memories"),
        ("timer", "Timers"),
    ):
        names = [name_of(v) for v in program.variables if v.kind == kind]
        assert [row[0] for row in tables.get(caption, [])] == names
    assert len(tables.get("Conditions by name", [])) == len(program.conditions)
    assert len(tables.get("Load shedding", [])) == len(program.shedding)


def test_switches_say_when_they_let_go() -> None:
    here = desk("flood-support-van")
    tables = {p["caption"]: p["rows"] for p in named_pieces(here) if p["kind"] == "table"}
    switches = {row[0]: row for row in tables["Switches"]}
    assert switches["WINCH"][3] == "when gear drive"
    assert switches["COMMAND"][3] == "when gear drive; when CRUISE is pressed"
    assert switches["HORN RING"][2] == "tap under 400 ms, else held"
    assert switches["WARN"][2] == "slide: off, rear-only, on-scene, responding"
    signals = {row[0]: row for row in tables["Signals and where they come from"]}
    assert signals["gear"][1] == "data bus" and signals["gear"][4] == "unknown"
    assert signals["rear door"][4] == "a broken wire reads no" and signals["rear door"][3] == "150"
    shed = tables["Load shedding"]
    assert shed[0][0] == "3" and "comfort-feed" in shed[0][2] and "winch-feed" not in shed[0][2]
