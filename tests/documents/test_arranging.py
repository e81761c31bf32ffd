from __future__ import annotations

import itertools

import pytest

from rigbook.documents.arranging import Operation, append, apply, move_item
from rigbook.documents.editing import EditError, value_at

TEXT = """# head
install:
  # the first
  - id: a
    part: x
  - {id: b, part: y}  # beside
  - id: c
    part: z
    tags: [one]
empty: []
last: 1
"""


@pytest.mark.parametrize(("which", "to"), list(itertools.product("abc", range(3))))
def test_a_moved_item_takes_its_lines_and_leaves_the_rest(which: str, to: int) -> None:
    after = move_item(TEXT, ("install", which), to)
    ids = [i["id"] for i in value_at(after, ("install",))]
    assert ids.index(which) == to and sorted(ids) == ["a", "b", "c"]
    assert [i for i in ids if i != which] == [i for i in "abc" if i != which], "the others keep their order"
    assert sorted(after.splitlines()) == sorted(TEXT.splitlines()), "no line is changed"


def test_moving_there_and_back_gives_the_same_bytes() -> None:
    assert move_item(move_item(TEXT, ("install", "c"), 1), ("install", "c"), 2) == TEXT


def test_the_first_item_of_an_empty_list_begins_a_block() -> None:
    after = append(TEXT, ("empty",), {"id": "n", "part": "p"})
    assert "empty:\n  - id: n\n    part: p\nlast: 1" in after
    assert append(after, ("empty",), {"id": "m"}).count("  - id:") == after.count("  - id:") + 1
    assert value_at(append(TEXT, ("fresh",), {"id": "q"}), ("fresh",)) == [{"id": "q"}]


@pytest.mark.parametrize(
    "operation",
    [
        Operation("move", "install[a]"), Operation("move", "install[a]", to=7), Operation("remove", "install[zz]"),
        Operation("append", "last", {"id": "x"}), Operation("set", "install[a].part", "two\nlines"),
        Operation("set", "install[a].part", "{broken: [", fragment=True), Operation("duplicate", "install[zz]", new_id="x"),
    ],
)  # fmt: skip
def test_what_cannot_be_made_is_refused(operation: Operation) -> None:
    with pytest.raises(EditError):
        apply(TEXT, operation)
