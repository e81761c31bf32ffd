"""The records of the plan name each other without a gap."""

from __future__ import annotations

from rigbook.power.choose_outputs import outputs_of
from rigbook.rig.wiring import plan_wiring
from tests.rig.small import build_text, chosen

ROWS = (
    "  - {id: lamp, part: dual, place: nose}\n"
    "  - {id: stick, part: single, along: {from: [3.2 m, -0.3 m, 1 m], to: [3.2 m, 0.3 m, 1 m], count: 2}, outputs: {together: control.6}}\n"
)


def test_everything_a_plan_names_is_in_it() -> None:
    rig, choices = chosen(build_text(install=ROWS))
    grounds = {name: str(choice.value) for name, choice in choices.grounds.items()}
    plan = plan_wiring(open_rig=rig, outputs=outputs_of(choices.outputs), grounds=grounds)
    assert len(plan.segments) == 13 and len(plan.circuits) == 4
    for name, segment in plan.segments.items():
        assert name == segment.id == f"{segment.start.point}>{segment.end.point}"
        assert set(segment.equal_to) <= set(plan.segments)
        assert (segment.guards and set(segment.guards) <= {*plan.circuits, *rig.feeds}) or segment.role == "lead"
        assert (segment.lead is not None) == (segment.role == "lead") == (segment.settles == "")
    for circuit in plan.circuits.values():
        for member in circuit.members:
            assert {*member.feed_path, *member.return_path} <= set(plan.segments)
            assert set(member.carries) <= set(plan.circuits)
    assert set(plan.terminal_circuit) == {t.node for t in rig.terminals.values() if not t.signal}
    settles = [segment.settles for segment in plan.segments.values() if segment.settles]
    assert len(settles) == len(set(settles)), "each conductor settles under a path of its own"
