"""`rigbook compare A B`: what differs between two builds."""

from __future__ import annotations

from pathlib import Path

import click


@click.command("compare")
@click.argument("before", metavar="A", type=click.Path(path_type=Path))
@click.argument("after", metavar="B", type=click.Path(path_type=Path))
@click.option("--json", "as_json", is_flag=True, help="Print the comparison as JSON.")
def command(before: Path, after: Path, as_json: bool) -> None:
    """Compare two builds: documents, figures, findings."""
    from rigbook.assess.compare import compare, comparison_json, comparison_lines
    from rigbook.assess.results_json import dumps
    from rigbook.cli.common import assess_or_stop

    comparison = compare(assess_or_stop(before, as_json=as_json), assess_or_stop(after, as_json=as_json))
    if as_json:
        click.echo(dumps(comparison_json(comparison)), nl=False)
        return
    for line in comparison_lines(comparison):
        click.echo(line)
