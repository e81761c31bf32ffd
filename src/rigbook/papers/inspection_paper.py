"""The final inspection form: a table for each section, what its steps share said once over them."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby

from rigbook.papers.chapter import Desk
from rigbook.papers.pieces import Piece, caution, column, group, heading, paragraph, sign, small, table
from rigbook.shop.final_inspection import WALK, InspectionStep, inspection_of
from rigbook.shop.walk_form import WalkForm

STARTS = ("In park", "In motion")
AS_IT_STANDS = "nothing more"


def pieces(desk: Desk) -> list[Piece]:
    """The chapter: every step with room for what was found."""
    steps = inspection_of(desk.assessment, desk.bench, desk.walk)
    if not steps:
        return [heading("Final inspection"), paragraph("There is nothing to inspect.")]
    start = "; ".join(f"{name}: {words}" for name, words in desk.bench.start_words.items())
    found = [
        heading("Final inspection"),
        caution(
            "Flashing light can set off seizures in photosensitive people; say so before you begin. Wear hearing protection for the siren. Steps in motion need a closed place, a driver and somebody who watches, or the vehicle on stands with a simulated signal."
        ),
        paragraph(
            f"Standing starts: {start}; everything else at rest. Go back to the standing start after every step. Currents: force one output on by the programming tool, or run what the circuit feeds at its most with a clamp meter round the wire."
        ),
    ]
    for name, own in groupby(steps, key=lambda step: step.section):
        found += [_walk_words(desk.walk)] if name == WALK and desk.walk is not None else []
        found.append(_section(name, list(own)))
    return [
        *found,
        small(
            "* Currents are name-plate sums, tolerance a tenth and at least 0.1 A; ground resistance at most 5 milliohm: common practice, no source. What must be seen was worked out from the program."
        ),
        sign("Inspected by: name, date", "Released by: name, date"),
    ]


def _walk_words(walk: WalkForm) -> Piece:
    """What the walk shows, how short it is, and what that spares."""
    shown = ", ".join(f"{count} {kind}" for kind, count in walk.shown.items())
    many, alone = len(walk.moves), walk.one_by_one_moves
    more = walk.walk.gap
    gap = f"it may be {more} move{'s' * (more > 1)} longer than the shortest" if more else "it is the shortest"
    missing = f" No moves were found to: {'; '.join(walk.open)}." if walk.open else ""
    spared = f", {walk.spared_share * 100:.0f} % fewer" if walk.spared_share > 0 else ""
    return paragraph(
        f"The walk shows {shown}, each at least once, in {many} moves{spared} than the {alone} that trying {walk.one_by_one} functions one by one "
        f"takes, back to the standing start each time. No walk that shows them has fewer than {walk.bound} moves: {gap}. Where a move does not show what is "
        f"expected, note it and go on as the form says; a signal that cannot be worked is simulated at its source.{missing}"
    )


def _section(name: str, steps: list[InspectionStep]) -> Piece:
    """A section as a table. Where every step does what its group says, the column for that is left out; what is to be
    seen or measured stands in the caption where it is the same throughout."""
    groups = [(shared, list(own)) for shared, own in groupby(steps, key=lambda step: step.group)]
    single = {shared for shared, own in groups if len(own) == 1 and shared not in STARTS}
    doing = bool(single) or any(done(step) for step in steps)
    seeing = len({step.see for step in steps}) > 1 or len(steps) == 1
    rows: list[Sequence[str] | dict[str, str]] = []
    for shared, own in groups:
        alone = shared in single
        if not alone:
            rows.append(group(shared))
        for step in own:
            cells = [str(step.number), step.step]
            if doing:
                cells.append(step.do if alone else done(step))
            if seeing:
                cells.append(step.see)
            rows.append([*cells, _marked(step), "", "", ""])
    columns = [column("No.", number=True), column("Step", share=0.8)]
    if doing:
        columns.append(column("Do", share=1))
    if seeing:
        columns.append(column("See or measure", share=0.8))
    columns += [
        column("Expected", share=1), column("Found", least_mm=26), column("Pass", least_mm=11), column("By", least_mm=13),
    ]  # fmt: skip
    return table(caption=name if seeing else f"{name}: {steps[0].see}", columns=columns, rows=rows, size=7.5, form=True)


def done(step: InspectionStep) -> str:
    """What a step does beyond what its group says; empty where that is all."""
    if step.group in STARTS:
        rest = step.do.partition("; ")[2]
        return rest[:1].upper() + rest[1:] or AS_IT_STANDS
    if step.do == step.group or step.group.startswith(f"{step.do}: "):
        return ""
    return step.do


def _marked(step: InspectionStep) -> str:
    """What is expected, with a mark where the tolerance is common practice."""
    practice = step.step.startswith(("Circuit ", "Ground "))
    return f"{step.expected}*" if practice else step.expected
