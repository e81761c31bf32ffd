"""Sheets as files: read back by other programs, equal bytes, no cell that acts."""

from __future__ import annotations

import csv
import io

import openpyxl
import pytest

from rigbook.papers.sheet_files import csv_bytes, guarded, xlsx_bytes
from rigbook.papers.sheets import Column, Sheet

SHEET = Sheet(
    "test", "A test", (Column("what"), Column("mass", "kg"), Column("count")),
    (("=1+1", 2.5, 3), ("+1", None, -4), ("-2", -1.25, None), ("@sum", 0.0, 0), ("plain, with comma", 1e-3, 7)),
)  # fmt: skip


def test_csv_reads_back() -> None:
    rows = list(csv.reader(io.StringIO(csv_bytes(SHEET).decode("utf-8-sig"))))
    assert rows[0] == ["what", "mass, kg", "count"]
    assert rows[1] == ["'=1+1", "2.5", "3"]
    assert rows[2] == ["'+1", "", "-4"], "numbers below zero stay numbers"
    assert rows[5][0] == "plain, with comma"


def test_xlsx_reads_back_with_another_program() -> None:
    page = openpyxl.load_workbook(io.BytesIO(xlsx_bytes(SHEET)))["test"]
    rows = [[cell.value for cell in row] for row in page.iter_rows()]
    assert rows[0] == ["what", "mass, kg", "count"]
    assert rows[1] == ["'=1+1", 2.5, 3]
    assert rows[3] == ["'-2", -1.25, None]
    assert page.freeze_panes == "A2"
    assert page["A1"].font.bold
    assert all(cell.data_type != "f" for row in page.iter_rows() for cell in row), "no formula anywhere"


def test_equal_sheets_give_equal_bytes() -> None:
    assert csv_bytes(SHEET) == csv_bytes(SHEET)
    assert xlsx_bytes(SHEET) == xlsx_bytes(SHEET)


@pytest.mark.parametrize("text", ["=a", "+a", "-a", "@a", "\ta", "\ra"])
def test_texts_that_begin_like_a_formula_are_guarded(text: str) -> None:
    assert guarded(text) == "'" + text


@pytest.mark.parametrize("cell", ["a=b", "", None, -3, 2.5])
def test_other_cells_stay(cell: str | float | None) -> None:
    assert guarded(cell) == cell


def test_a_sheet_without_rows() -> None:
    empty = Sheet("empty", "Empty", SHEET.columns, ())
    assert csv_bytes(empty).decode("utf-8-sig").count("\r\n") == 1
    assert openpyxl.load_workbook(io.BytesIO(xlsx_bytes(empty)))["empty"].max_row == 1
