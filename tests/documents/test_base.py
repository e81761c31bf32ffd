import pytest
from pydantic import ValidationError

from rigbook.documents.errors import DocumentError
from rigbook.documents.schema.base import NOWHERE, Mapping_, Marks, Placed, Scalar, Where
from rigbook.documents.schema.build import Kit, Link
from rigbook.documents.text import read_tree
from rigbook.documents.validate import validate


def test_a_record_knows_where_it_and_its_values_stand():
    tree = read_tree(b"# x\nid: box\nmass: 2 kg\nat: [1 m, 0 m, 1 m]\n", "k.yaml").tree
    kit, _ = validate(Kit, tree, "k.yaml")
    assert str(kit.where) == "k.yaml:2:1"
    assert str(kit.where_of("mass")) == "k.yaml:3:7"
    assert kit.where_of("absent") == kit.where


def test_a_record_can_be_made_in_code_and_is_frozen():
    kit = Kit(id="box", mass=2.0, at=(1.0, 0.0, 1.0))
    assert kit.where == NOWHERE
    with pytest.raises(ValidationError):
        kit.mass = 3.0


def test_what_values_mean_together_is_told_with_all_else():
    tree = read_tree(b"id: a\nfrom: battery.x\nto: battery.x\nfuse: {start: auto, end: auto}\n", "l.yaml").tree
    _, (error,) = validate(Link, tree, "l.yaml")
    assert (error.line, error.column) == (3, 5)


def test_texts_with_a_place():
    scalar = Scalar.of("a", Where("f", 1, 2), True, "#b")
    assert (scalar.where.column, scalar.quoted, scalar.cut) == (2, True, "#b")
    assert str(Placed("gear == park")) == "gear == park"
    assert Mapping_.of({"a": 1}, Marks()).marks.start == NOWHERE


def test_an_error_is_one_line():
    assert str(DocumentError.at(Where("a.yaml", 3, 4), "is wrong")) == "a.yaml:3:4: is wrong"
