"""What an open rig still asks for."""

from __future__ import annotations

from tests.rig.small import build_text, opened


def test_an_open_rig_holds_what_is_set_and_leaves_the_rest_open() -> None:
    rows = "  - {id: lamp, part: dual, place: nose, outputs: {blue: control.2, white: control.1}}\n"
    rig = opened(build_text(install=rows + "  - {id: other, part: single, place: corner, wire: 14 AWG}\n"))
    set_, open_ = rig.terminals["lamp:blue"], rig.terminals["other:amber"]
    assert (set_.output, set_.modules, set_.wire) == ("control.2", (), None)
    assert (open_.output, open_.modules, str(open_.wire)) == (None, ("control",), "14 AWG")
    assert rig.feeds["main"].fuse_a is None and rig.feeds["main"].wire is None
    assert all(draw.circuit_id is None for device in rig.devices.values() for draw in device.draws)
    assert rig.compiled.program is not None and len(rig.device_facts) == 4
