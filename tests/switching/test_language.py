from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rigbook.documents.schema.base import Placed, Where
from rigbook.switching.language import (
    DEEPEST,
    Joined,
    LanguageError,
    NotNode,
    parse_expression,
    parse_selector,
    place_of,
)


def shape(node) -> str:
    match node:
        case Joined(how, of, _):
            return "(" + f" {how} ".join(shape(part) for part in of) + ")"
        case NotNode(of, _):
            return f"!{shape(of)}"
        case _:
            return node.name if isinstance(node.name, str) else node.name.text


@pytest.mark.parametrize(
    ("text", "tree"),
    [
        ("a or b and not c", "(a or (b and !c))"),
        ("not a and b or c", "((!a and b) or c)"),
        ("(a or b) and c", "((a or b) and c)"),
        ("not (a or b)", "!(a or b)"),
        ("not a == x and b in (x, y)", "(!a and b)"),
        ("a and b and c", "(a and b and c)"),
        ("not not a", "!!a"),
        ("held(a) or tap(b)", "(a or b)"),
    ],
)
def test_binding(text, tree):
    assert shape(parse_expression(text)) == tree


@pytest.mark.parametrize(
    ("text", "position", "says"),
    [
        ("", 0, "missing"),
        ("a and", 5, "missing"),
        ("a == b == c", 7, "no chains"),
        ("a = b", 2, "`==`"),
        ("a in (b, c", 10, "must be quoted"),
        ("a not in (b)", 2, "`not` stands before"),
        ("a & b", 2, "write `and`"),
        ("Ab and c", 0, "small letters"),
        ("a and 3", 6, "does not belong"),
        ("a b", 2, "not expected"),
        ("(a or b", 7, "`)`"),
        ("lit(a, blue)", 0, "`require` only"),
        ("hold(a)", 0, "nothing that can be asked"),
        ("a == and", 5, "a value is missing"),
        ("stick.3 and a", 0, "a name is missing"),
        ("a;b", 1, "does not belong"),
    ],
)
def test_slips_say_where_and_what(text, position, says):
    with pytest.raises(LanguageError) as slip:
        parse_expression(text)
    assert says in slip.value.says
    assert slip.value.position == position


def test_nesting_has_an_end():
    assert parse_expression("(" * DEEPEST + "a" + ")" * DEEPEST)
    for text in ("(" * 5000 + "a" + ")" * 5000, "not " * 5000 + "a", "rises(" * 5000):
        with pytest.raises(LanguageError, match="deep"):
            parse_expression(text)


@pytest.mark.parametrize(
    ("text", "steps"),
    [
        ("left & scene", [("start", "left"), ("and", "scene")]),
        ("warning - dual & front", [("start", "warning"), ("without", "dual"), ("and", "front")]),
        ("stick.3", [("start", "stick.3")]),
        ("left-half", [("start", "left-half")]),
    ],
)
def test_selectors_read_left_to_right(text, steps):
    assert [(s.how, s.name) for s in parse_selector(text)] == steps


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("a -b", "blank on each side"),
        ("a, b", "a list"),
        ("a b", "not expected"),
        ("", "missing"),
        ("a & ", "missing"),
        ("- a", "blank on each side"),
    ],
)
def test_slips_in_selectors(text, says):
    with pytest.raises(LanguageError, match=says):
        parse_selector(text)


def test_places_count_from_the_scalar_and_its_quotation_mark():
    assert place_of(Placed("a b", Where("f", 3, 11)), 2) == Where("f", 3, 13)
    assert place_of(Placed("a b", Where("f", 3, 11), quoted=True), 2) == Where("f", 3, 14)
    assert place_of(Placed("a b"), 2).line == 0


@given(st.one_of(st.text(max_size=30), st.text(alphabet="ab ()=!<>,&-.not in", max_size=40)))
def test_any_text_is_read_or_refused_in_its_bounds(text):
    for read in (parse_expression, parse_selector, lambda t: parse_expression(t, predicates=True)):
        try:
            read(text)
        except LanguageError as slip:
            assert 0 <= slip.position <= len(text)
            assert slip.says
