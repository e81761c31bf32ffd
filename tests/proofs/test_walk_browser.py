"""The walks of the example builds, made by the browser's stepper: the same states after every move."""

from __future__ import annotations

import json

import pytest

from rigbook.proofs.walk import WalkEffort, inspection_walk
from rigbook.switching.serialise import program_to_json
from tests.papers.opened import example
from tests.switching.test_browser import in_chromium, python_steps

pytestmark = pytest.mark.browser


def test_walks_in_chromium() -> None:
    batch = []
    programs = []
    for build in ("duty-officer-utility", "boat-crew-pickup", "flood-support-van"):
        program = example(build).worked.program
        events: list[list[object]] = []
        for step in inspection_walk(program, WalkEffort(starts=1, moves=2_000)).steps:
            event = step.event
            about = (
                dict(event.changes)
                if event.what in ("set", "signal")
                else event.changes[0][0]
                if event.changes
                else event.wait_ms
            )
            events.append(["set" if event.what == "signal" else event.what, about])
            if step.settles_ms:
                events.append(["wait", step.settles_ms])
        programs.append((program, events))
        batch.append({"json": program_to_json(program), "states": [], "sequences": [events]})
    moves = 0
    for (program, events), answer in zip(programs, in_chromium([batch]), strict=True):
        mine = json.loads(json.dumps(python_steps(program, events)))
        assert answer["steps"] == [mine] and all(step[4] is None for step in mine)
        moves += len(mine)
    assert moves > 100
