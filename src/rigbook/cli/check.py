"""`rigbook check BUILD…`: work builds out; print verdict, findings and key figures."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from rigbook.cli import status
from rigbook.cli.common import painted, with_colour

WEIGHT = {"note": 0, "caution": 1, "fail": 2}


@click.command("check")
@click.argument("builds", nargs=-1, required=True, type=click.Path(path_type=Path), metavar="BUILD...")
@click.option("--json", "as_json", is_flag=True, help="Print the results as JSON; errors too.")
@click.option("--timing", is_flag=True, help="Say how long the work took.")
@click.option(
    "--fail-on",
    type=click.Choice(["note", "caution", "fail"]),
    default="fail",
    show_default=True,
    help="Least severity that makes the exit status 1.",
)
@click.option("--quiet", is_flag=True, help="Print the verdict line alone.")
@click.option("--no-colour", "--no-color", "no_colour", is_flag=True, help="No colour; NO_COLOR does the same.")
def command(builds: tuple[Path, ...], as_json: bool, timing: bool, fail_on: str, quiet: bool, no_colour: bool) -> int:
    """Work builds out and judge them.

    Exit status 0: nothing at or above --fail-on; 1: something; 2: the input is wrong. Several builds: the highest.
    """
    from rigbook.assess.results_json import dumps
    from rigbook.desk.checking import Checked, check_all

    results = check_all(builds, timing, _progress)
    if as_json:
        data = [r.data for r in results]
        click.echo(dumps(data[0] if len(data) == 1 else data), nl=False)
    else:
        colour = with_colour(no_colour)
        for number, result in enumerate(results):
            _print(result, first=number == 0, quiet=quiet, colour=colour)

    def outcome(result: Checked) -> int:
        if result.wrong:
            return status.WRONG_INPUT
        found = any(WEIGHT[s] >= WEIGHT[fail_on] for s in result.severities)
        return status.FOUND if found else status.WORKED

    return max(outcome(r) for r in results)


def _print(result: object, *, first: bool, quiet: bool, colour: bool) -> None:
    from rigbook.desk.checking import Checked

    assert isinstance(result, Checked)
    if result.wrong:
        for line in result.lines:
            click.echo(line, err=True)
        return
    if quiet:
        click.echo(f"{result.path}: {result.data['verdict']}")
        return
    if not first:
        click.echo()
    for line in result.lines:
        click.echo(painted(line, colour))


def _progress(done: int, of: int) -> None:
    if sys.stderr.isatty():
        click.echo(f"\r{done} of {of} builds", nl=done == of, err=True)
