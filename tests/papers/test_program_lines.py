"""The lines of the sheet, run in states that a crew brings about, do what the evaluator says."""

from __future__ import annotations

import random
from fractions import Fraction

import pytest

from rigbook.papers.pieces import DASH
from rigbook.papers.program_lines import decision_lines, pattern_of
from rigbook.switching.evaluate import Evaluator
from rigbook.switching.logic import Closures
from rigbook.switching.stepping import StepError, Stepper
from rigbook.switching.timeline import shifted, steady
from tests.papers.example_builds import BUILDS, desk
from tests.switching.generator import random_events


@pytest.mark.parametrize("build", BUILDS)
def test_the_first_line_that_holds_is_what_the_evaluator_shows(build: str) -> None:
    here = desk(build)
    program = here.rig.program
    evaluator, closures, chance = Evaluator(program), Closures(program), random.Random(7)
    looked = lit = lost_states = 0
    for _ in range(12):
        stepper = Stepper(program)
        for what, about in random_events(program, chance, 12):
            try:
                getattr(stepper, what)(*about) if what == "measure" else getattr(stepper, what)(about)
            except StepError:
                continue
        state, lost = stepper.state, stepper.lost
        lost_states += bool(lost)
        decisions = evaluator.decisions(evaluator.active(state, lost))
        for device, decision in zip(program.devices, decisions, strict=True):
            for channel in device.colours or device.states:
                lines, rest = here.lists.of(device, channel)
                shown = decision_lines(here, device, channel)[0]
                said = rest[0]
                for line, words in zip(lines, shown, strict=True):
                    value = closures.three(line.when)(state, lost)
                    if value is True or (value is None and line.if_unknown):
                        said = words.does
                        break
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
    assert looked > 200 and lit > 5 and lost_states > 2


def test_what_cannot_be_lost_has_a_dash() -> None:
    here = desk("flood-support-van")
    by_name = {d.id: d for d in here.rig.program.devices}
    lines, _ = decision_lines(here, by_name["reminder"], "sounding")
    assert [line.if_lost for line in lines] == ["on"]
    lines, _ = decision_lines(here, by_name["bar.rear-1"], "green")
    assert [line.if_lost for line in lines] == [DASH, "off"]


def test_every_pattern_has_its_name_and_start() -> None:
    here = desk("flood-support-van")
    assert pattern_of(here, steady()) == ("steady-burning", None)
    contents = [t for c in here.rig.program.contents for _, t in c.channels if t.period_ms == 800 and len(t.spans) == 2]
    words, start = pattern_of(here, contents[0])
    assert words == "pattern double: 100 on 100 off, 100 on 500 off ms" and start is not None
    moved = shifted(contents[0], Fraction(1, 4))
    assert pattern_of(here, moved) == (words, (start + 200) % 800)
