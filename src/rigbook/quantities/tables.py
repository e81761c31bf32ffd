"""Published tables that ship with the program, read as printed, with source key, edition and mark.

A table is a CSV file in `rigbook/data/tables`; lines that begin with `#` before its header carry title,
source (key of `data/bibliography.yaml`), edition, clause, mark and units.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Literal

Mark = Literal["published", "common practice", "memory"]
MARKS: tuple[Mark, ...] = ("published", "common practice", "memory")


@dataclass(frozen=True, slots=True)
class Table:
    """A printed table: where it is from, its column names and its cells as printed."""

    name: str
    title: str
    source: str
    edition: str
    clause: str
    mark: Mark
    units: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]

    def cell(self, *, row: str, column: str) -> str:
        """The cell of a row, named by its first cell, and a column; KeyError where there is none."""
        for cells in self.rows:
            if cells[0] == row:
                if column not in self.columns:
                    break
                return cells[self.columns.index(column)]
        raise KeyError(f"{self.name}: row {row}, column {column}")

    def records(self) -> tuple[dict[str, str], ...]:
        """Each row as a mapping from column to cell."""
        return tuple(dict(zip(self.columns, cells, strict=True)) for cells in self.rows)


def as_mark(text: str) -> Mark:
    """One of the three marks; ValueError for anything else."""
    for mark in MARKS:
        if mark == text:
            return mark
    raise ValueError(f"a mark is one of {', '.join(MARKS)}, not {text!r}")


def weakest(*marks: Mark) -> Mark:
    """The weakest of several marks: memory below common practice below published."""
    return max(marks, key=MARKS.index, default="published")


def parse_table(*, name: str, text: str) -> Table:
    """Read a table from its text. ValueError where the head or a row is not as it must be."""
    head: dict[str, str] = {}
    lines = text.splitlines()
    while lines and lines[0].startswith("#"):
        key, _, value = lines.pop(0)[1:].partition(":")
        head[key.strip()] = value.strip()
    missing = {"title", "source", "edition", "clause", "mark", "units"} - head.keys()
    if missing:
        raise ValueError(f"{name}: the head lacks {', '.join(sorted(missing))}")
    cells = [tuple(row) for row in csv.reader(io.StringIO("\n".join(lines))) if row]
    columns, rows = cells[0], cells[1:]
    for row in rows:
        if len(row) != len(columns):
            raise ValueError(f"{name}: row {row[0]} has {len(row)} cells, the header {len(columns)}")
    return Table(
        name=name, columns=columns, rows=tuple(rows), mark=as_mark(head.pop("mark")),
        **{key: head[key] for key in ("title", "source", "edition", "clause", "units")},
    )  # fmt: skip


@cache
def read_table(name: str) -> Table:
    """The shipped table of that name (file name without `.csv`)."""
    text = resources.files("rigbook.data").joinpath("tables", f"{name}.csv").read_text(encoding="utf-8")
    return parse_table(name=name, text=text)


def table_names() -> tuple[str, ...]:
    """Names of all tables that ship, in alphabetical order."""
    folder = resources.files("rigbook.data").joinpath("tables")
    return tuple(sorted(entry.name[:-4] for entry in folder.iterdir() if entry.name.endswith(".csv")))


@dataclass(frozen=True, slots=True)
class SourceEntry:
    """A row of the bibliography."""

    key: str
    title: str
    edition: str
    clause: str
    where: str
    mark: Mark


@cache
def bibliography() -> Mapping[str, SourceEntry]:
    """The shipped bibliography by key."""
    import yaml

    text = resources.files("rigbook.data").joinpath("bibliography.yaml").read_text(encoding="utf-8")
    return {
        key: SourceEntry(
            key=key,
            title=str(row["title"]),
            edition=str(row["edition"]),
            clause=str(row["clause"]),
            where=str(row["where"]),
            mark=as_mark(row["mark"]),
        )
        for key, row in yaml.safe_load(text).items()
    }
