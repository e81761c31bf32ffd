"""Unsaved typing kept beside the build, so that a crash loses at most the last seconds.

A draft of `builds/NAME.yaml` lies in `builds/.drafts/NAME.yaml`, with the digest of the text it was typed over in
`NAME.base`. It is no build: nothing loads it but the editor.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from rigbook.desk.files import CannotWrite, write_whole

FOLDER = ".drafts"


@dataclass(frozen=True, slots=True)
class Draft:
    """Unsaved text, and the digest of the saved text it was typed over."""

    text: str
    base: str


def _places(build: Path) -> tuple[Path, Path]:
    folder = build.parent / FOLDER
    return folder / build.name, folder / f"{build.stem}.base"


def keep(build: Path, draft: Draft) -> None:
    """Keep a draft, whole or not at all.

    Raises:
        CannotWrite: the folder of drafts cannot be made or written.
    """
    text, base = _places(build)
    try:
        text.parent.mkdir(exist_ok=True)
    except OSError as why:
        raise CannotWrite(f"{text.parent} cannot be made: {why.strerror}") from why
    write_whole(base, draft.base.encode())
    write_whole(text, draft.text.encode("utf-8", "surrogatepass"))


def kept(build: Path) -> Draft | None:
    """The draft of a build; None where there is none that can be read."""
    text, base = _places(build)
    if not (text.is_file() and base.is_file()):
        return None
    try:
        return Draft(text.read_bytes().decode("utf-8", "surrogatepass"), base.read_text(encoding="ascii"))
    except (OSError, UnicodeDecodeError):
        return None  # half gone or not ours: the saved text stands


def drop(build: Path) -> None:
    """Forget the draft of a build."""
    for place in _places(build):
        place.unlink(missing_ok=True)
