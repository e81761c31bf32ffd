"""Bytes to a tree: strict YAML, every slip with its place."""

import pytest

from rigbook.documents.schema.base import Mapping_, Scalar
from rigbook.documents.text import LARGEST_BYTES, decode, read_tree


def read(text):
    return read_tree(text if isinstance(text, bytes) else text.encode(), "a.yaml")


def first(text):
    tree = read(text)
    assert tree.errors, "no error was told"
    assert all(e.file == "a.yaml" and e.line >= 1 and e.column >= 1 for e in tree.errors)
    return tree.errors[0]


def test_scalars_are_read_as_written_with_their_place():
    tree = read("a: 012\nb: NO\nc: 8.8\nd: null\ne: 1:30\nf: on\n'g h': \"x: y\"\n").tree
    assert isinstance(tree, Mapping_)
    assert dict(tree) == {"a": "012", "b": "NO", "c": "8.8", "d": "null", "e": "1:30", "f": "on", "g h": "x: y"}
    assert isinstance(tree["b"], Scalar)
    assert (tree["b"].where.line, tree["b"].where.column) == (2, 4)
    assert (tree.marks.keys["c"].line, tree.marks.keys["c"].column) == (3, 1)
    assert not tree["a"].quoted
    assert tree["g h"].quoted


SLIPS = [
    ("a: 1\nb: 2\na: 3\n", 3, 1, "stands twice; first in line 1"),
    ("color: x\ncolour: y\n", 2, 1, "two spellings"),
    ("tyres: x\ntires: y\n", 2, 1, "two spellings"),
    ("a: {one_color_at_a_time: yes, one_colour_at_a_time: no}\n", 1, 31, "two spellings"),
    ("a: &x 1\n", 1, 4, "anchor"),
    ("a: *x\n", 1, 4, "alias"),
    ("a:\n  <<: {b: 1}\n", 2, 3, "merges"),
    ("a: !!int 1\n", 1, 4, "tag"),
    ("a: !mine {b: 1}\n", 1, 4, "tag"),
    ("a: 1\n---\nb: 2\n", 2, 1, "second document"),
    ("a: {title: Blue, white, id: x}\n", 1, 18, "a comma ended the value of 'title'"),
    ("a: {id: x, length: 1,2 m}\n", 1, 22, "a comma ended the value of 'length'"),
    ("a: {when: gear in (park, drive)}\n", 1, 11, "must be in quotes"),
    ("a: [gear in (park, drive)]\n", 1, 5, "must be in quotes"),
    ("a: {id:x}\n", 1, 5, "a blank is missing after the colon"),
    ("a:\n  id:x\n  b: 1\n", 3, 4, ""),
    ("a:\n\t- b\n", 2, 1, "tab"),
    ("a: b: c\n", 1, 5, "colon"),
    ("a: [1, 2\nb: 3\n", 2, 2, ""),
    ("a: 'x\n", 2, 1, "quotation mark"),
    ("a: 1\n  b: 2\n", 2, 4, ""),
    ("a: @x\n", 1, 4, "'@'"),
    ("? [a, b]\n: c\n", 1, 3, "key must be a plain text"),
    ("a: \x00b\n", 1, 4, "U+0000"),
    ("a: b\x07\n", 1, 5, "U+0007"),
    (b"a: caf\xe9\n", 1, 7, "not UTF-8"),
    (b"\xef\xbb\xbfa: 1\nb: \xff\n", 2, 4, "not UTF-8"),
    ("a: 1\n".encode("utf-16"), 1, 1, "UTF-16"),
    ("a: 1\n".encode("utf-16-le"), 1, 2, "U+0000"),
    (b"a: " + b"x" * LARGEST_BYTES, 1, 1, "at most"),
    ("a: " + "[" * 3000, 1, 1003, "nested deeper"),
    ("a: " + "[" * 50 + "]" * 50, 1, 43, "nested deeper"),
    ("{a: " * 3000, 1, 161, "nested deeper"),
    ("- " * 3000, 1, 81, "nested deeper"),
    ("x" * 300 + ": 1\n", 1, 1, ""),
]  # fmt: skip


@pytest.mark.parametrize(("text", "line", "column", "says"), SLIPS)
def test_slip_gets_its_sentence_and_place(text, line, column, says):
    error = first(text)
    assert says in error.says
    assert (error.line, error.column) == (line, column)


def test_alias_bomb_is_refused_at_once():
    bomb = "a: &a [x, x]\n" + "".join(
        f"{b}: &{b} [*{a}, *{a}, *{a}]\n" for a, b in zip("abcdefgh", "bcdefghi", strict=True)
    )
    assert "anchor" in first(bomb).says


def test_all_slips_of_a_file_are_told():
    errors = read("a: &x 1\na: 2\nb: !!str 3\nc: {d: e, f}\n").errors
    assert [e.line for e in errors] == [1, 2, 3, 4]


TWIN = "a: 1\nb:\n  - {c: é, d: x}\nnotes: |\n  two\n  lines\n"


@pytest.mark.parametrize(
    "data", [TWIN.replace("\n", "\r\n").encode(), TWIN.replace("\n", "\r").encode(), b"\xef\xbb\xbf" + TWIN.encode()]
)
def test_line_ends_and_byte_order_mark_read_as_their_twin(data):
    one, other = read(TWIN), read(data)
    assert not other.errors
    assert one.tree == other.tree
    assert one.tree["b"][0].marks == other.tree["b"][0].marks


def test_what_a_number_sign_cut_off_is_kept():
    assert read("title: Unit #3\n").tree["title"].cut == "#3"
    assert read("title: Unit # three\n").tree["title"].cut == ""
    assert read("title: Unit#3\n").tree["title"] == "Unit#3"


@pytest.mark.parametrize("text", ["", "\n", "# only a comment\n", "---\n"])
def test_an_empty_file_is_no_tree(text):
    assert not read(text).tree


def test_a_byte_order_mark_is_no_part_of_the_text() -> None:
    assert decode(b"\xef\xbb\xbfa: 1\r\n", "x.yaml") == "a: 1\n"
