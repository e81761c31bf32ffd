from __future__ import annotations

import pytest

from rigbook.documents.completion import complete, fields_of, record_at
from rigbook.documents.schema.build import BuildDocument, Install

TEXT = """rigbook: 1
install:
  - id: a
    part: sur
    pl
  - {id: b, part: x, t
switching:
  switches:
    - id: x
      kind: sl
  functions:
    - name: W
      when: mas
      show:
        - lamps: w
          col
"""
NAMES = {
    "parts": ["surface-a"],
    "variables": ["master"],
    "conditions": ["parked"],
    "words": ["and"],
    "tags": ["warning"],
}


@pytest.mark.parametrize(
    ("line", "column", "start", "wanted"),
    [
        (4, 14, 11, {"surface-a"}), (5, 7, 5, {"place", "part", "tags"}), (6, 23, 22, {"tags", "place"}),
        (10, 15, 13, {"slide", "rotary", "momentary"}), (13, 16, 13, {"master", "parked", "and"}),
        (15, 19, 18, {"warning"}), (16, 14, 11, {"colour", "colours", "lamps"}), (1, 1, 1, {"install", "switching"}),
    ],
)  # fmt: skip
def test_keys_and_names_are_offered_where_they_may_stand(line: int, column: int, start: int, wanted: set[str]) -> None:
    at, options = complete(TEXT, line, column, NAMES)
    assert at == start and wanted <= {o.label for o in options}


def test_any_place_of_any_text_has_an_answer() -> None:
    asked = 0
    for text in (TEXT, "", "\n\n", "{{{", "- - -", "a: {b: [", "# c"):
        for line in range(1, len(text.splitlines()) + 2):
            for column in (1, 2, 5, 9, 40):
                assert complete(text, line, column, {})[0] >= 1
                asked += 1
    assert asked > 100


def test_every_key_of_a_record_has_its_meaning() -> None:
    found = fields_of(Install)
    assert {f.key for f in found} == {f.alias or n for n, f in Install.model_fields.items() if n != "marks_"}
    assert all(f.about and f.value for f in found)
    assert record_at(["install"]) is Install and record_at([]) is BuildDocument and record_at(["build", "id"]) is None
