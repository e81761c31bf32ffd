from __future__ import annotations

import pytest

from rigbook.papers.normal import normal_a

from .opened import example


def test_normal_is_the_busiest_saved_state_and_never_above_the_name_plate() -> None:
    rig = example("duty-officer-utility").worked
    found = normal_a(rig)
    assert set(found) == set(rig.circuits) | set(rig.feeds)
    assert max(found.values()) > 1.0
    for circuit in rig.circuits.values():
        feed = rig.feeds.get(circuit.id)
        assert 0.0 <= found[circuit.id] <= (feed.nameplate_a if feed else circuit.nameplate_a) + 1e-9


def test_a_main_carries_what_its_branches_carry_together_at_most() -> None:
    rig = example("duty-officer-utility").worked
    found = normal_a(rig)
    branches = [f.id for f in rig.feeds.values() if f.parent == "main"]
    assert len(branches) >= 4
    assert found["main"] <= sum(found[b] for b in branches) + 1e-9
    assert found["main"] == pytest.approx(max(found["main"], *(found[b] for b in branches)))
