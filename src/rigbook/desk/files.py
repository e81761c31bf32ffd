"""Writing files whole or not at all."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path


class CannotWrite(Exception):
    """The file cannot be written; the message says why, for a person."""


def write_whole(path: Path, content: bytes) -> None:
    """Write beside the target and rename, so that a reader sees the old file or the new one and never half of one.

    Raises:
        CannotWrite: the folder is missing or closed to us, or the target is a folder.
    """
    if path.is_dir():
        raise CannotWrite(f"{path} is a folder; name a file")
    if not path.parent.is_dir():
        raise CannotWrite(f"there is no folder {path.parent}; make it first")
    try:
        mode = path.stat().st_mode & 0o777 if path.exists() else 0o666 & ~_umask()
        handle, beside = tempfile.mkstemp(prefix=f".{path.name}.", dir=path.parent)
    except OSError as why:
        raise CannotWrite(f"{path} cannot be written: {why.strerror}") from why
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
