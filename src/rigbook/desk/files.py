"""Writing files whole or not at all."""

from __future__ import annotations

import os
import stat
import tempfile
from pathlib import Path
from typing import Literal


class CannotWrite(Exception):
    """The file cannot be written; the message says why, for a person."""


def kind_at(path: Path) -> Literal["nothing", "folder", "file", "other"]:
    """What stands at a path, links followed. `other` is a device, a pipe or a socket: never to be read or replaced.

    Raises:
        OSError: no file system takes such a path, or it leads round in a circle, or a folder on the way is closed.
    """
    try:
        mode = path.stat().st_mode
    except (FileNotFoundError, NotADirectoryError):
        return "nothing"
    return "folder" if stat.S_ISDIR(mode) else "file" if stat.S_ISREG(mode) else "other"


def short(path: Path, longest: int = 200) -> str:
    """A path for a sentence: the end of one that no person could read."""
    text = str(path)
    return text if len(text) <= longest else f"…{text[-longest:]}"


def write_whole(path: Path, content: bytes) -> None:
    """Write beside the target and rename, so that a reader sees the old file or the new one and never half of one.

    Raises:
        CannotWrite: the folder is missing or closed to us, or the target is a folder, a device or a pipe.
    """
    try:
        there = kind_at(path)
        if there == "folder":
            raise CannotWrite(f"{path} is a folder; name a file")
        if there == "other":
            raise CannotWrite(f"{path} is a device or a pipe, and the file is written whole or not at all; name a file")
        if kind_at(path.parent) != "folder":
            raise CannotWrite(f"there is no folder {short(path.parent)}; make it first")
        mode = path.stat().st_mode & 0o777 if there == "file" else 0o666 & ~_umask()
        handle, beside = tempfile.mkstemp(prefix=f".{path.name}.", dir=path.parent)
    except OSError as why:
        raise CannotWrite(f"{short(path)} cannot be written: {why.strerror}") from why
    try:
        with os.fdopen(handle, "wb") as out:
            out.write(content)
            out.flush()
            os.fsync(out.fileno())
        Path(beside).chmod(mode)
        Path(beside).replace(path)
    except OSError as why:
        Path(beside).unlink(missing_ok=True)
        raise CannotWrite(f"{path} cannot be written: {why.strerror}") from why
    except KeyboardInterrupt:
        Path(beside).unlink(missing_ok=True)
        raise


def _umask() -> int:
    """The process's file mask; reading it is only possible by setting it."""
    mask = os.umask(0o022)
    os.umask(mask)
    return mask
