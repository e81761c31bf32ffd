"""`rigbook draw BUILD NAME -o FILE`: one drawing."""

from __future__ import annotations

from pathlib import Path

import click

from rigbook.cli.trouble import CommandTrouble

DRAWINGS = ("lamp-map",)


@click.command("draw")
@click.argument("build", type=click.Path(path_type=Path))
@click.argument("name", type=click.Choice(DRAWINGS))
@click.option("-o", "--output", required=True, type=click.Path(path_type=Path), help="File to write, .svg.")
@click.option("--quiet", is_flag=True, help="Do not say what was written.")
def command(build: Path, name: str, output: Path, quiet: bool) -> None:
    """Write a drawing: lamp-map shows five views with every lamp, its colours and aim."""
    from rigbook.cli.common import assess_or_stop, write_output

    if output.suffix.lower() != ".svg":
        raise CommandTrouble(f"{output}: this edition draws .svg; name the file {output.stem}.svg")
    assessment = assess_or_stop(build)
    from rigbook.papers.lampsheet import lamp_map_svg

    write_output(output, lamp_map_svg(assessment.worked).encode(), quiet)
