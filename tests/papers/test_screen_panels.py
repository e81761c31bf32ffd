"""Switches by panel and saved states whole."""

from __future__ import annotations

from rigbook.papers.screen_panels import saved_values, switches_by_panel
from tests.papers.opened import example


def test_every_switch_stands_on_one_panel() -> None:
    rig = example("flood-support-van").worked
    panels = switches_by_panel(rig)
    members = [i for p in panels for i in p["switches"]]
    assert sorted(members) == [i for i, v in enumerate(rig.program.variables) if v.kind == "switch"]
    assert [p["id"] for p in panels] == ["panel-console", "", "panel-rear"]
    assert panels[1]["title"] == "Wired by itself"


def test_saved_states_are_whole() -> None:
    rig = example("flood-support-van").worked
    for point in rig.states:
        values = saved_values(rig, point)
        assert values is not None and len(values) == len(rig.program.variables)
        for name, value in point.settings:
            index = next(i for i, v in enumerate(rig.program.variables) if v.name == name)
            assert rig.program.variables[index].values[values[index]] == value
