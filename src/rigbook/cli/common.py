"""What the commands share: opening a build, options, output files, colour."""

from __future__ import annotations

import os
import sys
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn

import click

from rigbook.cli import status
from rigbook.cli.trouble import CommandTrouble

if TYPE_CHECKING:
    from rigbook.assess.assessment import Assessment

COLOURS = {"fail": "red", "caution": "yellow", "note": "cyan"}


def assess_or_stop(path: Path, *, as_json: bool = False, judged: bool = True) -> Assessment:
    """Assess a build; with errors print them (on stderr, or as JSON on stdout) and leave with status 2.

    Without `judged` the vehicle is only worked out: no proofs, no findings.

    Raises:
        CommandTrouble: the path leads to no build.
    """
    from rigbook.assess.results_json import dumps, errors_json
    from rigbook.assess.text import error_lines
    from rigbook.desk.checking import open_build, shown_root
    from rigbook.desk.shopfolder import NotAShop

    try:
        assessment = open_build(path, judged=judged)
    except NotAShop as wrong:
        stop(str(wrong), path, as_json=as_json, expected="a build file of a shop folder")
    if assessment.rig is None:
        if as_json:
            click.echo(dumps(errors_json(assessment.errors)), nl=False)
            raise click.exceptions.Exit(status.WRONG_INPUT)
        for line in error_lines(assessment.errors, shown_root(path)):
            click.echo(line, err=True)
        raise click.exceptions.Exit(status.WRONG_INPUT)
    return assessment


def stop(says: str, path: Path, *, as_json: bool, found: str = "", expected: str = "", nearest: str = "") -> NoReturn:
    """Leave with status 2 and a sentence about a build: on stderr, or as the errors object of `--json` on stdout.

    Raises:
        CommandTrouble: without `as_json`; it carries the sentence.
        click.exceptions.Exit: with it.
    """
    from rigbook.assess.results_json import dumps, errors_json
    from rigbook.documents.errors import DocumentError

    if not as_json:
        raise CommandTrouble(says)
    error = DocumentError(path.as_posix(), 1, 1, says, found or path.as_posix(), expected, nearest)
    click.echo(dumps(errors_json((error,))), nl=False)
    raise click.exceptions.Exit(status.WRONG_INPUT)


def write_output(path: Path, content: bytes, quiet: bool = False) -> None:
    """Write an output file whole or not at all, and say so on stderr.

    Raises:
        CommandTrouble: it cannot be written.
    """
    from rigbook.desk.files import CannotWrite, write_whole

    try:
        write_whole(path, content)
    except CannotWrite as wrong:
        raise CommandTrouble(str(wrong)) from wrong
    if not quiet:
        click.echo(f"written: {path}", err=True)


def read_input(path: Path, *, most_bytes: int, what: str) -> bytes:
    """A file that a command takes in, up to one byte more than it may have. `what` it should be, for a sentence.

    Raises:
        CommandTrouble: there is no such file, or it cannot be read.
    """
    from rigbook.desk.files import kind_at, short

    try:
        there = kind_at(path)
        if there != "file":
            says = {"nothing": "is not there", "folder": "is a folder"}.get(there, "is a device or a pipe")
            raise CommandTrouble(f"{short(path)} {says}; name {what}")
        with path.open("rb") as opened:
            return opened.read(most_bytes + 1)
    except OSError as why:
        raise CommandTrouble(f"{short(path)} cannot be read: {why.strerror}") from why


def with_colour(no_colour: bool) -> bool:
    """Whether to colour: a terminal, no `--no-colour`, no NO_COLOR (https://no-color.org: set and not empty)."""
    return not no_colour and not os.environ.get("NO_COLOR") and sys.stdout.isatty()


def painted(line: str, colour: bool) -> str:
    """A line with its severity coloured, where it begins with one."""
    word = line.split(" ", 1)[0]
    if not colour or word not in COLOURS:
        return line
    return click.style(word, fg=COLOURS[word], bold=True) + line[len(word) :]
