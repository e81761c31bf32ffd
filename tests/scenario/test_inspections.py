"""The form of the whole vehicle, carried out on vehicles that lack something: what fails there, and what must not."""

from __future__ import annotations

import pytest

from tests.scenario.inspections import current_left_a, draws, draws_of, failing_steps, vehicle_of, whole
from tests.scenario.removals import missed_by_inspection
from tests.scenario.shop import COMPLETE, MIDDLE, SMALL, SOUND, text, without


@pytest.mark.parametrize("build", SOUND)
def test_the_delivered_vehicle_passes_every_step(build: str) -> None:
    rig, errors = vehicle_of(build, text(build))
    assert rig is not None and not errors
    assert failing_steps(build, rig, "anything") == []
    sections = {step.section for step in whole(build).steps.values()}
    assert {"Before power", "Currents, one circuit at a time", "Functions", "Lost signals"} <= sections


@pytest.mark.parametrize("build", SOUND)
def test_every_printed_current_is_found_again(build: str) -> None:
    rig = whole(build).rig
    looked_at = [c for c in rig.circuits.values() if draws_of(rig)[c.id] and not any(m.carries for m in c.members)]
    assert len(looked_at) >= 10
    for circuit in looked_at:
        left = current_left_a(rig, rig, circuit.id)
        assert left is None or left == pytest.approx(circuit.nameplate_a)


def test_a_missing_function_fails_the_step_of_its_name() -> None:
    name = "White added ahead in motion"
    assert missed_by_inspection(SMALL, "function", name)[0] == f"inspection step {name}"


def test_a_function_that_only_slows_the_flash_fails_the_step_of_its_name() -> None:
    name = "Warning eased in park"
    assert missed_by_inspection(COMPLETE, "function", name)[0] == f"inspection step {name}"


def test_a_missing_load_fails_the_current_of_its_circuit_alone() -> None:
    steps = missed_by_inspection(MIDDLE, "device", "pocket-1")
    assert steps[-1] == "inspection step Circuit pocket-feed"
    assert all(step.startswith("inspection step Fitted: ") for step in steps[:-1]) and len(steps) == 2


def test_what_draws_nothing_fails_no_current() -> None:
    assert not draws(COMPLETE, "console")
    assert missed_by_inspection(COMPLETE, "device", "console") == ["inspection step Fitted: console-low"]


def test_a_missing_link_leaves_no_fuse_to_look_at() -> None:
    steps = missed_by_inspection(SMALL, "link", "bank-link")
    assert len(steps) == 2 and all(step.startswith("inspection step Link bank-link, fuse at ") for step in steps)


def test_a_change_within_the_tolerance_is_no_failure() -> None:
    """Two loads swapped for none and the rest measured by hand: the sum left lies outside a tenth, or the step passes."""
    asked = whole(COMPLETE).rig
    judged = 0
    for name in ("pocket-1", "usb-console", "lamp-pocket-1", "camera-rear"):
        rig, _ = vehicle_of(COMPLETE, without_clauses(without(text(COMPLETE), "device", name)))
        assert rig is not None
        fails = failing_steps(COMPLETE, rig, name)
        for circuit in asked.circuits.values():
            gone = sum(
                w.current_a
                for d, c in draws_of(asked)[circuit.id]
                if d == name
                for w in asked.devices[d].draws
                if w.channel == c
            )
            if gone:
                judged += 1
                assert (f"Circuit {circuit.id}" in fails) == (gone > max(0.1 * circuit.nameplate_a, 0.1))
    assert judged >= 4


def without_clauses(source: str) -> str:
    """The text without its specification, which is no part of the vehicle."""
    head, _, rest = source.partition("\nclauses:\n")
    lines = rest.splitlines(keepends=True)
    while lines and not lines[0][:1].isalpha():
        lines.pop(0)
    return head + "\n" + "".join(lines)
