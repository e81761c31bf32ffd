"""`rigbook book BUILD -o FILE.pdf`: the build book."""

from __future__ import annotations

from pathlib import Path

import click

from rigbook.cli.trouble import CommandTrouble


@click.command("book")
@click.argument("build", type=click.Path(path_type=Path))
@click.option("-o", "--output", required=True, type=click.Path(path_type=Path), help="File to write, .pdf.")
@click.option("--quiet", is_flag=True, help="Do not say what was written.")
def command(build: Path, output: Path, quiet: bool) -> None:
    """Typeset the build book: cover with the lamp map, cautions, findings, equipment, functions, circuits, weights."""
    from rigbook.cli.common import assess_or_stop, write_output

    if output.suffix.lower() != ".pdf":
        raise CommandTrouble(f"{output}: the book is a .pdf file; name it {output.stem}.pdf")
    assessment = assess_or_stop(build)
    from rigbook.papers.book import book

    write_output(output, book(assessment), quiet)
