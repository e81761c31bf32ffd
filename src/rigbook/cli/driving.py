"""`rigbook try BUILD --drive FILE.csv`: a recorded drive, run and told."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from rigbook.cli import status
from rigbook.cli.trouble import CommandTrouble

if TYPE_CHECKING:
    from rigbook.rig.model import Rig
    from rigbook.switching.drive import Drive

FORMS = (".csv", ".xlsx", ".svg")


def run(build: Path, file: Path, outputs: Sequence[Path]) -> int:
    """Run a recording and tell what came of it; the exit status.

    Raises:
        CommandTrouble: a file that cannot be read or written, or of another form.
    """
    from rigbook.assess.trying import currents_of
    from rigbook.cli.common import assess_or_stop
    from rigbook.switching.drive import run_drive
    from rigbook.switching.drive_file import WrongDrive, read_drive

    for output in outputs:
        if output.suffix.lower() not in FORMS:
            raise CommandTrouble(f"{output}: a drive is written as {', '.join(FORMS)}; name it {output.stem}.csv")
        if output.resolve() == file.resolve():
            raise CommandTrouble(f"{output} is the recording itself; name another file")
    content = _read(file)
    rig = assess_or_stop(build, judged=False).worked
    try:
        recorded = read_drive(rig.program, content)
    except WrongDrive as wrong:
        for trouble in wrong.troubles:
            click.echo(f"{file}:{trouble.line}:{trouble.column}: {trouble.says}", err=True)
        return status.WRONG_INPUT
    drive = run_drive(rig.program, recorded, currents_of(rig))
    for output in outputs:
        _write(rig, drive, output)
    for line in told(drive):
        click.echo(line)
    return status.FOUND if drive.broken or drive.refused else status.WORKED


def told(drive: Drive) -> Iterator[str]:
    """The drive in a few lines."""
    from rigbook.papers.drive_drawing import clock

    yield f"{clock(drive.end_ms)} recorded, {len(drive.stretches)} stretches between changes"
    if drive.stretches:
        average, at_ms = drive.greatest("average")
        peak, peak_ms = drive.greatest("peak")
        mean = drive.mean("average")
        yield f"drawn: {mean:.2f} A on average, {mean * drive.end_ms / 3_600_000:.2f} Ah; most {average:.2f} A from {clock(at_ms)}; peak {peak:.2f} A from {clock(peak_ms)}"
    yield f"requirements broken: {len({b.requirement for b in drive.broken}) or 'none'}"
    yield from (f"  {clock(b.start_ms)} to {clock(b.end_ms)}: {b.requirement} (line {b.line})" for b in drive.broken)
    if drive.refused:
        yield f"refused: {len(drive.refused)}"
        yield from (f"  {clock(r.at_ms)}, line {r.line}: {r.says}" for r in drive.refused)


def _write(rig: Rig, drive: Drive, output: Path) -> None:
    from rigbook.cli.common import write_output
    from rigbook.papers.drive_drawing import drive_svg
    from rigbook.papers.drive_sheet import drive_sheet
    from rigbook.papers.sheet_files import csv_bytes, xlsx_bytes

    form = output.suffix.lower()
    if form == ".svg":
        write_output(output, drive_svg(rig, drive))
        return
    table = drive_sheet(rig.program, drive)
    write_output(output, csv_bytes(table) if form == ".csv" else xlsx_bytes(table))


def _read(file: Path) -> bytes:
    """The bytes of the recording.

    Raises:
        CommandTrouble: there is no such file, or it cannot be read.
    """
    from rigbook.cli.common import read_input
    from rigbook.switching.drive_file import MOST_BYTES

    return read_input(file, most_bytes=MOST_BYTES, what="a recording (.csv)")
