from __future__ import annotations

from pathlib import Path

import pytest

from rigbook.assess.assessment import Assessment, assess
from rigbook.assess.results_json import to_json
from rigbook.documents.loader import load_build
from rigbook.web.pointing import pointer

from .conftest import example_shop


@pytest.fixture(scope="module")
def assessment(tmp_path_factory: pytest.TempPathFactory) -> Assessment:
    return assess(
        load_build(
            example_shop(tmp_path_factory.mktemp("p") / "shop", "planted-faults"), Path("builds/planted-faults.yaml")
        )
    )


def test_findings_of_the_planted_faults_point_to_rows_that_are_there(assessment: Assessment) -> None:
    rig = assessment.worked
    rows = {row.id for row in rig.build.install}
    lamps = {d.id for d in rig.devices.values() if d.colours}
    pointed = {"fit?row=": 0, "fit?section=": 0, "switching": 0, "": 0, "drawn": 0}
    for finding in to_json(assessment)["findings"]:
        found = pointer(rig, finding, lamps)
        kind = next(k for k in pointed if k in found.table)
        pointed[kind] += 1
        pointed["drawn"] += bool(found.devices)
        if kind == "fit?row=":
            assert found.table.rpartition("=")[2] in rows
        assert set(found.devices) <= lamps
    assert pointed["fit?row="] >= 5 and pointed["drawn"] >= 2 and pointed["switching"] >= 1, pointed


@pytest.mark.parametrize(
    ("subject", "table"),
    [
        ("vehicle", ""),
        ("switching", ""),
        ("nothing of the kind", ""),
    ],
)
def test_what_is_nowhere_in_a_table_points_nowhere(assessment: Assessment, subject: str, table: str) -> None:
    found = pointer(assessment.worked, {"subject": subject}, ())
    assert (found.table, found.devices) == (table, ())


def test_parts_of_a_subject_lead_to_their_row(assessment: Assessment) -> None:
    rig = assessment.worked
    row = next(d.row for d in rig.devices.values() if d.id == d.row and d.part_kind == "controller")
    at = f"/builds/planted-faults/fit?row={row}"
    assert pointer(rig, {"subject": f"{row}.3"}, ()).table == at
    assert pointer(rig, {"subject": f"{row}.outputs"}, ()).table == at
    feed = rig.build.feeds[0].id
    assert pointer(rig, {"subject": feed}, ()).table.endswith(f"section=feeds&row={feed}")
    function = rig.build.switching.functions[0].name
    assert pointer(rig, {"subject": function}, ()).table == "/builds/planted-faults/switching"
