"""Run the program: in this process (fast), or as a process of its own (what a shell sees)."""

from __future__ import annotations

import contextlib
import io
import os
import subprocess
import sys
from pathlib import Path
from unittest import mock

from rigbook.cli.main import run

SMALL = Path(__file__).parents[1] / "rules" / "shop"
BUILD = "builds/small.yaml"
Done = subprocess.CompletedProcess[str]


def rigbook(*arguments: object, cwd: Path | None = None, stdin: str = "") -> Done:
    """In this process."""
    out, errors = io.StringIO(), io.StringIO()
    texts = [str(a) for a in arguments]
    with (
        contextlib.redirect_stdout(out),
        contextlib.redirect_stderr(errors),
        contextlib.chdir(cwd or Path.cwd()),
        mock.patch.object(sys, "stdin", io.StringIO(stdin)),
    ):
        status = run(texts)
    return Done(texts, status, out.getvalue(), errors.getvalue())


def program(*arguments: object, cwd: Path | None = None, stdin: str = "", seed: str = "0") -> Done:
    """As a process of its own."""
    return subprocess.run(
        [sys.executable, "-m", "rigbook.cli.main", *map(str, arguments)], capture_output=True, text=True, cwd=cwd,
        input=stdin, env={**os.environ, "PYTHONHASHSEED": seed}, timeout=120,
    )  # fmt: skip


def change(shop: Path, name: str, old: str, new: str) -> Path:
    """Change a document of a shop folder where the old text stands once."""
    path = shop / name
    text = path.read_text()
    assert text.count(old) == 1
    path.write_text(text.replace(old, new))
    return path
