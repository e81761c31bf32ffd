"""`rigbook try BUILD`: step through states in the terminal."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from rigbook.cli import status
from rigbook.cli.trouble import CommandTrouble


@click.command("try")
@click.argument("build", type=click.Path(path_type=Path))
@click.option("--state", help="Start from this saved state instead of rest.")
@click.option("--drive", type=click.Path(path_type=Path), help="Run this recording (.csv) instead of reading commands.")
@click.option(
    "-o",
    "--output",
    "outputs",
    multiple=True,
    type=click.Path(path_type=Path),
    help="With --drive: file to write, .csv, .xlsx or .svg; may be given several times.",
)
def command(build: Path, state: str | None, drive: Path | None, outputs: tuple[Path, ...]) -> int:
    """Try a build's switches: press, release, tap, hold, set, signal, lose, restore, wait; show, undo, help, quit.

    Shows what is off rest, what lights and what it draws. Reads commands line by line, from a pipe too; a line that
    cannot be carried out is said on stderr, and makes the exit status 2 when the lines come from a pipe.

    With --drive a recording of values over time is run instead: what broke a requirement and when, what was refused,
    what it drew; the exit status is 1 where anything was broken or refused. Its first line names the columns: time (s),
    then switches, signals, and what is measured with its unit, as voltage.auxiliary (V).
    """
    if drive is not None:
        if state is not None:
            raise CommandTrouble("a drive begins at rest: leave --state out, and record what stands in its first line")
        from rigbook.cli.driving import run

        return run(build, drive, outputs)
    if outputs:
        raise CommandTrouble("--output belongs to --drive")
    from rigbook.assess.trying import currents_of
    from rigbook.cli.common import assess_or_stop
    from rigbook.switching.trying import Trial, TryError

    rig = assess_or_stop(build, judged=False).worked
    trial = Trial(rig.program, _start(rig, state), currents_of(rig))
    asks = sys.stdin.isatty()
    outcome = status.WORKED
    click.echo(trial.show())
    while not trial.over:
        if asks:
            click.echo("> ", nl=False)
        line = sys.stdin.readline()
        if not line:
            break
        if not line.strip() or line.lstrip().startswith("#"):
            continue
        try:
            shown = trial.do(line.strip())
        except TryError as wrong:
            click.echo(f"{line.strip()}: {wrong}", err=True)
            outcome = status.WORKED if asks else status.WRONG_INPUT
            continue
        if shown:
            click.echo(("" if asks else f"\n> {line.strip()}\n") + shown)
    return outcome


def _start(rig: object, state: str | None) -> tuple[int, ...] | None:
    """The full state of a saved state; None for rest.

    Raises:
        CommandTrouble: there is no saved state of that id.
    """
    from rigbook.power.loads import state_of
    from rigbook.rig.model import Rig

    assert isinstance(rig, Rig)
    if state is None:
        return None
    for point in rig.states:
        if point.id == state:
            return state_of(rig, point)
    raise CommandTrouble(f"there is no saved state {state}; there are: {', '.join(p.id for p in rig.states) or 'none'}")
