"""`rigbook explain BUILD ID`: one figure or finding as a hand calculation."""

from __future__ import annotations

from pathlib import Path

import click


@click.command("explain")
@click.argument("build", type=click.Path(path_type=Path))
@click.argument("id", metavar="ID")
@click.option("--json", "as_json", is_flag=True, help="Print the working as JSON.")
def command(build: Path, id: str, as_json: bool) -> None:
    """Explain a figure (as power.circuits[control.3].drop_v) or a finding (RULE@SUBJECT).

    `check --json` prints both; `check` prints the ids of the key figures.
    """
    from rigbook.assess.explain import UnknownFigure, explain
    from rigbook.assess.results_json import dumps, finding_json
    from rigbook.assess.text import explanation_lines
    from rigbook.cli.common import assess_or_stop, stop
    from rigbook.quantities.working import working_to_json

    assessment = assess_or_stop(build, as_json=as_json)
    try:
        explanation = explain(assessment, id)
    except UnknownFigure as wrong:
        stop(
            str(wrong),
            build,
            as_json=as_json,
            found=id,
            expected="the id of a figure or a finding of check --json",
            nearest=next(iter(wrong.nearest), ""),
        )
    if as_json:
        finding, working = explanation.finding, explanation.working
        click.echo(
            dumps(
                {
                    "rigbook": 1,
                    "id": explanation.id,
                    "finding": None if finding is None else finding_json(finding),
                    "working": None if working is None else working_to_json(working),
                }
            ),
            nl=False,
        )
        return
    for line in explanation_lines(explanation):
        click.echo(line)
