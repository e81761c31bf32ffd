"""`when` of a row: the condition grammar over declared facts."""

from __future__ import annotations

import itertools

import pytest

from rigbook.rules.facts import holds, read_when
from rigbook.switching.language import LanguageError

DECLARED = {"zone": ("front", "right", "rear", "left"), "sealed": None, "mode": ()}


@pytest.mark.parametrize(
    ("text", "facts", "expected"),
    [
        ("zone == front", {"zone": "front"}, True),
        ("zone != front", {"zone": "front"}, False),
        ("zone in (front, rear)", {"zone": "rear"}, True),
        ("not zone in (front, rear)", {"zone": "left"}, True),
        ("sealed", {"sealed": True}, True),
        ("sealed", {"sealed": False}, False),
        ("sealed", {}, False),
        ("sealed == yes", {"sealed": True}, True),
        ("mode == anything-at-all", {"mode": "anything-at-all"}, True),
        ("zone == front", {}, False),
        ("zone != front", {}, True),
        ("yes", {}, True),
    ],
)
def test_holds(text: str, facts: dict[str, str | bool], expected: bool) -> None:
    assert holds(read_when(text, DECLARED), facts) is expected


def test_agrees_with_python_on_every_assignment() -> None:
    """`not` before `and` before `or`, against Python's own operators of the same binding."""
    names = {"a": None, "b": None, "c": None}
    texts = ["a or b and c", "not a and b or c", "not (a or b) and not c", "a and b or not a and c", "not not a or b"]
    looked = 0
    for text in texts:
        node = read_when(text, names)
        for values in itertools.product((False, True), repeat=3):
            facts = dict(zip(names, values, strict=True))
            assert holds(node, facts) is eval(text, {}, dict(facts)), (text, facts)
            looked += 1
    assert looked == 40


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("zome == front", "no fact zome"),
        ("zone == frant", "zone is never frant"),
        ("zone < rear", "no order"),
        ("zone", "no yes/no"),
        ("tap(sealed)", "no events"),
        ("zone == front and", "missing"),
    ],
)
def test_says_what_is_wrong(text: str, says: str) -> None:
    with pytest.raises(LanguageError) as wrong:
        read_when(text, DECLARED)
    assert says in wrong.value.says


def test_names_the_nearest() -> None:
    with pytest.raises(LanguageError) as wrong:
        read_when("zome == front", DECLARED)
    assert wrong.value.nearest == "zone"
