"""Shipped tables and the bibliography: whole, numeric, cited."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from rigbook.quantities.tables import (
    as_mark,
    bibliography,
    parse_table,
    read_table,
    table_names,
    weakest,
)

HEAD = "# title: T\n# source: s\n# edition: e\n# clause: c\n# mark: published\n# units: u\n"


def test_every_table_cites_the_bibliography_and_holds_what_its_header_says() -> None:
    known = bibliography()
    names = table_names()
    assert len(names) >= 11
    cells = 0
    for name in names:
        table = read_table(name)
        assert table.source in known, name
        assert table.rows and table.title and table.edition and table.clause and table.units
        numbers = [len(name) for name in table.columns if name in ("type", "observation", "entrance")]
        keys = {row[: max(1, len(numbers))] for row in table.rows}
        assert len(keys) == len(table.rows), f"{name}: a row twice"
        for record in table.records():
            cells += len(record)
            if "source" in record:
                assert record["source"] in known
            if "mark" in record:
                as_mark(record["mark"])
    assert cells > 600


def test_every_entry_of_the_bibliography_says_where_and_how_sure() -> None:
    entries = bibliography()
    assert len(entries) > 25
    for key, entry in entries.items():
        assert entry.key == key and entry.title and entry.edition and entry.clause and entry.where
        assert ("common practice" in entry.edition) == (entry.mark == "common practice"), key


SOURCES = Path(__file__).parents[2] / "src" / "rigbook"


def test_no_source_stands_unused_and_none_is_unknown() -> None:
    known = set(bibliography())
    files = [p for p in SOURCES.rglob("*") if p.suffix in (".py", ".csv", ".yaml") and p.name != "bibliography.yaml"]
    texts = {path: path.read_text(encoding="utf-8") for path in files}
    assert len(texts) > 100
    assert {key for key in known if not any(key in text for text in texts.values())} == set()
    cited = [
        (path.name, key)
        for path, text in texts.items()
        if path.parent.name in ("power", "body", "money")
        for key in re.findall(r"[Ss]ource(?: of the checks)?: ([a-z0-9]+(?:-[a-z0-9]+)+)", text)
    ]
    assert len(cited) > 20
    assert [pair for pair in cited if pair[1] not in known] == []


def test_a_cell_by_row_and_column() -> None:
    table = parse_table(name="t", text=HEAD + "a,b\n1,2\n3,\n")
    assert table.cell(row="1", column="b") == "2"
    assert table.cell(row="3", column="b") == ""
    for row, column in (("2", "b"), ("1", "c")):
        with pytest.raises(KeyError):
            table.cell(row=row, column=column)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("a,b\n1,2\n", "lacks"),
        (HEAD.replace("published", "certain") + "a\n1\n", "a mark is one of"),
        (HEAD + "a,b\n1\n", "has 1 cells"),
    ],
)
def test_a_table_that_is_not_whole_is_refused(text: str, says: str) -> None:
    with pytest.raises(ValueError, match=says):
        parse_table(name="t", text=text)


def test_the_weakest_mark() -> None:
    assert weakest() == "published"
    assert weakest("published", "memory", "common practice") == "memory"
    assert weakest("published", "common practice") == "common practice"
