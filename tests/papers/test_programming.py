"""The programming sheet: every output, in words, with all that its lines speak of."""

from __future__ import annotations

import pytest

from rigbook.papers.programming import outputs_of, pieces
from rigbook.switching.plain_words import words_of
from tests.papers.example_builds import BUILDS, desk


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


def test_the_sheet_says_what_was_spared_and_what_the_proof_counts_on() -> None:
    here = desk("flood-support-van")
    told = str(pieces(here))
    before, after, longer, shorter = here.lists.spared()
    assert after < before and shorter < longer
    assert f"{after} lines with {shorter} conditions, where the program has {before} with {longer}" in told
    assert "whatever signals are lost" in told and "letting go" in told
    assert here.program_digest[:16] in told
