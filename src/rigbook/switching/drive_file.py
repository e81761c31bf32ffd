"""A recorded drive as a table of values over time: comma-separated text, read with every fault at its place.

The first line names the columns. The first is `time (s)` or `time (ms)`, ever growing. Each other column is a switch or
a signal of the program, or something measured with its unit, as `voltage.auxiliary (V)`. A cell says what stands from
that time on; an empty cell leaves what stood. `lost` in the cell of a data-bus signal loses it until its next value.
Lines that begin with # are remarks.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from typing import Literal

from rigbook.quantities.parse import QuantityError, parse_quantity
from rigbook.quantities.units import Dimension
from rigbook.switching.language import nearest
from rigbook.switching.program import Program
from rigbook.switching.states import value_index

LOST = "lost"
MOST_BYTES = 20_000_000
MOST_ROWS = 200_000
MOST_TROUBLES = 50
LONGEST_MS = 31 * 24 * 3600 * 1000
_MEASURED: Mapping[str, Dimension] = {"voltage": "voltage", "speed": "speed", "temperature": "temperature"}


@dataclass(frozen=True, slots=True)
class DriveTrouble:
    """A fault of the file, where it stands (counted from 1)."""

    line: int
    column: int
    says: str


class WrongDrive(Exception):
    """The file is no drive of this program; all its faults, up to a stated number."""

    def __init__(self, troubles: Sequence[DriveTrouble]) -> None:
        super().__init__("; ".join(t.says for t in troubles))
        self.troubles = tuple(troubles)


@dataclass(frozen=True, slots=True)
class Column:
    """One column: a variable of the program, or what is measured and in which unit."""

    kind: Literal["switch", "signal", "measured"]
    name: str
    unit: str = ""


@dataclass(frozen=True, slots=True)
class Row:
    """What is recorded at one time: new values of columns (index, text), in the file's order. Measured ones are SI."""

    line: int
    at_ms: int
    values: tuple[tuple[int, str], ...]
    measured: tuple[tuple[int, float], ...]


@dataclass(frozen=True, slots=True)
class DriveFile:
    """A whole recording."""

    columns: tuple[Column, ...]
    rows: tuple[Row, ...]


@dataclass(frozen=True, slots=True)
class _Cell:
    text: str
    line: int
    column: int


def read_drive(program: Program, content: bytes) -> DriveFile:
    """The drive that a file holds, for a program.

    Raises:
        WrongDrive: with every fault at its line and column.
    """
    if len(content) > MOST_BYTES:
        raise WrongDrive([DriveTrouble(1, 1, f"the file is larger than {MOST_BYTES} bytes")])
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as wrong:
        line = content.count(b"\n", 0, wrong.start) + 1
        raise WrongDrive([DriveTrouble(line, 1, "this is no text in UTF-8; save it as CSV UTF-8")]) from wrong
    troubles: list[DriveTrouble] = []
    records = list(_records(text, troubles))
    if not records:
        raise WrongDrive(troubles or [DriveTrouble(1, 1, "the file is empty; its first line names the columns")])
    scale, columns = _header(program, records[0], troubles)
    rows = [] if troubles else list(_rows(program, scale, columns, records[1:], troubles))
    if not troubles and not rows:
        troubles.append(DriveTrouble(records[0][0].line, 1, "there is no line below the header"))
    if troubles:
        raise WrongDrive(troubles[:MOST_TROUBLES])
    return DriveFile(columns, tuple(rows))


def _records(text: str, troubles: list[DriveTrouble]) -> Iterator[list[_Cell]]:
    """Lines of cells with their places. Quotation marks enclose cells, twice for one of them."""
    for number, line in enumerate(text.replace("\r\n", "\n").replace("\r", "\n").split("\n"), 1):
        if not line.strip() or line.lstrip().startswith("#"):
            continue
        if "\0" in line:
            troubles.append(DriveTrouble(number, line.index("\0") + 1, "a character that no text holds"))
            continue
        cells: list[_Cell] = []
        at = 0
        while True:
            start = at
            if line[at : at + 1] == '"':
                cell, at = _quoted(line, at)
                if at < 0:
                    troubles.append(DriveTrouble(number, start + 1, "the quotation mark is not closed on its line"))
                    break
            else:
                end = line.find(",", at)
                at = len(line) if end < 0 else end
                cell = line[start:at]
            cells.append(_Cell(cell.strip(), number, start + 1))
            if at >= len(line):
                break
            if line[at] != ",":
                troubles.append(DriveTrouble(number, at + 1, "a comma belongs between cells"))
                break
            at += 1
        yield cells


def _quoted(line: str, at: int) -> tuple[str, int]:
    """A cell in quotation marks and where it ends; -1 where it does not."""
    found = []
    at += 1
    while True:
        end = line.find('"', at)
        if end < 0:
            return "", -1
        found.append(line[at:end])
        if line[end + 1 : end + 2] != '"':
            return '"'.join(found), end + 1
        at = end + 2


def _header(program: Program, cells: list[_Cell], troubles: list[DriveTrouble]) -> tuple[int, tuple[Column, ...]]:
    """Milliseconds in the unit of time, and the columns beside it."""
    scale = {"time (s)": 1000, "time (ms)": 1}.get(cells[0].text.lower(), 0)
    if not scale:
        troubles.append(_at(cells[0], f"the first column is time (s) or time (ms), not {cells[0].text or 'empty'}"))
    columns = []
    told: set[str] = set()
    for cell in cells[1:]:
        column = _column(program, cell, troubles)
        if column is None:
            continue
        if column.name in told:
            troubles.append(_at(cell, f"{column.name} has a column already"))
        told.add(column.name)
        columns.append(column)
    if len(cells) == 1:
        troubles.append(_at(cells[0], "there is no column beside the time"))
    return scale, tuple(columns)


def _column(program: Program, cell: _Cell, troubles: list[DriveTrouble]) -> Column | None:
    name, _, unit = cell.text.partition("(")
    name, unit = name.strip(), unit.rstrip().removesuffix(")").strip()
    variables = {v.name: v for v in program.variables}
    measured = {v.measures for v in program.variables if v.measures}
    if name in measured:
        dimension = _MEASURED.get(name.split(".")[0])
        try:
            parse_quantity(f"1 {unit}", dimension) if dimension is not None else None
        except QuantityError as wrong:
            troubles.append(_at(cell, f"{name} needs its unit in brackets, as {name} (V): {wrong}"))
            return None
        return Column("measured", name, unit)
    v = variables.get(name)
    if v is None:
        near = nearest(name, [*variables, *measured])
        troubles.append(
            _at(cell, f"nothing is called {name or '(empty)'}" + (f"; did you mean {near}?" if near else ""))
        )
        return None
    if unit:
        troubles.append(_at(cell, f"{name} is a {v.kind} and has no unit"))
        return None
    if v.kind not in ("switch", "signal"):
        troubles.append(_at(cell, f"{name} is a {v.kind}: it follows from the others and is not recorded"))
        return None
    return Column("switch" if v.kind == "switch" else "signal", name)


def _rows(
    program: Program, scale: int, columns: tuple[Column, ...], records: list[list[_Cell]], troubles: list[DriveTrouble]
) -> Iterator[Row]:
    before = -1
    if len(records) > MOST_ROWS:
        troubles.append(_at(records[MOST_ROWS][0], f"a drive has at most {MOST_ROWS} lines"))
        return
    for cells in records:
        if len(troubles) >= MOST_TROUBLES:
            return
        if len(cells) != len(columns) + 1:
            troubles.append(_at(cells[0], f"{len(cells)} cells, where the header names {len(columns) + 1}"))
            continue
        at_ms = _time(cells[0], scale, troubles)
        if at_ms is None:
            continue
        if at_ms <= before:
            troubles.append(_at(cells[0], f"time {cells[0].text} does not come after the line before"))
        before = max(before, at_ms)
        values, measured = [], []
        for index, (column, cell) in enumerate(zip(columns, cells[1:], strict=True)):
            if not cell.text:
                continue
            if column.kind == "measured":
                number = _measured(column, cell, troubles)
                measured += [(index, number)] if number is not None else []
            elif _is_value(program, column, cell, troubles):
                values.append((index, cell.text))
        yield Row(cells[0].line, at_ms, tuple(values), tuple(measured))


def _time(cell: _Cell, scale: int, troubles: list[DriveTrouble]) -> int | None:
    try:
        at_ms = Decimal(cell.text) * scale
    except InvalidOperation:
        troubles.append(_at(cell, f"time {cell.text or '(empty)'} is no number"))
        return None
    if not at_ms.is_finite() or at_ms < 0 or at_ms > LONGEST_MS:
        troubles.append(_at(cell, f"time {cell.text} is not between 0 and 31 days"))
        return None
    if at_ms != at_ms.to_integral_value():
        troubles.append(_at(cell, f"time {cell.text} is no whole number of milliseconds"))
        return None
    return int(at_ms)


def _measured(column: Column, cell: _Cell, troubles: list[DriveTrouble]) -> float | None:
    try:
        return parse_quantity(f"{cell.text} {column.unit}", _MEASURED[column.name.split(".")[0]])
    except QuantityError as wrong:
        troubles.append(_at(cell, f"{column.name}: {wrong}"))
        return None


def _is_value(program: Program, column: Column, cell: _Cell, troubles: list[DriveTrouble]) -> bool:
    v = next(v for v in program.variables if v.name == column.name)
    if cell.text == LOST:
        if not v.losable:
            troubles.append(_at(cell, f"{v.name} does not come over a data bus: it cannot be lost"))
        return v.losable
    if value_index(v, cell.text) is None:
        near = nearest(cell.text, v.values)
        words = f"{cell.text} is no value of {v.name}; it has {', '.join(v.values)}"
        troubles.append(_at(cell, words + (f"; did you mean {near}?" if near else "")))
        return False
    return True


def _at(cell: _Cell, says: str) -> DriveTrouble:
    return DriveTrouble(cell.line, cell.column, says)
