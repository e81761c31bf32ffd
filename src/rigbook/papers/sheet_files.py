"""A sheet as the bytes of a .csv or .xlsx file. Equal sheets give equal bytes; no cell can act as a formula."""

from __future__ import annotations

import csv
import io

from rigbook.papers.sheets import Cell, Sheet

FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r")
WIDEST = 60


def guarded(cell: Cell) -> Cell:
    """A cell that a spreadsheet cannot take for a formula: texts that begin like one get an apostrophe in front."""
    if isinstance(cell, str) and cell.startswith(FORMULA_STARTS):
        return "'" + cell
    return cell


def csv_bytes(sheet: Sheet) -> bytes:
    """Comma-separated values in UTF-8 with a byte order mark, which spreadsheets ask for; lines end in CR LF."""
    out = io.StringIO(newline="")
    writer = csv.writer(out)
    writer.writerow([guarded(c.header) for c in sheet.columns])
    writer.writerows([guarded(cell) for cell in row] for row in sheet.rows)
    return out.getvalue().encode("utf-8-sig")


def xlsx_bytes(sheet: Sheet) -> bytes:
    """A workbook of one sheet: bold frozen header with units, a filter, columns as wide as their content."""
    import datetime

    import xlsxwriter  # type: ignore[import-untyped]

    out = io.BytesIO()
    workbook = xlsxwriter.Workbook(
        out, {"in_memory": True, "strings_to_formulas": False, "strings_to_numbers": False, "strings_to_urls": False}
    )
    # A fixed date, since the file would otherwise carry the clock and differ from run to run.
    workbook.set_properties({"title": sheet.title, "created": datetime.datetime(2000, 1, 1)})
    page = workbook.add_worksheet(sheet.name[:31])
    bold = workbook.add_format({"bold": True, "bottom": 1})
    for column, one in enumerate(sheet.columns):
        page.write_string(0, column, str(guarded(one.header)), bold)
        texts = [one.header, *(str(row[column] if row[column] is not None else "") for row in sheet.rows)]
        page.set_column(column, column, min(WIDEST, 2 + max(len(t) for t in texts)))
    for number, row in enumerate(sheet.rows, start=1):
        for column, cell in enumerate(row):
            if isinstance(cell, str):
                page.write_string(number, column, str(guarded(cell)))
            elif cell is not None:
                page.write_number(number, column, cell)
    page.freeze_panes(1, 0)
    if sheet.rows:
        page.autofilter(0, 0, len(sheet.rows), len(sheet.columns) - 1)
    workbook.close()
    return out.getvalue()
