"""Edits touch one line and nothing else: over every scalar of every example document."""

import random

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.documents.shop_files import HAND_STYLED, files

from rigbook.documents.editing import (
    EditError,
    _data,
    add_key,
    append_item,
    duplicate_item,
    format_path,
    insert_item,
    parse_path,
    readable_outline,
    remove_item,
    remove_key,
    set_value,
    value_at,
)

FILES = files()


def every_scalar(data, path=()):
    if isinstance(data, dict):
        for key, value in data.items():
            yield from every_scalar(value, (*path, key))
    elif isinstance(data, list):
        for index, value in enumerate(data):
            yield from every_scalar(value, (*path, index))
    else:
        yield path, data


def changed_lines(before, after):
    old, new = before.split("\n"), after.split("\n")
    assert len(old) == len(new)
    return [i for i, (a, b) in enumerate(zip(old, new, strict=True)) if a != b]


def test_the_examples_are_all_there():
    assert len(FILES) >= 8
    assert sum(len(list(every_scalar(_data(readable_outline(text))))) for text in FILES.values()) > 2000


@pytest.mark.parametrize("name", sorted(FILES))
def test_each_scalar_edit_changes_one_line(name):
    """A sample of scalars evenly spread over the file."""
    edit_scalars(FILES[name], 12)


@pytest.mark.long
@pytest.mark.parametrize("name", sorted(FILES))
def test_every_scalar_edit_changes_one_line(name):
    edit_scalars(FILES[name], 10**6)


def edit_scalars(text, most):
    scalars = list(every_scalar(_data(readable_outline(text))))
    looked_at = 0
    for path, value in scalars[:: max(1, len(scalars) // most)]:
        if "\n" in value:
            continue
        edited = set_value(text, path, f"{value} x")
        assert len(changed_lines(text, edited)) == 1, path
        assert value_at(edited, path) == f"{value} x"
        looked_at += 1
    assert looked_at >= min(len(scalars), most) * 0.8


@pytest.mark.parametrize("newline", ["\n", "\r\n"])
def test_line_ends_and_byte_order_mark_stay(newline):
    text = HAND_STYLED.replace("\n", newline)
    edited = set_value(text, ("install", "two", "part"), "lamp-x")
    assert edited == text.replace("lamp-b", "lamp-x")
    assert append_item(text, ("install",), {"id": "four", "part": "p"}).count("\n") == text.count("\n") + 2
    if newline == "\r\n":
        grown = append_item(text, ("install",), {"id": "four", "part": "p"})
        assert grown.count("\r\n") == grown.count("\n")
    marked = "\ufeff" + text
    assert set_value(marked, ("install", "two", "part"), "lamp-x") == marked.replace("lamp-b", "lamp-x")


@given(st.text(max_size=40), st.sampled_from([("build", "title"), ("build", "id"), ("install", "one", "part"), ("notes",),
                                              ("install", 0, "tags", 1), ("install", 1, "outputs", "blue")]))  # fmt: skip
def test_any_text_reads_back(value, path):
    try:
        edited = set_value(HAND_STYLED, path, value)
    except EditError:
        assert any(ord(c) < 32 or 0xD7FF < ord(c) < 0xE000 or ord(c) > 0xFFFD for c in value) or not value.isprintable()
    else:
        assert value_at(edited, path) == value


def test_set_value_keeps_quotes_and_layout():
    edited = set_value(HAND_STYLED, ("build", "title"), "It's new")
    assert "    title:   'It''s new'\n" in edited
    edited = set_value(HAND_STYLED, ("build", "vehicle"), "van")
    assert '    vehicle: "van"\n' in edited
    edited = set_value(HAND_STYLED, ("build", "id"), "a")
    assert "    id:      a      # four blanks of indentation\n" in edited
    edited = set_value(HAND_STYLED, ("install", "two", "outputs"), "auto")
    assert "    outputs: auto\n" in edited
    edited = set_value(HAND_STYLED, ("install", "two", "outputs"), "{blue: control.9}", fragment=True)
    assert "    outputs: {blue: control.9}\n" in edited


def test_set_value_adds_an_absent_key():
    edited = set_value(HAND_STYLED, ("install", "two", "wire"), "14 AWG")
    assert edited == HAND_STYLED.replace("control.2}\n", "control.2}\n    wire: 14 AWG\n")
    edited = set_value(HAND_STYLED, ("install", "one", "wire"), "14 AWG")
    assert "tags: [ warning,  dual ], wire: 14 AWG}   # behind" in edited
    edited = set_value(HAND_STYLED, ("settled", "feeds[main].wire"), "2 AWG")
    assert 'settled: {"feeds[main].wire": 2 AWG}\n' in edited


def test_a_text_with_a_comma_is_quoted_in_braces():
    edited = set_value(HAND_STYLED, ("install", "one", "part"), "a, b")
    assert 'part: "a, b"' in edited


def test_remove_key():
    assert remove_key(HAND_STYLED, ("build", "title")) == HAND_STYLED.replace(
        "    title:   'Unit 3: the \"old\" one'\n", ""
    )
    assert "-   part: lamp-b\n" in remove_key(HAND_STYLED, ("install", "two", "id"))
    assert "{id: one,   place: here" in remove_key(HAND_STYLED, ("install", "one", "part"))
    assert "place: here}   # behind" in remove_key(HAND_STYLED, ("install", "one", "tags"))
    with pytest.raises(EditError):
        remove_key(HAND_STYLED, ("install", "two", "wire"))


def test_items():
    grown = append_item(HAND_STYLED, ("install",), {"id": "four", "part": "p", "tags": ["a", "b"]})
    assert "- id: four\n  part: p\n  tags: [a, b]\nstates: []\n" in grown
    assert HAND_STYLED.split("states:")[0] in grown
    assert "states: [{id: x, title: X}]\n" in append_item(HAND_STYLED, ("states",), {"id": "x", "title": "X"})
    first = insert_item(HAND_STYLED, ("install", 0), {"id": "zero"})
    assert "- {id: zero}\n- {id: one," in first
    assert "[ warning,  dual, third ]" in append_item(HAND_STYLED, ("install", "one", "tags"), "third")
    assert "[ first, warning,  dual ]" in insert_item(HAND_STYLED, ("install", "one", "tags", 0), "first")
    assert "[ dual ]" in remove_item(HAND_STYLED, ("install", "one", "tags", 0))
    twin = duplicate_item(HAND_STYLED, ("install", "one"), "one-b")
    assert "- {id: one-b,   part: lamp-a, place: here, tags: [ warning,  dual ]}   # behind\n-   id: two" in twin
    twin = duplicate_item(HAND_STYLED, ("install", "three"), "three-b")
    assert "-\n    id: three-b\n    part: lamp-c\n    place: there\nstates" in twin
    assert "lamp-b" not in remove_item(HAND_STYLED, ("install", "two"))
    with pytest.raises(EditError):
        remove_item(HAND_STYLED, ("install", "nobody"))


def test_last_item_leaves_an_empty_list():
    text = "rigbook: 1\nlinks:   # between banks\n  - {id: a}\nfeeds: []\n"
    assert value_at(remove_item(text, ("links", "a")), ("links",)) == []


def test_random_edits_of_the_examples_read_back():
    """Append, insert, duplicate, remove and add keys all over the example documents; reports what it reached."""
    chance = random.Random(7)
    done = dict.fromkeys(("duplicate", "remove", "append", "insert", "add", "drop"), 0)
    for text in FILES.values():
        data = _data(readable_outline(text))
        lists, mappings = [], []

        def collect(node, path, lists=lists, mappings=mappings):
            if isinstance(node, list):
                lists.append((path, len(node)))
                for i, item in enumerate(node):
                    collect(item, (*path, i))
            elif isinstance(node, dict):
                mappings.append((path, list(node)))
                for key, item in node.items():
                    collect(item, (*path, key))

        collect(data, ())
        for path, length in chance.sample(lists, min(2, len(lists))):
            append_item(text, path, {"id": "zz", "note": "a: b, c"})
            insert_item(text, (*path, 0), "x y")
            done["append"] += 1
            done["insert"] += 1
            if length:
                index = chance.randrange(length)
                duplicate_item(text, (*path, index))
                done["duplicate"] += 1
                if length > 1:
                    remove_item(text, (*path, index))
                    done["remove"] += 1
        for path, keys in chance.sample(mappings, min(2, len(mappings))):
            add_key(text, (*path, "zz"), "some # text")
            done["add"] += 1
            if len(keys) > 1:
                remove_key(text, (*path, chance.choice(keys)))
                done["drop"] += 1
    assert min(done.values()) >= 15, done


def test_paths():
    assert parse_path("install[grille-left].outputs.blue") == ("install", "grille-left", "outputs", "blue")
    assert parse_path("install[2].tags[0]") == ("install", 2, "tags", 0)
    assert format_path(("install", "grille-left", "wire"), (False, True, False)) == "install[grille-left].wire"
    assert format_path(("settled", "a.b")) == "settled[a.b]"
    with pytest.raises(EditError):
        parse_path("a[")


def test_a_broken_document_is_not_edited():
    with pytest.raises(EditError, match="before it can be read"):
        set_value("a: [1", ("a",), "2")
