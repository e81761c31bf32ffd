"""What was edited, kept beside the build, so that undo survives a restart of the server.

The history of `builds/NAME.yaml` lies in `builds/.drafts/NAME.history` as JSON: for every edit what stood at its place
and what came there, so that the texts before it follow from the text on disk. It is of use only while the file on
disk is the one that the last edit left; it says so by its digest, and is forgotten otherwise.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from rigbook.desk.files import CannotWrite, write_whole

FOLDER = ".drafts"
LONGEST_BYTES = 2_000_000
STRIDE = 1024


@dataclass(frozen=True, slots=True)
class Change:
    """One edit of a text: at a byte, what stood there and what came there, and why."""

    at: int
    was: bytes
    becomes: bytes
    why: str


def change_between(before: bytes, after: bytes, why: str) -> Change:
    """The shortest single change that leads from one text to the other."""
    start = _alike(before, after)
    most = min(len(before), len(after)) - start
    end = min(_alike(before[::-1], after[::-1]), most)
    return Change(start, before[start : len(before) - end], after[start : len(after) - end], why)


def _alike(one: bytes, other: bytes) -> int:
    """How many bytes at the start are the same: in strides first, then byte by byte."""
    most, at = min(len(one), len(other)), 0
    while at < most and one[at : at + STRIDE] == other[at : at + STRIDE]:
        at += STRIDE
    while at < most and one[at] == other[at]:
        at += 1
    return min(at, most)


def undone(text: bytes, change: Change) -> bytes | None:
    """The text before a change; None where it is no text that the change leads to."""
    end = change.at + len(change.becomes)
    if text[change.at : end] != change.becomes:
        return None
    return text[: change.at] + change.was + text[end:]


def redone(text: bytes, change: Change) -> bytes | None:
    """The text after a change; None where it cannot be made there."""
    return undone(text, Change(change.at, change.becomes, change.was, change.why))


def place_of(file: Path) -> Path:
    """Where the history of a file is kept."""
    return file.parent / FOLDER / f"{file.stem}.history"


def keep(file: Path, present: bytes, done: Sequence[Change], undone_: Sequence[Change]) -> bool:
    """Keep the history of a file that holds `present` now. False where it could not be kept: undo then ends with this run."""
    record = {
        "digest": hashlib.sha256(present).hexdigest(),
        "done": [_plain(c) for c in done],
        "undone": [_plain(c) for c in undone_],
    }
    content = json.dumps(record, ensure_ascii=True).encode()
    while len(content) > LONGEST_BYTES and record["done"]:
        record["done"] = record["done"][len(record["done"]) // 2 + 1 :]
        content = json.dumps(record, ensure_ascii=True).encode()
    place = place_of(file)
    try:
        place.parent.mkdir(exist_ok=True)
        write_whole(place, content)
    except (OSError, CannotWrite):
        return False
    return True


def kept(file: Path, present: bytes) -> tuple[list[Change], list[Change]]:
    """What was edited before, done and undone; nothing where none is kept or the file is no longer the one it belongs to."""
    place = place_of(file)
    try:
        if not place.is_file() or place.stat().st_size > 2 * LONGEST_BYTES:
            return [], []
        record = json.loads(place.read_text(encoding="ascii"))
        if record["digest"] != hashlib.sha256(present).hexdigest():
            return [], []
        return [_change(c) for c in record["done"]], [_change(c) for c in record["undone"]]
    except (OSError, ValueError, KeyError, TypeError):
        return [], []  # half gone or not ours


def _plain(change: Change) -> list[Any]:
    return [change.at, change.was.decode("utf-8", "surrogateescape"), change.becomes.decode("utf-8", "surrogateescape"),
            change.why]  # fmt: skip


def _change(row: Any) -> Change:
    at, was, becomes, why = row
    return Change(int(at), was.encode("utf-8", "surrogateescape"), becomes.encode("utf-8", "surrogateescape"), str(why))
