"""What a customer answered on the stand-alone page: read from the small file that came back, strictly.

Every trouble of a file is found at once; nothing of a file with any is taken.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

ANSWERS = ("approved", "approved with remarks", "not approved")
MOST_BYTES = 1_000_000
MOST_REMARKS = 100
MOST_LETTERS = 2_000
MOST_NAME = 200
_DIGEST = re.compile(r"[0-9a-f]{64}")
_DATE = re.compile(r"\d{4}-\d{2}-\d{2}")
KEYS = ("rigbook_answer", "build", "title", "digest", "answer", "name", "date", "remarks")


class NotAnAnswer(Exception):
    """The file holds no answer: `troubles` says of each fault what is there, what should be, and where (line, column)."""

    def __init__(self, troubles: tuple[tuple[int, int, str], ...]) -> None:
        super().__init__("; ".join(says for _, _, says in troubles))
        self.troubles = troubles


@dataclass(frozen=True, slots=True)
class Remark:
    """One remark, and what it is about (a switch, a lamp; may be empty)."""

    about: str
    text: str


@dataclass(frozen=True, slots=True)
class Answer:
    """An answer to one revision: `digest` is that of the build as it was shown."""

    build: str
    title: str
    digest: str
    answer: str
    name: str
    date: str
    remarks: tuple[Remark, ...]


def read_answer(content: bytes) -> Answer:
    """The answer that a file holds.

    Raises:
        NotAnAnswer: it is too large, no JSON, or not of the form that the page saves.
    """
    if len(content) > MOST_BYTES:
        raise NotAnAnswer(((1, 1, f"the file is larger than {MOST_BYTES} bytes: the page saves far less"),))
    try:
        text = content.decode("utf-8")
        data = json.loads(text, object_pairs_hook=_unique, parse_constant=_no_constant)
    except UnicodeDecodeError as wrong:
        raise NotAnAnswer(((1, 1, f"the file is no text in UTF-8: byte {wrong.start}"),)) from wrong
    except json.JSONDecodeError as wrong:
        raise NotAnAnswer(((wrong.lineno, wrong.colno, f"no JSON as the page saves it: {wrong.msg}"),)) from wrong
    except RecursionError as wrong:
        raise NotAnAnswer(((1, 1, "brackets are nested too deep"),)) from wrong
    except _Twice as wrong:
        raise NotAnAnswer(((1, 1, str(wrong)),)) from wrong
    troubles = tuple(_troubles(data))
    if troubles:
        raise NotAnAnswer(tuple((*_place(text, where), says) for where, says in troubles))
    return Answer(
        build=data["build"],
        title=data["title"],
        digest=data["digest"],
        answer=data["answer"],
        name=data["name"].strip(),
        date=data["date"],
        remarks=tuple(Remark(r["about"], r["text"]) for r in data["remarks"]),
    )


def answer_bytes(answer: Answer) -> bytes:
    """The record of an answer: equal answers give equal bytes."""
    made = {
        "rigbook_answer": 1,
        "build": answer.build,
        "title": answer.title,
        "digest": answer.digest,
        "answer": answer.answer,
        "name": answer.name,
        "date": answer.date,
        "remarks": [{"about": r.about, "text": r.text} for r in answer.remarks],
    }
    return (json.dumps(made, ensure_ascii=False, indent=1) + "\n").encode()


class _Twice(ValueError):
    """A key given twice, or a number that is none."""


def _unique(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for key, value in pairs:
        if key in found:
            raise _Twice(f"{key} is given twice")
        found[key] = value
    return found


def _no_constant(word: str) -> Any:
    raise _Twice(f"{word} is no value of an answer")


def _troubles(data: object) -> Iterator[tuple[str, str]]:
    """Each fault, with the key it concerns."""
    if not isinstance(data, dict) or "rigbook_answer" not in data:
        yield "", "this is no answer saved by the page: rigbook_answer is missing"
        return
    if data["rigbook_answer"] != 1 or isinstance(data["rigbook_answer"], bool):
        yield "rigbook_answer", "rigbook_answer is of another edition; 1 is known here"
    yield from ((key, f"{key} is not known in an answer") for key in data if key not in KEYS)
    yield from (("", f"{key} is missing") for key in KEYS if key not in data)
    yield from _text(data, "build", MOST_NAME)
    yield from _text(data, "title", MOST_LETTERS)
    yield from _text(data, "name", MOST_NAME)
    if "digest" in data and not (isinstance(data["digest"], str) and _DIGEST.fullmatch(data["digest"])):
        yield "digest", "digest is not 64 digits of a revision"
    if "answer" in data and data["answer"] not in ANSWERS:
        yield "answer", f"answer is one of {', '.join(ANSWERS)}"
    if "date" in data and not _is_date(data["date"]):
        yield "date", "date is a day as YYYY-MM-DD"
    if "remarks" in data:
        yield from _remarks(data)


def _text(data: Mapping[str, Any], key: str, most: int) -> Iterator[tuple[str, str]]:
    value = data.get(key)
    if key in data and not (isinstance(value, str) and value.strip() and len(value) <= most and _printable(value)):
        yield key, f"{key} is a text of 1 to {most} characters"


def _printable(text: str) -> bool:
    return all(c.isprintable() or c in "\n\t\r" for c in text)


def _is_date(value: object) -> bool:
    import datetime

    if not isinstance(value, str) or not _DATE.fullmatch(value):
        return False
    try:
        datetime.date.fromisoformat(value)
    except ValueError:
        return False
    return True


def _remarks(data: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    remarks = data["remarks"]
    if not isinstance(remarks, list) or len(remarks) > MOST_REMARKS:
        yield "remarks", f"remarks is a list of at most {MOST_REMARKS}"
        return
    for number, remark in enumerate(remarks, 1):
        if not isinstance(remark, dict) or set(remark) != {"about", "text"}:
            yield "remarks", f"remark {number} has the keys about and text"
            continue
        about, text = remark["about"], remark["text"]
        if not (isinstance(about, str) and len(about) <= MOST_NAME and _printable(about)):
            yield "remarks", f"about of remark {number} is a text of at most {MOST_NAME} characters"
        if not (isinstance(text, str) and text.strip() and len(text) <= MOST_LETTERS and _printable(text)):
            yield "remarks", f"text of remark {number} is a text of 1 to {MOST_LETTERS} characters"
    if data.get("answer") in ANSWERS[1:] and not remarks:
        yield "remarks", f"an answer that is {data['answer']} has at least one remark"


def _place(text: str, key: str) -> tuple[int, int]:
    """Line and column of a key of the outer object, counted from 1; the beginning where it is not found."""
    at = text.find(f'"{key}"') if key else -1
    if at < 0:
        return 1, 1
    return text.count("\n", 0, at) + 1, at - (text.rfind("\n", 0, at) + 1) + 1
