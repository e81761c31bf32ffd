"""A drive as a sheet: every value, device, current and broken requirement with its time from and to."""

from __future__ import annotations

from collections.abc import Iterator

from rigbook.papers.sheets import Cell, Column, Sheet, rounded
from rigbook.switching.drive import Drive
from rigbook.switching.program import Program


def drive_sheet(program: Program, drive: Drive) -> Sheet:
    """The whole timeline: values of switches, signals, memories and timers; devices; currents; what was broken."""
    rows = [*_values(program, drive), *_devices(drive), *_currents(drive), *_broken(drive)]
    columns = (
        Column("from", "s"), Column("to", "s"), Column("kind"), Column("name"), Column("is"), Column("how"), Column("average", "A"),
        Column("RMS", "A"), Column("peak", "A"),
    )  # fmt: skip
    return Sheet("drive", "Recorded drive", columns, tuple(rows))


def values_over_time(program: Program, drive: Drive) -> Iterator[tuple[int, int, int, str]]:
    """Variable, from and to in ms, and its value (`lost` where it is), for every variable in order of time."""
    for index, v in enumerate(program.variables):
        since, now = 0, ""
        for stretch in drive.stretches:
            value = "lost" if index in stretch.lost else v.values[stretch.state[index]]
            if value != now:
                if now:
                    yield index, since, stretch.start_ms, now
                since, now = stretch.start_ms, value
        if now:
            yield index, since, drive.end_ms, now


def _values(program: Program, drive: Drive) -> Iterator[tuple[Cell, ...]]:
    for index, start_ms, end_ms, value in values_over_time(program, drive):
        v = program.variables[index]
        yield (start_ms / 1000, end_ms / 1000, v.kind, v.name, value, "", None, None, None)


def _devices(drive: Drive) -> Iterator[tuple[Cell, ...]]:
    for d in drive.doings:
        yield (d.start_ms / 1000, d.end_ms / 1000, "device", d.device, d.what, d.manner, None, None, None)


def _currents(drive: Drive) -> Iterator[tuple[Cell, ...]]:
    for s in drive.stretches:
        drawn = (rounded(s.drawn[label]) for label in ("average", "RMS", "peak"))
        yield (s.start_ms / 1000, s.end_ms / 1000, "current", "whole build", "", "", *drawn)


def _broken(drive: Drive) -> Iterator[tuple[Cell, ...]]:
    for b in drive.broken:
        yield (
            b.start_ms / 1000,
            b.end_ms / 1000,
            "requirement broken",
            b.requirement,
            f"line {b.line}",
            "",
            None,
            None,
            None,
        )
    for r in drive.refused:
        yield (r.at_ms / 1000, r.at_ms / 1000, "refused", f"line {r.line}", r.says, "", None, None, None)
