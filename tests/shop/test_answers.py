"""Answers from the page: good ones are read whole, bad ones are refused with every fault."""

from __future__ import annotations

import json

import pytest

from rigbook.shop.answers import MOST_BYTES, NotAnAnswer, Remark, answer_bytes, read_answer

GOOD = {
    "rigbook_answer": 1, "build": "van", "title": "The van", "digest": "ab" * 32, "answer": "approved with remarks",
    "name": "Ann Example", "date": "2026-05-04", "remarks": [{"about": "WARN: responding", "text": "Slower, please."}],
}  # fmt: skip


def given(**changed: object) -> bytes:
    return json.dumps({k: v for k, v in (GOOD | changed).items() if v is not ...}, indent=1).encode()


def faults(content: bytes) -> str:
    with pytest.raises(NotAnAnswer) as caught:
        read_answer(content)
    assert all(line >= 1 and column >= 1 and says for line, column, says in caught.value.troubles)
    return str(caught.value)


def test_a_good_answer_is_read_and_written_back() -> None:
    answer = read_answer(given())
    assert answer.remarks == (Remark("WARN: responding", "Slower, please."),) and answer.name == "Ann Example"
    assert read_answer(answer_bytes(answer)) == answer and json.loads(answer_bytes(answer)) == GOOD


@pytest.mark.parametrize(
    ("changed", "says"),
    [
        ({"rigbook_answer": 2}, "another edition"),
        ({"rigbook_answer": ...}, "no answer saved by the page"),
        ({"digest": "ab"}, "64 digits"),
        ({"digest": "AB" * 32}, "64 digits"),
        ({"answer": "yes"}, "one of approved"),
        ({"name": "  "}, "name is a text"),
        ({"name": "x" * 201}, "name is a text"),
        ({"name": "a\u0000b"}, "name is a text"),
        ({"date": "2026-02-30"}, "a day as"),
        ({"date": "20260504"}, "a day as"),
        ({"date": 5}, "a day as"),
        ({"remarks": []}, "at least one remark"),
        ({"remarks": "none"}, "a list of at most"),
        ({"remarks": [{"text": "x"}]}, "keys about and text"),
        ({"remarks": [{"about": "", "text": ""}]}, "text of remark 1"),
        ({"remarks": [{"about": "x" * 201, "text": "x"}]}, "about of remark 1"),
        ({"remarks": [{"about": "", "text": "x"}] * 101}, "at most 100"),
        ({"price": 3}, "price is not known"),
        ({"build": ...}, "build is missing"),
    ],
)
def test_bad_answers(changed: dict[str, object], says: str) -> None:
    assert says in faults(given(**changed))


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (b"", "no JSON"),
        (b"[]", "rigbook_answer is missing"),
        (b"3", "rigbook_answer is missing"),
        (b"\xff\xfe", "UTF-8"),
        (b'{"rigbook_answer": 1, "rigbook_answer": 1}', "given twice"),
        (b'{"rigbook_answer": NaN}', "NaN is no value"),
        (b"[" * 100_000, "nested too deep"),
        (b" " * (MOST_BYTES + 1), "larger than"),
    ],
)
def test_what_is_no_answer_at_all(content: bytes, says: str) -> None:
    assert says in faults(content)


def test_every_fault_is_told_at_its_line() -> None:
    with pytest.raises(NotAnAnswer) as caught:
        read_answer(given(date="soon", answer="yes"))
    assert [line for line, _, _ in caught.value.troubles] == [6, 8]
