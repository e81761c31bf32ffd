"""The programming sheet says what the program does: its lines are run against the evaluator."""

from __future__ import annotations

import random

import pytest

from rigbook.papers.programming import decision_lines, outputs_of, pattern_of
from rigbook.switching.evaluate import Evaluator
from rigbook.switching.plain_words import words_of
from tests.papers.example_builds import BUILDS, desk


@pytest.mark.parametrize("build", BUILDS)
def test_the_first_line_that_holds_is_what_the_evaluator_shows(build: str) -> None:
    here = desk(build)
    program = here.rig.program
    evaluator, chance = Evaluator(program), random.Random(7)
    looked = lit = 0
    for _ in range(60):
        state = tuple(chance.randrange(len(v.values)) for v in program.variables)
        active = evaluator.active(state)
        held = {f.name: on for f, on in zip(program.functions, active, strict=True)}
        decisions = evaluator.decisions(active)
        for device, decision in zip(program.devices, decisions, strict=True):
            for channel in device.colours or device.states:
                lines, rest = decision_lines(here, device, channel)
                said = next((line.does for line in lines if held[line.function]), rest)
                content = program.contents[decision.content]
                if content.commanded:
                    assert said == "as the vehicle commands"
                elif content.state is not None:
                    assert (said == "on") == (content.state == channel)
                else:
                    timeline = dict(content.channels).get(channel)
                    on = timeline is not None and bool(timeline.spans)
                    assert said == (pattern_of(here, timeline)[0] if on and timeline is not None else "off")
                    lit += on
                looked += 1
    assert looked > 500 and lit > 20


@pytest.mark.parametrize("build", BUILDS)
def test_every_output_that_carries_something_is_on_the_sheet(build: str) -> None:
    rig = desk(build).rig
    found = {o.id for m in rig.modules.values() for o in outputs_of(desk(build), m)}
    assert found == {c.id for c in rig.circuits.values() if c.kind == "output"} and found


def test_lines_speak_in_words_and_patterns_by_name() -> None:
    here = desk("flood-support-van")
    lines = [line for m in here.rig.modules.values() for o in outputs_of(here, m) for line in o.lines]
    assert any(line.does.startswith("pattern double: 100 on 100 off, 100 on 500 off ms") for line in lines)
    assert {line.phase_ms for line in lines} >= {0, 400}
    assert all("==" not in line.when and "_" not in line.when for line in lines)


def test_checksum_is_that_of_the_program_alone() -> None:
    assert len(desk("flood-support-van").program_digest) == 64
    assert desk("flood-support-van").program_digest != desk("boat-crew-pickup").program_digest


def test_words_of_conditions() -> None:
    program = desk("flood-support-van").rig.program
    words = {name: words_of(program, e) for name, e in program.conditions}
    assert words["parked"] == "gear park"
    assert words["warning"] == "WARN at on-scene or responding"
    assert words["moving_response"] == "WARN at responding and not parked"
