"""Errors of a tree against its schema: one sentence for each fault, at its place."""

import time

import pytest
from tests.documents.small_shop import BUILD, PARTS, VEHICLE, write

from rigbook.documents.loader import load_build
from rigbook.documents.schema.build import BuildDocument
from rigbook.documents.text import read_tree
from rigbook.documents.validate import nearest, validate

ONE = [
    ("test", BUILD, "end: 100 A", "end: 100", "write a current with its unit (A, mA), or auto"),
    ("test", BUILD, "{blue: control.3}", "autoo", "did you mean auto?"),
    ("test", BUILD, "{blue: control.3}", "{from: control}", "'control' stands where a list is needed"),
    ("test", BUILD, "{blue: control.3}", "{from: [control], together: control.1}", "there is no key 'together' here"),
    ("test", BUILD, "{blue: control.3}", "{blue: [Control.3]}", "'Control.3' is not a reference"),
    ("test", BUILD, "feed: light-feed", "feed: Light Feed", "'Light Feed' is not a name"),
    ("test", BUILD, "kind: slide", "kind: slider", "did you mean slide?"),
    ("test", BUILD, "count_", "count_", ""),
    ("van", VEHICLE, "at: [-0.95 m, -0.35 m, 0.75 m]", "at: [-0.95 m, -0.35 m]", "2 values stand here"),
    ("van", VEHICLE, "at: [-0.95 m, -0.35 m, 0.75 m]", "at: [1 m, 1 m, 1 m, 1 m]", "too many entries"),
    ("van", VEHICLE, "at: [-0.95 m, -0.35 m, 0.75 m]", "at: front", "'front' stands where a list is needed"),
    ("van", VEHICLE, "-0.35 m, 0.75 m]", "-0.35, 0.75 m]", "-0.35 has no unit; write a length with its unit: mm"),
    ("parts", PARTS, "    kind: lamp\n", "", "the key 'kind' is missing"),
    ("parts", PARTS, "beam: [20 deg, 10 deg]", "beam: [20 deg, 10]", "10 has no unit"),
]  # fmt: skip


@pytest.mark.parametrize(("file", "text", "old", "new", "says"), [row for row in ONE if row[2] != row[3]])
def test_one_fault_is_one_sentence(tmp_path, file, text, old, new, says):
    assert old in text
    (only,) = load_build(write(tmp_path, **{file: text.replace(old, new, 1)}), "builds/test.yaml").errors
    assert says in only.says


@pytest.mark.parametrize("text", ["", "- a\n", "just text\n", "rigbook: 1\n"])
def test_what_is_no_document_at_all(text):
    made, errors = validate(BuildDocument, read_tree(text.encode(), "b.yaml").tree, "b.yaml")
    assert made is None
    assert errors[0].line == 1


def test_nearest():
    assert nearest("grile", ["grille", "rear"]) == "grille"
    assert nearest("zzz", ["grille", "rear"]) == ""


def long_build(rows):
    row = (
        "  - {{id: lamp-{0}, part: lamp-blue, at: [1 m, 0 m, 1 m], tags: [warning], outputs: auto, note: some words}}\n"
    )
    block = "  - id: other-{0}\n    part: lamp-blue\n    place: grille\n    tags: [warning]\n    outputs: auto\n"
    half = "".join(row.format(i) for i in range(rows // 6)) + "".join(block.format(i) for i in range(rows // 6))
    return BUILD.replace("switching:\n", half + "switching:\n")


def test_a_long_build_loads_quickly(tmp_path):
    """5,000 lines; the target of 100 ms holds on a quiet machine, and this guards against a slip of scale."""
    text = long_build(5000)
    assert text.count("\n") > 4900
    write(tmp_path, test=text)
    best = 10.0
    for _ in range(3):
        start = time.perf_counter()
        loaded = load_build(tmp_path, "builds/test.yaml")
        best = min(best, time.perf_counter() - start)
    assert {error.expected for error in loaded.errors} <= {"at most 1000 devices"}
    assert best < 1.5
