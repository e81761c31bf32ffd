"""`rigbook draw BUILD NAME -o FILE`: one drawing."""

from __future__ import annotations

from pathlib import Path

import click

from rigbook.cli.trouble import CommandTrouble

NAMES = (
    "lamp-map", "fuse-map", "panels", "timing", "labels", "view-plan", "view-left", "view-right", "view-front", "view-rear",
)  # fmt: skip


@click.command("draw")
@click.argument("build", type=click.Path(path_type=Path))
@click.argument("name", type=click.Choice(NAMES))
@click.option("-o", "--output", required=True, type=click.Path(path_type=Path), help="File to write, .svg or .pdf.")
@click.option("--quiet", is_flag=True, help="Do not say what was written.")
def command(build: Path, name: str, output: Path, quiet: bool) -> None:
    """Write a drawing.

    \b
    lamp-map    five views to scale with every lamp, its colours and aim
    fuse-map    every fuse block as it looks, and the fuses in the line
    panels      the crew's switch panels, dimensioned, with their legends
    timing      what flashes when, one diagram a function
    labels      both ends of every wire, circuits, modules: on the shop's label stock
    view-plan, view-left, view-right, view-front, view-rear
                one view of the lamp map alone
    """
    from rigbook.cli.common import assess_or_stop, write_output

    form = output.suffix.lower()
    if form not in (".svg", ".pdf"):
        raise CommandTrouble(f"{output}: a drawing is a .svg or .pdf file; name it {output.stem}.svg")
    assessment = assess_or_stop(build)
    from rigbook.assess.results_json import to_json
    from rigbook.papers.drawings import drawing_pdf, drawing_svg

    rig, report = assessment.worked, to_json(assessment)
    write_output(output, drawing_svg(name, rig, report) if form == ".svg" else drawing_pdf(name, rig, report), quiet)
