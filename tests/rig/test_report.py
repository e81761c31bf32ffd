"""Collecting errors and notes."""

from __future__ import annotations

from rigbook.documents.schema.base import Where
from rigbook.rig.report import Report

HERE = Where("builds/a.yaml", 3, 7)


def test_an_unknown_name_tells_the_nearest() -> None:
    report = Report()
    report.unknown(HERE, "place", "noze", ["nose", "roof"])
    (error,) = report.errors
    assert str(error) == "builds/a.yaml:3:7: there is no place noze; the nearest is nose"
    assert (error.found, error.nearest, error.expected) == ("noze", "nose", "the id of a place")


def test_nothing_near_tells_nothing() -> None:
    report = Report()
    report.unknown(HERE, "place", "noze", ["quite-else"])
    assert report.errors[0].nearest == "" and report.errors[0].says == "there is no place noze"


def test_a_note_keeps_its_place() -> None:
    report = Report()
    report.note("rule", "subject", "says", HERE, "caution")
    (note,) = report.notes
    assert (note.rule, note.subject, note.severity, note.line) == ("rule", "subject", "caution", 3)
