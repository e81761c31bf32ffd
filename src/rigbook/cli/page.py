"""`rigbook page BUILD -o FILE.html`: the stand-alone page a customer opens to try the switches."""

from __future__ import annotations

from pathlib import Path

import click

from rigbook.cli.trouble import CommandTrouble


@click.command("page")
@click.argument("build", type=click.Path(path_type=Path))
@click.option("-o", "--output", required=True, type=click.Path(path_type=Path), help="File to write, .html.")
@click.option("--quiet", is_flag=True, help="Do not say what was written.")
def command(build: Path, output: Path, quiet: bool) -> None:
    """Write the page on which a customer tries the switches: one file for a mail, without prices.

    It opens from disk, on a phone too, and fetches nothing. What the customer answers there comes back as a small file;
    `rigbook approve` records it.
    """
    from rigbook.cli.common import assess_or_stop, write_output

    if output.suffix.lower() not in (".html", ".htm"):
        raise CommandTrouble(f"{output}: the page is a .html file; name it {output.stem}.html")
    assessment = assess_or_stop(build)
    from rigbook.assess.results_json import to_json
    from rigbook.papers.chapter import Desk
    from rigbook.papers.page import stand_alone_page

    write_output(output, stand_alone_page(Desk(assessment, to_json(assessment))), quiet)
