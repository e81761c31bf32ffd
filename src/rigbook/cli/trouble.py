"""What can go wrong outside the documents: the user's command, and our own fault."""

from __future__ import annotations

import hashlib
import platform
import tempfile
import traceback
from collections.abc import Sequence
from pathlib import Path
from typing import IO, Any

import click

from rigbook.cli import status


class CommandTrouble(Exception):
    """The command cannot be done as asked: one line that says what and how to mend it."""

    def __init__(self, says: str, exit_code: int = status.WRONG_INPUT) -> None:
        super().__init__(says)
        self.says = says
        self.exit_code = exit_code

    def show(self, file: IO[Any] | None = None) -> None:
        """Print the one line on stderr."""
        click.echo(f"rigbook: {self.says}", file=file, err=file is None)


def report_own_fault(fault: BaseException, arguments: Sequence[str]) -> str:
    """Write a report file beside the person's work (or in the temporary folder) and give the one line that says so.

    The file's name is drawn from its content, so the same fault makes one file.
    """
    text = "".join(traceback.format_exception(fault))
    report = (
        f"Rigbook failed by a fault of its own.\ncommand: rigbook {' '.join(arguments)}\n"
        f"python: {platform.python_version()} on {platform.system()}\n\n{text}"
    )
    name = f"rigbook-fault-{hashlib.sha256(report.encode()).hexdigest()[:12]}.txt"
    line = f"rigbook: a fault of our own, {type(fault).__name__}: {str(fault).splitlines()[0] if str(fault) else ''}"
    for folder in (Path.cwd(), Path(tempfile.gettempdir())):
        target = folder / name
        try:
            target.write_text(report, encoding="utf-8")
        except OSError:
            continue
        return f"{line}; please send the report {target}"
    return f"{line}; no report could be written"
