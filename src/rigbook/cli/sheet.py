"""`rigbook sheet BUILD NAME -o FILE`: one table as .csv or .xlsx."""

from __future__ import annotations

from pathlib import Path

import click

from rigbook.cli import status
from rigbook.cli.trouble import CommandTrouble

NAMES = (
    "equipment", "circuits", "conductors", "feeds", "weights", "states", "functions", "labels", "quote", "switches", "lamps", "fuses", "loads", "wires", "bundles",
    "supply", "day", "day-curve", "endurance",
    "harness", "leads", "pins", "inputs", "programming", "axles", "drill", "inspection", "warning", "warning-grid", "observers", "areas", "ground", "markings",
)  # fmt: skip


@click.command("sheet")
@click.argument("build", type=click.Path(path_type=Path))
@click.argument("name", type=click.Choice(NAMES))
@click.option("-o", "--output", required=True, type=click.Path(path_type=Path), help="File to write, .csv or .xlsx.")
@click.option("--quiet", is_flag=True, help="Do not say what was written.")
def command(build: Path, name: str, output: Path, quiet: bool) -> None:
    """Write one table of a build, with the unit in every header."""
    from rigbook.cli.common import assess_or_stop, write_output

    form = output.suffix.lower()
    if form not in (".csv", ".xlsx"):
        raise CommandTrouble(f"{output}: a sheet is a .csv or .xlsx file; name it {output.stem}.xlsx")
    assessment = assess_or_stop(build)
    from rigbook.papers.sheet_files import csv_bytes, xlsx_bytes
    from rigbook.papers.sheets import sheet

    table = sheet(name, assessment)
    try:
        content = csv_bytes(table) if form == ".csv" else xlsx_bytes(table)
    except ModuleNotFoundError as missing:
        raise CommandTrouble(
            f"{form} files need {missing.name}, which is not installed; write .csv instead", status.MISSING_PART
        ) from missing
    write_output(output, content, quiet)
