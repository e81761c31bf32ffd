"""`rigbook book BUILD -o FILE.pdf`: the build book, or chapters of it."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from rigbook.cli.trouble import CommandTrouble

NAMES = (
    "cautions", "findings", "quote", "equipment", "switches", "functions", "lamps", "light", "scene", "circuits", "power", "fuses", "harness", "pins", "inputs",
    "programming", "weights", "joints", "faces", "markings", "inspection",
)  # fmt: skip
"""The chapters, as `rigbook.papers.contents.CHAPTERS` has them."""


@click.command("book")
@click.argument("build", type=click.Path(path_type=Path))
@click.option("-o", "--output", required=True, type=click.Path(path_type=Path), help="File to write, .pdf.")
@click.option("--only", multiple=True, type=click.Choice(NAMES), help="Only this chapter; may be given again.")
@click.option("--quiet", is_flag=True, help="Do not say what was written, show no progress.")
def command(build: Path, output: Path, only: tuple[str, ...], quiet: bool) -> None:
    """Typeset the build book: quote, equipment, switches, harness, pin-outs, programming, weights, inspection and more."""
    from rigbook.cli.common import assess_or_stop, write_output

    if output.suffix.lower() != ".pdf":
        raise CommandTrouble(f"{output}: the book is a .pdf file; name it {output.stem}.pdf")
    assessment = assess_or_stop(build)
    from rigbook.papers.book import book

    shows = sys.stderr.isatty() and not quiet
    made = book(assessment, only=only, progress=_show if shows else None)
    if shows:
        click.echo("\r\033[K", err=True, nl=False)
    write_output(output, made, quiet)


def _show(name: str) -> None:
    """One line that is written over: which chapter is being made. Only on a terminal."""
    click.echo(f"\r\033[K{name} …", err=True, nl=False)
