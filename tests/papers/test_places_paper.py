from __future__ import annotations

import pytest

from rigbook.papers.places_paper import ORDER, equipment, lamps, side_of
from tests.papers.example_builds import BUILDS, desk


@pytest.mark.parametrize("build", BUILDS)
def test_every_installed_row_stands_once_with_its_part(build: str) -> None:
    here = desk(build)
    table = next(p for p in equipment(here) if p["kind"] == "table")
    rows = [r for r in table["rows"] if not isinstance(r, dict)]
    assert sorted(r[4] for r in rows) == sorted(i.id for i in here.rig.build.install)
    for row in rows:
        install = next(i for i in here.rig.build.install if i.id == row[4])
        assert row[5] == here.rig.parts[install.part].title
        assert row[6] == str(install.along.count if install.along else 1)
    groups = [r["group"] for r in table["rows"] if isinstance(r, dict)]
    assert groups == sorted(groups, key=ORDER.index)


def test_sides_as_a_person_walks_round() -> None:
    devices = desk("flood-support-van").rig.devices
    assert side_of(devices["grille-left"]) == "Outside, front"
    assert side_of(devices["side-low-right"]) == "Outside, right"
    assert side_of(devices["dome-front"]) == "Inside"


@pytest.mark.parametrize("build", BUILDS)
def test_every_lamp_is_listed_with_its_height(build: str) -> None:
    here = desk(build)
    table = next(p for p in lamps(here) if p["kind"] == "table")
    found = {r[0].removesuffix(" (factory)"): r for r in table["rows"]}
    for device in here.rig.devices.values():
        if device.colours:
            assert float(found[device.id][8]) == pytest.approx(device.placement.poses[0].at.z_m / 0.0254, abs=0.51)
