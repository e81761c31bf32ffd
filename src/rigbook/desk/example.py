"""The example shop that ships with the tool, put where a person wants it."""

from __future__ import annotations

import shutil
import tempfile
from importlib import resources
from pathlib import Path

from rigbook.desk.files import CannotWrite, kind_at, short

FOLDERS = ("vehicles", "parts", "rules", "light", "builds", "approvals", "records")


def make_example_shop(folder: Path) -> tuple[str, ...]:
    """Copy the example shop into a new or empty folder, whole or not at all; give the paths of its builds.

    Raises:
        CannotWrite: something is there already, or the folder cannot be made.
    """
    try:
        there = kind_at(folder)
        if there not in ("nothing", "folder"):
            raise CannotWrite(f"{folder} is there already, and no folder; name a new folder")
        if there == "folder" and any(folder.iterdir()):
            raise CannotWrite(f"{folder} is there already and not empty; name a new folder")
        folder.parent.mkdir(parents=True, exist_ok=True)
        beside = Path(tempfile.mkdtemp(prefix=f".{folder.name}.", dir=folder.parent))
    except OSError as why:
        raise CannotWrite(f"{short(folder)} cannot be made: {why.strerror}") from why
    try:
        beside.chmod(0o755)
        with resources.as_file(resources.files("rigbook.data").joinpath("example_shop")) as example:
            for source in sorted(example.rglob("*")):
                target = beside / source.relative_to(example)
                if source.is_dir():
                    target.mkdir(exist_ok=True)
                elif source.suffix != ".pyc":
                    target.parent.mkdir(parents=True, exist_ok=True)
                    target.write_bytes(source.read_bytes())
        for name in FOLDERS:
            (beside / name).mkdir(exist_ok=True)
        if folder.exists():
            folder.rmdir()
        beside.rename(folder)
    except OSError as why:
        shutil.rmtree(beside, ignore_errors=True)
        raise CannotWrite(f"{folder} cannot be made: {why.strerror}") from why
    return tuple(sorted(p.relative_to(folder).as_posix() for p in (folder / "builds").glob("*.yaml")))
