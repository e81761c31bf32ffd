"""Answers of customers beside the builds: recorded once, never edited.

A record is named by build, revision and content, so that no answer can take the place of another.
"""

from __future__ import annotations

import hashlib
from pathlib import Path

from rigbook.desk.files import CannotWrite, write_whole
from rigbook.shop.answers import Answer, answer_bytes

FOLDER = "approvals"
DIGITS = 12


class Outdated(Exception):
    """The answer is to another build or another revision; the message says which."""


def record(root: Path, build_id: str, digest: str, answer: Answer) -> tuple[Path, bool]:
    """Record an answer in the shop folder; gives its file, and whether it is new.

    Raises:
        Outdated: it answers another build, or another revision of this one.
        CannotWrite: the folder cannot be written, or leads out of the shop folder.
    """
    if answer.build != build_id:
        raise Outdated(f"it answers the build {answer.build}, not {build_id}")
    if answer.digest != digest:
        raise Outdated(
            f"it answers revision {answer.digest[:DIGITS]}, and {build_id} now is revision {digest[:DIGITS]}: what was "
            "shown is no longer what is built. Send the present page, or check the revision out that was shown"
        )
    content = answer_bytes(answer)
    name = f"{build_id}-{digest[:DIGITS]}-{hashlib.sha256(content).hexdigest()[:8]}.json"
    folder = root / FOLDER
    target = folder / name
    try:
        folder.mkdir(exist_ok=True)
        if not folder.resolve().is_relative_to(root.resolve()):
            raise CannotWrite(f"{folder} leads out of the shop folder")
        if target.exists():
            return target, False
    except OSError as why:
        raise CannotWrite(f"{folder} cannot be used: {why.strerror}") from why
    write_whole(target, content)
    return target, True


def recorded(root: Path, build_id: str, digest: str) -> bool:
    """Whether an answer to this very revision of a build is recorded."""
    folder = root / FOLDER
    return folder.is_dir() and any(folder.glob(f"{build_id}-{digest[:DIGITS]}-*.json"))
