"""`rigbook settle BUILD`: worked-out values written into the file."""

from __future__ import annotations

from pathlib import Path

import click

from rigbook.cli import status
from rigbook.cli.trouble import CommandTrouble


@click.command("settle")
@click.argument("build", type=click.Path(path_type=Path))
@click.option("--quiet", is_flag=True, help="Say nothing.")
def command(build: Path, quiet: bool) -> None:
    """Write worked-out wires, fuses, outputs, grounds and routes into the section `settled` of the build.

    Comments, order and layout of the rest stay. What a person set is never changed.
    """
    from rigbook.assess.text import error_lines
    from rigbook.desk.checking import shown_root
    from rigbook.desk.files import CannotWrite
    from rigbook.desk.settling import settle
    from rigbook.desk.shopfolder import ChangedMeanwhile, NotAShop

    try:
        settled = settle(build)
    except (NotAShop, CannotWrite, ChangedMeanwhile) as wrong:
        raise CommandTrouble(str(wrong)) from wrong
    if settled.assessment.rig is None:
        for line in error_lines(settled.assessment.errors, shown_root(build)):
            click.echo(line, err=True)
        raise click.exceptions.Exit(status.WRONG_INPUT)
    if not quiet:
        what = f"{settled.changed} changed" if settled.changed else "nothing changed"
        click.echo(f"{build}: {settled.values} settled values, {what}")
