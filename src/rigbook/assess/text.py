"""An assessment as lines of text. Formatters: they lay out what the records hold and work nothing out."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Iterator, Sequence

from rigbook.assess.assessment import Assessment
from rigbook.assess.explain import Explanation
from rigbook.documents.errors import DocumentError
from rigbook.quantities.show import format_in, format_money, format_number, format_quantity
from rigbook.quantities.working import working_lines
from rigbook.rules.findings import Finding

WIDTH = 110
CAUTION = (
    "Figures meet or miss the limits of the named rules as entered. Check local law, the current edition of each "
    "standard and licensed practice before the vehicle is used."
)
ASIDE = "not-worked-out"


def error_lines(errors: Iterable[DocumentError], root: str = "") -> list[str]:
    """Errors as `file:line:column: what is wrong`, with what was expected where the sentence does not say it."""
    lines = []
    for error in errors:
        where = error.file if error.file.startswith("packs:") else f"{root}{error.file}"
        lines.append(f"{where}:{error.line}:{error.column}: {error.says}")
        if error.expected and error.expected not in error.says:
            lines.append(f"    expected: {error.expected}")
    return lines


def finding_lines(finding: Finding) -> list[str]:
    """A finding as its id, its sentence, and where it is from."""
    lines = [f"{finding.severity:<8} {finding.id}"]
    lines += textwrap.wrap(finding.says, WIDTH - 9, initial_indent=" " * 9, subsequent_indent=" " * 9)
    where = f"{finding.file}:{finding.line}" if finding.file and finding.line else finding.file
    origin = ", ".join(p for p in (finding.source, _mark(finding)) if p)
    behind = "  ".join(p for p in (where, f"[{origin}]" if origin else "") if p)
    if behind:
        lines.append(" " * 9 + behind)
    if finding.witness is not None and finding.witness.steps:
        lines += textwrap.wrap(
            f"steps: {', '.join(finding.witness.steps)}", WIDTH - 9, initial_indent=" " * 9, subsequent_indent=" " * 11
        )
    return lines


def _mark(finding: Finding) -> str:
    return finding.sourced if finding.sourced in ("common practice", "memory") else ""


def check_lines(assessment: Assessment, *, worked_in_s: float | None = None) -> list[str]:
    """What `check` prints of one build: verdict, findings, key figures, caution."""
    rig = assessment.worked
    counts = {s: sum(f.severity == s for f in assessment.findings) for s in ("fail", "caution", "note")}
    lines = [
        f"{rig.build.build.title} ({rig.build.build.id}) on {rig.vehicle.title}",
        f"verdict: {assessment.verdict}: {counts['fail']} fail, {counts['caution']} caution, {counts['note']} note",
        "",
    ]
    for finding in assessment.findings:
        if finding.rule != ASIDE:
            lines += finding_lines(finding)
    asides = [f.subject for f in assessment.findings if f.rule == ASIDE]
    if asides:
        lines.append(f"note     not worked out by this edition: {', '.join(asides)}")
    lines += ["", *figure_lines(assessment), ""]
    if worked_in_s is not None:
        lines.append(f"worked out in {format_number(worked_in_s, 3)} s")
    return lines + textwrap.wrap(CAUTION, WIDTH)


def figure_lines(assessment: Assessment) -> list[str]:
    """The key figures with their ids, for `explain`."""
    rows = list(_key_figures(assessment))
    width = max((len(text) for text, _, _ in rows), default=0)
    return [f"{text:<{width}}  {value:>12}  {figure}".rstrip() for text, value, figure in rows]


def _key_figures(assessment: Assessment) -> Iterator[tuple[str, str, str]]:
    units = assessment.worked.shop.units
    verdicts = assessment.verdicts
    if verdicts is not None and verdicts.reachable_states is not None:
        yield "reachable states", str(verdicts.reachable_states), "switching.reachable_states"
    if verdicts is not None and verdicts.requirements is not None:
        holding = sum(r.holds for r in verdicts.requirements)
        yield "requirements that hold", f"{holding} of {len(verdicts.requirements)}", "switching.requirements"
    power = assessment.power
    if power is not None:
        for text, key in (("name-plate sum", "nameplate_a"), ("worst average", "worst_average_a"),
                          ("worst peak", "worst_peak_a")):  # fmt: skip
            yield text, _amperes(getattr(power.whole, key)), f"power.whole.{key}"
        if power.saved is not None:
            own = power.saved
            sizes = f"{own.fuse_sizes} sizes of fuses, {own.wire_sizes} of wires, {own.modules} modules"
            yield f"spared by it ({sizes})", _amperes(own.spared_a), "power.saved.spared_a"
        yield "hot output at idle", _amperes(power.supply.idle_output_a), "power.supply.idle_output_a"
        for state in power.supply.states:
            yield f"margin, {state.id}", _amperes(state.margin_a), f"power.supply.states[{state.id}].margin_a"
    body = assessment.body
    if body is not None:
        for axle in body.axles:
            yield (
                f"{axle.id} axle, margin",
                format_quantity(axle.margin_kg, "mass", units),
                f"body.axles[{axle.id}].margin_kg",
            )
        yield (
            "payload remaining",
            format_quantity(body.payload_remaining_kg, "mass", units),
            "body.payload_remaining_kg",
        )
    if assessment.money is not None:
        money = assessment.money
        yield "labour", f"{format_number(money.labour_h)} h", "money.labour_h"
        yield "total", format_money(round(100 * money.total), money.currency), "money.total"


def _amperes(value: float | None) -> str:
    return "not worked out" if value is None else format_in(value, "current", "A")


def explanation_lines(explanation: Explanation) -> list[str]:
    """A finding and its hand calculation as text."""
    lines: list[str] = []
    if explanation.finding is not None:
        lines += finding_lines(explanation.finding)
        witness = explanation.finding.witness
        if witness is not None:
            lines += _witness_lines(witness.set, witness.lost, witness.steps, witness.assumed)
    if explanation.working is not None:
        lines += ([""] if lines else []) + working_lines(explanation.working)
        mark = explanation.working.least_sure
        if mark in ("common practice", "memory"):
            lines.append(f"depends on a value marked: {mark}")
    return lines


def _witness_lines(
    settings: Sequence[tuple[str, str]], lost: Sequence[str], steps: Sequence[str] | None, assumed: Sequence[str]
) -> list[str]:
    lines = ["         the state that shows it:"]
    lines += [f"           {name} = {value}" for name, value in settings] or ["           everything at rest"]
    lines += [f"           {name} lost" for name in lost]
    if steps is None:
        lines.append("           allowed by the assumptions, no press sequence found")
    elif steps:
        lines.append(f"           reached by: {', '.join(steps)}")
    lines += [f"           leans on: {text}" for text in assumed]
    return lines
