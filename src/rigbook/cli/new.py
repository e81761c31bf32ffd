"""`rigbook new FOLDER`: a shop folder to start from."""

from __future__ import annotations

from pathlib import Path

import click

from rigbook.cli.trouble import CommandTrouble


@click.command("new")
@click.argument("folder", type=click.Path(path_type=Path))
@click.option("--quiet", is_flag=True, help="Say nothing.")
def command(folder: Path, quiet: bool) -> None:
    """Make a shop folder with the example parts, vehicles and builds (invented data)."""
    from rigbook.desk.example import make_example_shop
    from rigbook.desk.files import CannotWrite

    try:
        builds = make_example_shop(folder)
    except CannotWrite as wrong:
        raise CommandTrouble(str(wrong)) from wrong
    if not quiet:
        click.echo(f"{folder} is a shop folder with example data. Try: rigbook check {folder / builds[0]}")
