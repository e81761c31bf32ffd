from __future__ import annotations

from pathlib import Path

import pytest

from rigbook.assess.assessment import Assessment, assess
from rigbook.assess.results_json import to_json
from rigbook.documents.loader import load_build
from rigbook.web import fitted

from .conftest import BUILD

TEXT = """rigbook: 1
build: {id: x, title: X, vehicle: v}
install:
  - {id: a, part: p, at: [1 m, 0 m, 2 m], tags: [one, two]}
  - {id: b, part: q, outputs: {blue: control.1}, note: "a: b"}
states:
  - {id: s, title: S, set: {response: on}}
"""


@pytest.fixture(scope="module")
def assessment(shop: Path) -> Assessment:
    return assess(load_build(shop, Path(f"builds/{BUILD}.yaml")))


def test_rows_stand_as_written() -> None:
    found = fitted.written(TEXT)
    assert found["install"][0] == {"id": "a", "part": "p", "at": "[1 m, 0 m, 2 m]", "tags": "[one, two]"}
    assert found["install"][1]["outputs"] == "{blue: control.1}" and found["install"][1]["note"] == "a: b"
    assert found["states"][0]["set"] == "{response: on}" and found["feeds"] == []


@pytest.mark.parametrize("text", ["", "install: [", "[1, 2]", "install: 5", "install:\n  - 3\n"])
def test_a_text_that_cannot_be_read_has_no_rows(text: str) -> None:
    assert not any(fitted.written(text).values())


def test_worked_rows_say_what_the_rig_says(assessment: Assessment) -> None:
    rig = assessment.worked
    rows = fitted.worked_rows(rig)
    assert set(rows) == {row.id for row in rig.build.install}
    assert sorted(d for row in rows.values() for d in row["devices"]) == sorted(
        d.id for d in rig.devices.values() if d.part_id is not None
    )
    outputs = 0
    for row in rows.values():
        assert all(rig.circuits[c].kind == "output" for c in row["outputs"])
        assert all(rig.circuits[c].fuse_a is not None for c in row["fused"])
        assert len(row["at"]) == 3 and all(text.split()[-1] in ("in", "ft") for text in row["at"])
        outputs += len(row["outputs"])
    assert outputs > 5


def test_a_row_draws_what_the_figures_of_its_devices_add_up_to(assessment: Assessment) -> None:
    devices = {d["id"]: d["nameplate_a"] for d in to_json(assessment)["power"]["devices"]}
    compared = 0
    for name, row in fitted.worked_rows(assessment.worked).items():
        known = [devices[d] for d in row["devices"] if d in devices]
        if known:
            compared += 1
            assert row["current_a"] == pytest.approx(sum(known), rel=1e-5), name
    assert compared > 10


def test_prices_and_fuses_of_the_table_are_figures_with_a_working(assessment: Assessment) -> None:
    from rigbook.assess.explain import explain

    looked = 0
    for row in fitted.worked_rows(assessment.worked).values():
        for name in [f"power.circuits[{c}].fuse_a" for c in row["fused"]]:
            assert explain(assessment, name).working is not None
            looked += 1
        if row["price"]:
            found = explain(assessment, f"money.lines[{row['part']}].unit_price").working
            assert found is not None and found.result == pytest.approx(float(row["price"]))
            looked += 1
    assert looked > 15


def test_first_figures_are_those_of_the_report(assessment: Assessment) -> None:
    first, report = fitted.first_figures(assessment.worked), to_json(assessment)
    assert first["nameplate_a"] == pytest.approx(report["power"]["whole"]["nameplate_a"])
    fuses = {f["id"]: f["fuse_a"] for f in report["power"]["feeds"]}
    assert {f["id"]: f["fuse_a"] for f in first["feeds"]} == pytest.approx(fuses)
    assert first["units"] == "us" and first["currency"] == "USD"


def test_clauses_tell_what_is_known(assessment: Assessment) -> None:
    rows = fitted.clauses(assessment.loaded)
    assert len(rows) == len(assessment.loaded.build.clauses) > 0  # type: ignore[union-attr]
    assert all(m["known"] for row in rows for m in row["met_by"])


def test_decision_lists_hold_every_entry_once(assessment: Assessment) -> None:
    program = assessment.worked.program
    rows = fitted.decision_lists(assessment.worked)
    listed = {d for row in rows for d in row["devices"]}
    assert listed == {d.id for d in program.devices if d.entries or d.dims}
    for row in rows:
        device = next(d for d in program.devices if d.id == row["devices"][0])
        assert [e["function"] for e in row["entries"]] == [program.functions[e.function].name for e in device.entries]
        assert all(e["when"] and e["does"] for e in row["entries"])


def test_names_are_offered_by_kind_and_without_a_readable_build_too(assessment: Assessment) -> None:
    names = fitted.names_in(assessment, TEXT, {})
    assert names["install"] == ["a", "b"]
    assert {"parts", "places", "feeds", "variables", "patterns", "colours", "outputs"} <= names.keys()
    assert "grille-left" in names["places"] and "control.1" in names["outputs"]
    assert "words" in fitted.names_in(None, "", {})
