"""Recordings: what is read, and every fault at its line and column."""

from __future__ import annotations

import pytest

from rigbook.switching.drive_file import Column, WrongDrive, read_drive
from tests.papers.opened import example

PROGRAM = example("flood-support-van").worked.program


def wrong(text: str | bytes) -> list[tuple[int, int, str]]:
    with pytest.raises(WrongDrive) as caught:
        read_drive(PROGRAM, text.encode() if isinstance(text, str) else text)
    return [(t.line, t.column, t.says) for t in caught.value.troubles]


def test_a_recording_is_read() -> None:
    text = '\ufeff# a remark\r\ntime (ms),gear,response,"voltage.auxiliary (V)",\tscene_left\r\n0,park,off,12.8,no\r\n\r\n1500,"drive",,11500e-3,\r\n'
    read = read_drive(PROGRAM, text.replace("11500e-3", "11.5").encode())
    assert read.columns == (
        Column("signal", "gear"), Column("switch", "response"), Column("measured", "voltage.auxiliary", "V"), Column("switch", "scene_left"),
    )  # fmt: skip
    assert [(r.line, r.at_ms, r.values, r.measured) for r in read.rows] == [
        (3, 0, ((0, "park"), (1, "off"), (3, "no")), ((2, 12.8),)),
        (5, 1500, ((0, "drive"),), ((2, 11.5),)),
    ]
    in_seconds = read_drive(PROGRAM, b"time (s),gear\n0.001,park\n2.5,lost\n")
    assert [r.at_ms for r in in_seconds.rows] == [1, 2500]
    assert read_drive(PROGRAM, b"time (s),voltage.auxiliary (mV)\n0,12800\n").rows[0].measured == ((0, 12.8),)


@pytest.mark.parametrize(
    ("text", "where", "says"),
    [
        ("", (1, 1), "the file is empty"),
        ("# only\n", (1, 1), "the file is empty"),
        ("time,gear\n0,park\n", (1, 1), "the first column is time (s)"),
        ("time (s),gaer\n0,park\n", (1, 10), "did you mean gear?"),
        ("time (s),gear,gear\n0,park,park\n", (1, 15), "has a column already"),
        ("time (s)\n0\n", (1, 1), "no column beside the time"),
        ("time (s),gear (V)\n0,park\n", (1, 10), "has no unit"),
        ("time (s),voltage.auxiliary\n0,12\n", (1, 10), "needs its unit in brackets"),
        ("time (s),voltage.auxiliary (A)\n0,12\n", (1, 10), "needs its unit in brackets"),
        ("time (s),siren_armed\n0,no\n", (1, 10), "follows from the others"),
        ("time (s),gear\n", (1, 1), "no line below the header"),
        ("time (s),gear\n0,park\n0,drive\n", (3, 1), "does not come after"),
        ("time (s),gear\n5,park\n4,drive\n", (3, 1), "does not come after"),
        ("time (s),gear\nsoon,park\n", (2, 1), "is no number"),
        ("time (s),gear\nnan,park\n", (2, 1), "not between 0 and 31 days"),
        ("time (s),gear\n-1,park\n", (2, 1), "not between 0 and 31 days"),
        ("time (s),gear\n1e9,park\n", (2, 1), "not between 0 and 31 days"),
        ("time (s),gear\n0.0005,park\n", (2, 1), "no whole number of milliseconds"),
        ("time (s),gear\n0,prk\n", (2, 3), "did you mean park?"),
        ("time (s),shore\n0,lost\n", (2, 3), "cannot be lost"),
        ("time (s),gear,shore\n0,park\n", (2, 1), "2 cells, where the header names 3"),
        ('time (s),gear\n0,"park\n', (2, 3), "not closed"),
        ('time (s),gear\n0,"park"x\n', (2, 9), "a comma belongs"),
        ("time (s),voltage.auxiliary (V)\n0,twelve\n", (2, 3), "voltage.auxiliary"),
        ("time (s),voltage.auxiliary (V)\n0,inf\n", (2, 3), "voltage.auxiliary"),
        ("time (s),gear\n0,par\0k\n", (2, 6), "a character that no text holds"),
    ],
)  # fmt: skip
def test_faults_stand_at_their_place(text: str, where: tuple[int, int], says: str) -> None:
    found = wrong(text)
    assert found[0][:2] == where and says in found[0][2], found


def test_every_fault_is_told_and_not_without_end() -> None:
    assert [line for line, _, _ in wrong("time (s),gear,shore\n0,prk,no\n1,drive,maybe\n2,park,yes\n1,park,no\n")] == [
        2,
        3,
        5,
    ]
    many = "time (s),gear\n" + "".join(f"{n},nowhere\n" for n in range(500))
    assert len(wrong(many)) == 50
    assert "UTF-8" in wrong(b"time (s),gear\n0,p\xffrk\n")[0][2] and wrong(b"time (s),gear\n0,p\xffrk\n")[0][0] == 2
    assert "larger than" in wrong(b"x" * 20_000_001)[0][2]
