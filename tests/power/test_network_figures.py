"""Figures of the whole network: equal to the solution, explained by the same number, told where they are a fault."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from rigbook.power import explain
from rigbook.power.loads import state_loads
from rigbook.power.network_figures import NetworkFigures, network_figures, network_notes
from rigbook.power.vehicle_network import VehicleSolution, solve_state
from rigbook.rig.model import Rig


@pytest.fixture(scope="module")
def rig() -> Rig:
    from rigbook.desk.checking import open_build

    build = Path(__file__).parents[2] / "src/rigbook/data/example_shop/builds/boat-crew-pickup.yaml"
    return open_build(build, judged=False).worked


def test_figures_are_those_of_the_solution_and_explained(rig: Rig) -> None:
    looked = 0
    for figures, state in zip(network_figures(rig, state_loads(rig)), state_loads(rig), strict=True):
        solved = solve_state(rig, state)
        assert isinstance(solved, VehicleSolution)
        lowest = solved.lowest()
        assert lowest is not None and (figures.lowest_at, figures.lowest_v) == lowest
        for key in ("lowest_v", "charging_a", "lost_w"):
            working = explain(rig, f"power.network[{figures.id}].{key}")
            assert working.result == getattr(figures, key)
            looked += 1
        with pytest.raises(KeyError):
            explain(rig, f"power.network[{figures.id}].collapse_share")
    assert looked == 3 * len(rig.states)


def test_faults_of_a_network_are_told_with_their_state(rig: Rig) -> None:
    name = rig.states[0].id
    bad = NetworkFigures(name, None, None, None, None, None, (), 0.5, ("main",))
    dim = replace(bad, collapse_share=None, restored_by=None, locked_out=("lamp blue",))
    collapse, out = network_notes(rig, [bad])[0], network_notes(rig, [dim])[0]
    assert (collapse.severity, out.severity) == ("fail", "caution")
    assert "50 %" in collapse.says and "main" in collapse.says and "lamp blue" in out.says
    assert collapse.file == rig.states[0].file and network_notes(rig, network_figures(rig, state_loads(rig))) == []
