"""The form holds what must be looked at: every fuse, circuit, function, requirement, link end, lost signal."""

from __future__ import annotations

import re

import pytest

from rigbook.shop.final_inspection import inspection_of
from tests.papers.example_builds import BUILDS, assessed, desk


@pytest.mark.parametrize("build", BUILDS)
def test_nothing_is_left_out(build: str) -> None:
    here = desk(build)
    steps = inspection_of(assessed(build), here.bench)
    assert [s.number for s in steps] == list(range(1, len(steps) + 1))
    names = {s.step for s in steps}
    assert {f"Fuse {f}" for f in here.rig.feeds} <= names
    assert {f.name for f in here.rig.program.functions} <= names
    assert {r.name for r in here.rig.program.requirements} <= names
    assert {t.step for t in here.rig.build.inspection} <= names
    assert sum(s.step.startswith("Link ") for s in steps) == 2 * len(here.rig.links)
    for circuit in here.rig.circuits.values():
        if circuit.kind == "output" and circuit.nameplate_a > 0:
            assert f"Circuit {circuit.id}" in names


@pytest.mark.parametrize("build", BUILDS)
def test_expected_currents_are_the_name_plate_with_a_tenth(build: str) -> None:
    here, looked = desk(build), 0
    for step in inspection_of(assessed(build), here.bench):
        if not step.step.startswith("Circuit "):
            continue
        amps, off = (float(x) for x in re.match(r"([\d.]+) A ± ([\d.]+) A", step.expected).groups())  # type: ignore[union-attr]
        name = here.rig.circuits[step.step.removeprefix("Circuit ")].nameplate_a
        assert amps == pytest.approx(name, abs=0.006) and off == pytest.approx(max(name / 10, 0.1), abs=0.006)
        looked += 1
    assert looked > 5


def test_doors_and_lost_signals_are_there() -> None:
    steps = inspection_of(assessed("flood-support-van"), desk("flood-support-van").bench)
    doors = {s.step for s in steps if s.section == "Doors and wires"}
    assert {"rear door", "side door"} <= doors
    assert any(s.step.startswith("gear lost") and "white goes dark" in s.expected for s in steps)
