"""`rigbook sweep BUILD`: tolerances as distributions; percentiles of drop, endurance and margin, and what drives them."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from rigbook.cli.trouble import CommandTrouble


@click.command("sweep")
@click.argument("build", type=click.Path(path_type=Path))
@click.option("--samples", type=click.IntRange(2, 100_000), default=64, show_default=True, help="Rows of the sweep.")
@click.option("--seed", type=click.IntRange(0, 2**63 - 1), default=1, show_default=True, help="Same seed, same result.")
@click.option("--workers", type=click.IntRange(1, 1024), help="Processes; as many as there are cores where left out.")
@click.option("--cluster", metavar="ADDRESS", help="Address of a Dask scheduler, as tcp://host:8786, to work there.")
@click.option(
    "--keep", type=click.Path(path_type=Path, dir_okay=False), help="Keep rows in a file; named again, resume."
)
@click.option("--json", "as_json", is_flag=True, help="Print the result as JSON.")
def command(
    build: Path, samples: int, seed: int, workers: int | None, cluster: str | None, keep: Path | None, as_json: bool
) -> None:
    """Sweep a build's tolerances: percentiles and what drives them."""
    from rigbook.assess.results_json import dumps
    from rigbook.assess.sweep_text import sweep_json, sweep_lines
    from rigbook.cli.common import assess_or_stop
    from rigbook.desk.shopfolder import NotAShop
    from rigbook.desk.sweeping import SweepTrouble, WrongBuild, sweep

    try:
        found = sweep(
            build, samples=samples, seed=seed, workers=workers, cluster=cluster, keep=keep, progress=_progress
        )
    except WrongBuild:
        assess_or_stop(build, as_json=as_json, judged=False)
        raise CommandTrouble(f"{build} has errors") from None
    except (NotAShop, SweepTrouble) as wrong:
        raise CommandTrouble(str(wrong)) from wrong
    if as_json:
        made = sweep_json(build=found.build, digest=found.digest, seed=seed, samples=samples, spreads=found.spreads)
        click.echo(dumps(made), nl=False)
        return
    for line in sweep_lines(build=found.build, seed=seed, samples=samples, spreads=found.spreads):
        click.echo(line)


def _progress(done: int, of: int) -> None:
    if sys.stderr.isatty():
        click.echo(f"\r{done} of {of} rows", nl=done == of, err=True)
