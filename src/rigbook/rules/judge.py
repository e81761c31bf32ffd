"""Rows of rule packs against the results: findings out."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from rigbook.documents.schema.base import Placed
from rigbook.documents.schema.shop import Case, Limit, RuleRow, RulesDocument
from rigbook.quantities.gauge import parse_gauge
from rigbook.quantities.parse import QuantityError, parse_number, parse_quantity
from rigbook.rules.facts import holds, read_when
from rigbook.rules.findings import Finding
from rigbook.rules.measures import Measure, Reading, Results
from rigbook.rules.wording import DIMENSIONS, shown
from rigbook.switching.language import LanguageError, nearest, place_of
from rigbook.switching.program import CompileProblem

SLACK = 1e-9
"""Relative slack of a comparison: two ways to compute the same limit may differ in the last bit."""


@dataclass(frozen=True, slots=True)
class Pack:
    """A rule pack as loaded: its rows and the file they stand in."""

    id: str
    file: str
    rows: tuple[RuleRow, ...]


def read_limit(text: str, measure: Measure) -> tuple[float | None, str | None]:
    """A row's limit: a figure in the measure's unit, or the name of a limit the subject brings itself.

    Raises:
        QuantityError: neither.
    """
    if text in measure.limits:
        return None, text
    own = f", or {' or '.join(measure.limits)}" if measure.limits else ""
    if measure.unit == "mm2":
        return parse_gauge(text).area_mm2, None
    if measure.unit == "count":
        return parse_number(text), None
    dimension = DIMENSIONS[measure.unit]
    try:
        return parse_quantity(text, dimension), None
    except QuantityError as wrong:
        raise QuantityError(
            wrong.says, found=wrong.found, expected=wrong.expected + own, nearest=nearest(text, measure.limits)
        ) from wrong


def limit_text(limit: Limit | Case) -> str:
    """The limit as written; the schema lets it have one of the two sides."""
    text = limit.at_most if limit.at_most is not None else limit.at_least
    assert text is not None
    return text


def corrected(rows: Sequence[RuleRow], corrections: Sequence[RuleRow]) -> tuple[RuleRow, ...]:
    """The rows of a pack with those of the same id that a shop has written for it in their place, in the same order."""
    own = {row.id: row for row in corrections}
    return tuple(own.get(row.id, row) for row in rows)


def wrong_corrections(packs: Mapping[str, RulesDocument]) -> Iterator[CompileProblem]:
    """Errors of packs that correct another: one that there is not, or rows that it does not have."""
    for document in packs.values():
        name = document.pack.corrects
        if name is None:
            continue
        where = document.pack.where_of("corrects")
        if name not in packs or name == document.pack.id:
            near = nearest(name, [other for other in packs if other != document.pack.id])
            says = f"{document.pack.id} corrects {name}, which is no other rule pack"
            yield CompileProblem(*where, says, name, "a rule pack", near)
            continue
        there = {row.id for row in packs[name].rules}
        for row in document.rules:
            if row.id not in there:
                says = f"{name} has no row {row.id} to correct"
                yield CompileProblem(*row.where_of("id"), says, row.id, "the id of a row", nearest(row.id, there))


def limit_of(row: RuleRow, measure: Measure, reading: Reading) -> float | None:
    """The figure that a row sets to a reading, in the measure's unit; None where it sets none."""
    limit: Limit | Case | None = row.limit
    if row.when is not None and not holds(read_when(row.when.text, measure.facts), reading.facts):
        return None
    for case in row.cases:
        if holds(read_when(case.when.text, measure.facts), reading.facts):
            limit = case
            break
    if limit is None:
        return None
    figure, own = read_limit(limit_text(limit), measure)
    return reading.limits.get(own) if own is not None else figure


def check_packs(packs: Sequence[Pack], measures: Mapping[str, Measure]) -> tuple[CompileProblem, ...]:
    """Errors of the packs: rows that name no measure, no readable limit, no declared fact, no known blank."""
    return tuple(problem for pack in packs for row in pack.rows for problem in _check_row(pack, row, measures))


def _check_row(pack: Pack, row: RuleRow, measures: Mapping[str, Measure]) -> Iterator[CompileProblem]:
    def problem(key: str, says: str, found: str = "", expected: str = "", near: str = "") -> CompileProblem:
        where = row.where_of(key)
        return CompileProblem(where.file or pack.file, where.line, where.column, says, found, expected, near)

    measure = measures.get(row.measure)
    if measure is None:
        near = nearest(row.measure, measures)
        hint = f"; the nearest is {near}" if near else ""
        yield problem("measure", f"there is no measure {row.measure}{hint}", row.measure, "a measure", near)
        return
    if row.per != measure.per:
        yield problem("per", f"{row.measure} is measured per {measure.per}", row.per, measure.per)
    limits: list[Limit | Case] = [*([row.limit] if row.limit is not None else []), *row.cases]
    for limit in limits:
        try:
            read_limit(limit_text(limit), measure)
        except QuantityError as wrong:
            where = row.where_of("limit") if limit is row.limit else limit.where
            yield CompileProblem(
                where.file or pack.file,
                where.line,
                where.column,
                wrong.says,
                wrong.found,
                wrong.expected,
                wrong.nearest,
            )
    for when in (row.when, *(case.when for case in row.cases)):
        if when is not None:
            yield from _check_when(pack, when, measure)
    for key, sentence in (("says", row.says), ("remedy", row.remedy)):
        yield from (problem(key, *wrong) for wrong in _wrong_blanks(sentence, measure))


def _check_when(pack: Pack, when: Placed, measure: Measure) -> Iterator[CompileProblem]:
    try:
        read_when(when.text, measure.facts)
    except LanguageError as wrong:
        where = place_of(when, wrong.position)
        yield CompileProblem(
            where.file or pack.file, where.line, where.column, wrong.says, wrong.found, wrong.expected, wrong.nearest
        )


def _wrong_blanks(sentence: str, measure: Measure) -> Iterator[tuple[str, str, str]]:
    import string

    known = ("subject", "value", "limit", *measure.words)
    try:
        blanks = [name for _, name, _, _ in string.Formatter().parse(sentence) if name is not None]
    except ValueError as wrong:
        yield f"the blanks of this sentence cannot be read: {wrong}", sentence, "{subject}, {value}, {limit}"
        return
    for blank in blanks:
        if blank not in known:
            yield f"{{{blank}}} is no blank of {measure.name}", blank, ", ".join(f"{{{name}}}" for name in known)


def judge(packs: Sequence[Pack], results: Results, measures: Mapping[str, Measure], units: str) -> tuple[Finding, ...]:
    """Findings of all rows, in pack and row order. A row that crashes is one finding that says so; others still run."""
    taken: dict[str, tuple[Reading, ...]] = {}
    found: list[Finding] = []
    for pack in packs:
        for row in pack.rows:
            measure = measures[row.measure]
            try:
                if measure.name not in taken:
                    taken[measure.name] = tuple(measure.take(results))
                found.extend(_judge_row(row, measure, taken[measure.name], units))
            except Exception as fault:  # one broken rule must not silence the others; it is told as our own fault
                found.append(_crashed(pack, row, fault))
    return tuple(found)


def _crashed(pack: Pack, row: RuleRow, fault: Exception) -> Finding:
    return Finding(
        rule=row.id,
        subject="rigbook",
        severity="caution",
        says=f"Rule {row.id} could not be judged: a fault of our own ({type(fault).__name__}: {fault}). The other "
        "rules were judged; judge this one by hand and send us the build.",
        file=row.where.file or pack.file,
        line=row.where.line or None,
        own_fault=True,
    )


def _judge_row(row: RuleRow, measure: Measure, readings: Sequence[Reading], units: str) -> Iterator[Finding]:
    sides: Sequence[Limit | Case] = [row.limit] if row.limit is not None else row.cases
    how: Literal["at_most", "at_least"] = "at_most" if sides[0].at_most is not None else "at_least"
    for reading in readings:
        limit = limit_of(row, measure, reading)
        if limit is not None and not keeps(value=reading.value, limit=limit, how=how):
            yield _finding(row, measure, reading, limit, units)


def keeps(*, value: float, limit: float, how: Literal["at_most", "at_least"]) -> bool:
    """Whether a value keeps a limit, the last bits aside. ValueError for NaN, which keeps and breaks nothing."""
    if math.isnan(value) or math.isnan(limit):
        raise ValueError("not a number")
    slack = SLACK * max(abs(value), abs(limit))
    return value <= limit + slack if how == "at_most" else value >= limit - slack


def source_text(row: RuleRow) -> str | None:
    """Source of a row as one text: key, edition and clause."""
    named = ", ".join(part for part in (row.source, row.edition) if part)
    return ": ".join(part for part in (named, row.clause) if part) or None


def _finding(row: RuleRow, measure: Measure, reading: Reading, limit: float, units: str) -> Finding:
    blanks = {
        "subject": reading.subject,
        "value": shown(reading.value, measure.unit, units),
        "limit": shown(limit, measure.unit, units),
        **reading.words,
    }
    return Finding(
        rule=row.id,
        subject=reading.subject,
        severity=row.severity,
        says=f"{row.says.format(**blanks)} {row.remedy.format(**blanks)}",
        value=reading.value,
        limit=limit,
        unit=measure.unit,
        source=source_text(row),
        sourced=row.sourced,
        file=reading.file or None,
        line=reading.line or None,
        witness=reading.witness,
        figure=reading.figure,
    )
