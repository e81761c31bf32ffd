"""Every .xlsx opened with openpyxl: header, units, frozen rows, and each cell against the sheet and the JSON."""

from __future__ import annotations

import io
from typing import Any

import pytest

from rigbook.cli.sheet import NAMES
from rigbook.papers.sheet_files import guarded, xlsx_bytes
from rigbook.papers.sheets import rounded, sheet
from tests.papers.example_builds import BUILDS, assessed, desk

openpyxl = pytest.importorskip("openpyxl")


def opened(data: bytes) -> Any:
    return openpyxl.load_workbook(io.BytesIO(data)).active


@pytest.mark.parametrize("build", BUILDS)
def test_every_cell_of_every_sheet_reads_back(build: str) -> None:
    looked = 0
    for name in NAMES:
        if name == "labels":
            continue
        made = sheet(name, assessed(build))
        page = opened(xlsx_bytes(made))
        assert page.freeze_panes == "A2", name
        assert [c.value for c in page[1]] == [c.header for c in made.columns], name
        assert page.max_row == 1 + len(made.rows)
        for row, cells in zip(made.rows, page.iter_rows(min_row=2, values_only=True), strict=True):
            for wanted, found in zip(row, cells, strict=True):
                assert (found if found is not None else "") == (guarded(wanted) if wanted is not None else ""), name
                looked += 1
        for at, column in enumerate(made.columns):
            assert page.column_dimensions[openpyxl.utils.get_column_letter(at + 1)].width > 2, column
    assert looked > 1500


@pytest.mark.parametrize("build", BUILDS)
def test_figures_are_those_of_the_json(build: str) -> None:
    report = desk(build).report
    kilogram = 0.45359237
    axles = {r[0]: r for r in sheet("axles", assessed(build)).rows}
    for axle in report["body"]["axles"]:
        row = axles[f"{axle['id']} axle"]
        assert row[1] == pytest.approx(axle["load_kg"] / kilogram, rel=1e-5)
        assert row[3] == pytest.approx(axle["margin_kg"] / kilogram, rel=1e-4, abs=1e-3)
    fuses = {r[3]: r for r in sheet("fuses", assessed(build)).rows}
    for feed in report["power"]["feeds"]:
        row = fuses[feed["id"]]
        assert (row[2], row[6], row[7]) == (
            rounded(feed["fuse_a"]),
            rounded(feed["worst_rms_a"]),
            rounded(feed["worst_peak_a"]),
        )
    harness = {(r[0], r[5]) for r in sheet("harness", assessed(build)).rows}
    for circuit in report["power"]["circuits"]:
        if circuit["conductor"] and circuit["devices"]:
            assert any(c == circuit["id"] for c, _ in harness), circuit["id"]
    quote = {r[2]: r for r in sheet("quote", assessed(build)).rows if r[0] == "price"}
    assert quote["Parts and small material"][4] + quote["Labor"][4] == pytest.approx(report["money"]["total"])


def test_the_equipment_of_the_quote_is_what_is_bought() -> None:
    made = sheet("quote", assessed("flood-support-van"))
    bought = sum(d.bought and d.part_id is not None for d in desk("flood-support-van").rig.devices.values())
    banks = sum(b.count for b in desk("flood-support-van").rig.banks.values() if not b.own)
    assert sum(int(r[3]) for r in made.rows if r[0] == "equipment" and r[3] is not None) == bought + banks
