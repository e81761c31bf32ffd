"""The order of the run: text in, one assessment out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from rigbook.documents.errors import DocumentError
from rigbook.documents.loader import Loaded
from rigbook.quantities.kept import Kept
from rigbook.quantities.tables import as_mark
from rigbook.rig.model import Rig, RigNote
from rigbook.rules.findings import Finding, Verdict, in_order, verdict_of
from rigbook.rules.judge import Pack, check_packs, corrected, judge, wrong_corrections
from rigbook.rules.measures import ModeColour, Results, registry
from rigbook.rules.proved import proved_findings
from rigbook.switching.program import CompileProblem

if TYPE_CHECKING:
    from rigbook.assess.alike import Alike
    from rigbook.body.result import BodyResult
    from rigbook.light.engine import Light
    from rigbook.money.result import MoneyResult
    from rigbook.power.result import PowerResult
    from rigbook.proofs.verdicts import Verdicts

NOT_WORKED_OUT: tuple[tuple[str, str], ...] = (
    ("radio", "Isolation, exposure and intermodulation of radios are not worked out by this edition."),
    ("sound", "Siren and cab sound levels are not worked out by this edition."),
)
"""What the keys of `check --json` promise and no engine gives yet, and the note that says so."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Assessment:
    """Everything worked out of one build, or the errors that kept it from being worked out."""

    loaded: Loaded
    errors: tuple[DocumentError, ...] = ()
    rig: Rig | None = None
    verdicts: Verdicts | None = None
    alike: Alike | None = None
    colours: tuple[ModeColour, ...] = ()
    power: PowerResult | None = None
    light: Light | None = None
    body: BodyResult | None = None
    money: MoneyResult | None = None
    findings: tuple[Finding, ...] = field(default=())

    @property
    def verdict(self) -> Verdict:
        """The worst severity of all findings."""
        return verdict_of(self.findings)

    @property
    def worked(self) -> Rig:
        """The rig. Only for assessments without errors."""
        assert self.rig is not None
        return self.rig


def assess(loaded: Loaded, kept: Kept | None = None) -> Assessment:
    """Work a loaded build out and judge it. Never raises for what the user wrote.

    kept: what earlier runs worked out; equal input is not worked out again.
    """
    kept = kept or Kept()
    return finish(begin(loaded, kept), kept)


def begin(loaded: Loaded, kept: Kept | None = None) -> Assessment:
    """The first stage: parts in place, wires and fuses chosen, and what the documents alone tell. Nothing proved,
    measured or judged yet. kept: as for `assess`."""
    if loaded.errors or loaded.build is None or loaded.shop is None or loaded.vehicle is None:
        return Assessment(loaded=loaded, errors=loaded.errors)
    problems: tuple[CompileProblem | DocumentError, ...] = (
        *check_packs(packs_of(loaded)[0], registry()),
        *wrong_corrections(loaded.packs),
        *_photometric_errors(loaded),
    )
    rig, more = decide_rig(loaded, kept)
    if problems or more or rig is None:
        return Assessment(loaded=loaded, errors=_errors((*problems, *more)))
    return Assessment(loaded=loaded, rig=rig, findings=in_order((*_notes(rig.notes), *_compiler_notes(rig))))


def finish(begun: Assessment, kept: Kept | None = None) -> Assessment:
    """The later stages of what `begin` gave: proofs, figures, findings. With errors it stays as it is."""
    if begun.rig is None:
        return begun
    packs, pack_notes = packs_of(begun.loaded)
    return _judged(begun.loaded, begun.rig, packs, pack_notes, kept or Kept())


def assess_rig_alone(loaded: Loaded) -> Assessment:
    """Work the vehicle out without proving, measuring or judging: what `try` needs."""
    rig, errors = decide_rig(loaded)
    return Assessment(loaded=loaded, rig=rig, errors=_errors(errors))


def decide_rig(loaded: Loaded, kept: Kept | None = None) -> tuple[Rig | None, tuple[DocumentError, ...]]:
    """Open a loaded build, choose what was left open, decide; errors instead where it cannot be."""
    from rigbook.power.choose import choose_exact
    from rigbook.rig.decide import decide
    from rigbook.rig.open import open_rig
    from rigbook.rig.report import Problems

    if loaded.errors:
        return None, loaded.errors
    opened = open_rig(loaded)
    if isinstance(opened, Problems):
        return None, opened.errors
    found = choose_exact(opened, kept)
    if isinstance(found, Problems):
        return None, found.errors
    return replace(decide(*found), light=loaded.light), ()


def _judged(loaded: Loaded, rig: Rig, packs: Sequence[Pack], pack_notes: Sequence[Finding], kept: Kept) -> Assessment:
    from rigbook.assess.alike import alike_findings, alike_of
    from rigbook.assess.colours import mode_colours
    from rigbook.body import work_out as work_out_body
    from rigbook.light.engine import work_out as work_out_light
    from rigbook.money import work_out as work_out_money
    from rigbook.power.figures import work_out as work_out_power
    from rigbook.proofs.verdicts import prove
    from rigbook.rules.measures_light import with_required

    verdicts = kept.recall("proofs", rig.program, lambda: prove(rig.program))
    colours = mode_colours(rig, packs)
    results = Results(
        rig=rig,
        verdicts=verdicts,
        colours=colours,
        power=kept.recall("power", rig, lambda: work_out_power(rig, kept)),
        body=kept.recall("body", rig, lambda: work_out_body(rig)),
        money=kept.recall("money", rig, lambda: work_out_money(rig)),
    )
    light = kept.recall("light", (rig, loaded.light), lambda: work_out_light(rig, loaded.light))
    results = replace(results, light=with_required(light, packs, results))
    alike = kept.recall("alike", (rig, verdicts), lambda: alike_of(rig, verdicts))
    findings = (
        *_notes(rig.notes),
        *_compiler_notes(rig),
        *proved_findings(rig, verdicts),
        *alike_findings(rig, alike, results.power),
        *judge(packs, results, registry(), rig.shop.units),
        *_notes([n for r in (results.power, results.body, results.money) if r is not None for n in r.notes]),
        *_notes(() if results.light is None else results.light.result.notes),
        *pack_notes,
        *_not_worked_out(rig),
    )
    return Assessment(
        loaded=loaded,
        rig=rig,
        verdicts=verdicts,
        alike=alike,
        colours=colours,
        power=results.power,
        light=results.light,
        body=results.body,
        money=results.money,
        findings=in_order(findings),
    )


def packs_of(loaded: Loaded) -> tuple[tuple[Pack, ...], tuple[Finding, ...]]:
    """The packs that judge a build: its own, else the shop's. A pack that ships before its engine has no rows yet,
    and a note says that nothing was judged by it."""
    assert loaded.build is not None and loaded.shop is not None
    own = bool(loaded.build.build.rules)
    names = loaded.build.build.rules or loaded.shop.rules
    where = loaded.build.build.where_of("rules") if own else loaded.shop.where_of("rules")
    packs: list[Pack] = []
    notes: list[Finding] = []
    for name in dict.fromkeys(names):
        document = loaded.packs[name]
        corrections = [row for other in loaded.packs.values() if other.pack.corrects == name for row in other.rules]
        packs.append(Pack(name, document.pack.where.file, corrected(document.rules, corrections)))
        if not document.rules:
            notes.append(
                Finding(
                    rule="rule-pack-empty",
                    subject=name,
                    severity="note",
                    says=f"Rule pack {name} has no rows in this edition, so nothing was judged by it. "
                    f"{document.pack.about or ''}".strip(),
                    file=where.file or None,
                    line=where.line or None,
                )
            )
    return tuple(packs), tuple(notes)


def _photometric_errors(loaded: Loaded) -> tuple[DocumentError, ...]:
    """What is wrong in the photometric files that parts of the build refer to."""
    if not loaded.light:
        return ()
    from rigbook.light.files import read
    from rigbook.light.photometry import PhotometryError

    found = []
    for name, data in loaded.light.items():
        try:
            read(name, data)
        except PhotometryError as error:
            found.append(DocumentError(f"light/{name}", error.line, 1, error.says, error.found, error.expected))
    return tuple(found)


def _errors(problems: Sequence[CompileProblem | DocumentError]) -> tuple[DocumentError, ...]:
    return tuple(
        sorted({DocumentError(p.file, p.line, p.column, p.says, p.found, p.expected, p.nearest) for p in problems})
    )


def _notes(notes: Sequence[RigNote]) -> tuple[Finding, ...]:
    """What rig and engines have to tell, as findings."""
    return tuple(
        Finding(
            rule=n.rule,
            subject=n.subject,
            severity=n.severity,
            says=n.says,
            sourced=as_mark(n.sourced),
            file=n.file or None,
            line=n.line or None,
        )
        for n in notes
    )


def _compiler_notes(rig: Rig) -> tuple[Finding, ...]:
    return tuple(
        Finding(
            rule=n.rule,
            subject=n.subject or f"line-{n.line}",
            severity="note",
            says=n.says,
            file=n.file or None,
            line=n.line or None,
        )
        for n in rig.compiled.notes
    )


def _not_worked_out(rig: Rig) -> tuple[Finding, ...]:
    return tuple(
        Finding(rule="not-worked-out", subject=subject, severity="note", says=says, file=rig.build_file)
        for subject, says in NOT_WORKED_OUT
    )
