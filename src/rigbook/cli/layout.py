"""`rigbook layout BUILD FACE`: the best rows for what is left open on a face."""

from __future__ import annotations

from pathlib import Path

import click

from rigbook.cli import status
from rigbook.cli.trouble import CommandTrouble


@click.command("layout")
@click.argument("build", type=click.Path(path_type=Path))
@click.argument("face")
@click.option("--write", is_flag=True, help="Write the positions into the section `settled` of the build.")
@click.option("--again", is_flag=True, help="Lay out anew what was settled earlier.")
@click.option("--quiet", is_flag=True, help="Say nothing.")
def command(build: Path, face: str, write: bool, again: bool, quiet: bool) -> None:
    """Lay out what has no position on a face: rows of least height, what is used most nearest the upper edge.

    What a person set stays where it is. The height is proven least, or its gap is told.
    """
    from rigbook.assess.text import error_lines
    from rigbook.desk.checking import shown_root
    from rigbook.desk.files import CannotWrite
    from rigbook.desk.laying import NoSuchFace, lay
    from rigbook.desk.shopfolder import ChangedMeanwhile, NotAShop

    try:
        laid = lay(build, face, again=again, write=write)
    except (NoSuchFace, NotAShop, CannotWrite, ChangedMeanwhile) as wrong:
        raise CommandTrouble(str(wrong)) from wrong
    layout = laid.layout
    if layout is None:
        for line in error_lines(laid.assessment.errors, shown_root(build)):
            click.echo(line, err=True)
        raise click.exceptions.Exit(status.WRONG_INPUT)
    if not quiet:
        for row in layout.rows:
            click.echo("  ".join(f"{one} {layout.at_mm[one][0]}, {layout.at_mm[one][1]} mm" for one in row))
        proven = (
            "the least there is" if layout.gap_share == 0 else f"within {100 * layout.gap_share:.1f} % of the least"
        )
        click.echo(
            f"{face}: {len(layout.at_mm)} things in {len(layout.rows)} rows, {layout.height_mm} mm high, {proven}"
        )
        if write and layout.fits:
            click.echo(f"{build}: {laid.changed} positions written")
    if not layout.fits:
        says = f"{face}: the rows take {layout.height_mm} mm and {layout.room.height} mm are free; nothing is written"
        raise CommandTrouble(f"{says}: free some of it, or take a larger face")
