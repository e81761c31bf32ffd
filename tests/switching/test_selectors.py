from __future__ import annotations

import random

import pytest

from rigbook.documents.schema.base import Placed, Where
from rigbook.switching.language import LanguageError, parse_selector
from rigbook.switching.selectors import selectors_of
from rigbook.switching.trouble import Trouble
from tests.switching.sections import lamp

DEVICES = [
    lamp("corner", tags=["warning"], zones=["front", "left"], half="left", level="lower"),
    lamp("roof", tags=["warning", "big"], zones=["front", "right", "rear", "left"], level="upper"),
    lamp("dome", tags=["big"], inside=True),
    lamp("stick.1", row="stick", zones=["rear"], half="left", level="upper"),
    lamp("stick.2", row="stick", zones=["rear"], half="right", level="upper"),
]


def chosen(text):
    found = selectors_of(DEVICES, Trouble()).select(parse_selector(text))
    return {DEVICES[i].id for i in found}


@pytest.mark.parametrize(
    ("text", "ids"),
    [
        ("corner", {"corner"}),
        ("stick", {"stick.1", "stick.2"}),
        ("stick.2", {"stick.2"}),
        ("warning", {"corner", "roof"}),
        ("left", {"corner", "roof"}),
        ("left-half", {"corner", "stick.1"}),
        ("right-half", {"stick.2"}),
        ("upper", {"roof", "stick.1", "stick.2"}),
        ("lower", {"corner"}),
        ("inside", {"dome"}),
        ("rear & upper - stick.1", {"roof", "stick.2"}),
        ("big - inside & warning", {"roof"}),
        ("warning - roof", {"corner"}),
    ],
)
def test_what_words_select(text, ids):
    assert chosen(text) == ids


def test_equal_strength_left_to_right_is_a_fold_of_sets():
    selectors = selectors_of(DEVICES, Trouble())
    names = ["corner", "stick", "warning", "left", "upper", "rear", "big", "inside", "left-half"]
    rng = random.Random(1)
    looked = empty = 0
    for _ in range(500):
        text = rng.choice(names)
        expected = chosen(text)
        for _ in range(rng.randint(1, 3)):
            how, name = rng.choice(["&", "-"]), rng.choice(names)
            text += f" {how} {name}"
            expected = expected & chosen(name) if how == "&" else expected - chosen(name)
        looked += 1
        if expected:
            assert chosen(text) == expected
        else:
            empty += 1
            with pytest.raises(LanguageError, match="selects nothing"):
                selectors.select(parse_selector(text))
    assert looked == 500 and 20 < empty < 480


def test_a_list_is_the_union_and_one_bad_entry_spoils_it():
    trouble = Trouble()
    selectors = selectors_of(DEVICES, trouble)
    both = selectors.read_all([Placed("corner"), Placed("stick.1")], trouble)
    assert both == {0, 3} and not trouble.problems
    assert selectors.read_all([Placed("corner"), Placed("front & upper & lower", Where("f", 2, 9))], trouble) is None
    assert [(p.line, p.column) for p in trouble.problems] == [(2, 9)]
