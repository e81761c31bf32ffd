from __future__ import annotations

import pytest

from rigbook.papers.pins import inputs_of, pin_outs
from tests.papers.example_builds import BUILDS, desk


@pytest.mark.parametrize("build", BUILDS)
def test_every_output_and_wired_input_has_one_cavity_and_spares_are_plugged(build: str) -> None:
    here = desk(build)
    pins = [(o.device, p) for o in pin_outs(here) for p in o.pins]
    for module in here.rig.modules.values():
        own = [p for device, p in pins if device == module.id]
        used = [p for p in own if p.direction == "out" and not p.unused and p.purpose != "return"]
        spare = [p for p in own if p.direction == "out" and p.unused]
        assert len(used) == len(
            [c for c in here.rig.circuits.values() if c.module_id == module.id and c.kind == "output"]
        )
        assert len(used) + len(spare) == module.outputs
        wired = {u.input for u in here.rig.inputs if u.module_id == module.id}
        assert len([p for p in own if p.label.startswith(f"{module.id}.in")]) == len(wired)
    labels = [p.label for _, p in pins if p.label != "–" and ".in" not in p.label]
    assert len(labels) == len(set(labels)) and labels


@pytest.mark.parametrize("build", BUILDS)
def test_inputs_are_all_signals_and_wired_switches(build: str) -> None:
    here = desk(build)
    program = here.rig.program
    wired = {u.subject for u in here.rig.inputs}
    wanted = [v for v in program.variables if v.kind == "signal" or (v.kind == "switch" and v.name in wired)]
    found = inputs_of(here)
    assert len(found) == len(wanted)
    for v, one in zip(wanted, found, strict=True):
        assert (v.source == "data-bus") == one.source.startswith("data bus")
        if v.kind == "signal" and v.settles_ms:
            assert one.settles_ms == v.settles_ms


def test_what_the_functions_listen_to_is_found_through_timers_and_conditions() -> None:
    rear_door = next(i for i in inputs_of(desk("flood-support-van")) if i.signal == "rear door")
    assert rear_door.source == "module-rear j3, cavity 1" and rear_door.active == "ground"
    assert "Step and compartment light" in rear_door.functions
