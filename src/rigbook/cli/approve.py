"""`rigbook approve BUILD FILE`: record what a customer answered on the stand-alone page."""

from __future__ import annotations

from pathlib import Path

import click

from rigbook.cli import status
from rigbook.cli.trouble import CommandTrouble


@click.command("approve")
@click.argument("build", type=click.Path(path_type=Path))
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--quiet", is_flag=True, help="Do not say what was recorded.")
def command(build: Path, file: Path, quiet: bool) -> int:
    """Record an answer that came back from the page, in approvals/ of the shop folder.

    An answer counts for the revision that was shown and for no other: after a change of the build it is refused, and
    nothing is written. Records are added, never changed.
    """
    from rigbook.cli.common import assess_or_stop, read_input
    from rigbook.desk.approvals import Outdated, record
    from rigbook.desk.files import CannotWrite
    from rigbook.desk.shopfolder import find_build
    from rigbook.shop.answers import MOST_BYTES, NotAnAnswer, read_answer

    assessment = assess_or_stop(build, judged=False)
    content = read_input(file, most_bytes=MOST_BYTES, what="the file that came back from the page")
    try:
        answer = read_answer(content)
    except NotAnAnswer as wrong:
        for line, column, says in wrong.troubles:
            click.echo(f"{file}:{line}:{column}: {says}", err=True)
        return status.WRONG_INPUT
    rig = assessment.worked
    root, _name = find_build(build)
    try:
        target, new = record(root, rig.build.build.id, rig.digest, answer)
    except (Outdated, CannotWrite) as wrong:
        raise CommandTrouble(f"{file}: {wrong}") from wrong
    if not quiet:
        remarks = f", {len(answer.remarks)} remark{'s' * (len(answer.remarks) != 1)}" if answer.remarks else ""
        click.echo(f"{answer.answer} by {answer.name}, {answer.date}{remarks}")
        for remark in answer.remarks:
            click.echo(f"  {remark.about + ': ' if remark.about else ''}{remark.text}")
        click.echo(f"{'recorded' if new else 'recorded before'}: {target}")
    return status.WORKED
