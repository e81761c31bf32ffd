"""The final inspection form."""

from __future__ import annotations

from collections.abc import Sequence

from rigbook.papers.chapter import Desk
from rigbook.papers.pieces import Piece, caution, column, group, heading, paragraph, sign, small, table
from rigbook.shop.final_inspection import inspection_of


def pieces(desk: Desk) -> list[Piece]:
    """The chapter: every step with room for what was found."""
    steps = inspection_of(desk.assessment, desk.bench)
    if not steps:
        return [heading("Final inspection"), paragraph("There is nothing to inspect.")]
    rows: list[Sequence[str] | dict[str, str]] = []
    last = ""
    for s in steps:
        if s.section != last:
            last = s.section
            rows.append(group(last))
        rows.append([str(s.number), s.step, s.do, s.see, s.expected, "", "", ""])
    columns = [
        column("No.", number=True), column("Step", share=0.8), column("Do", share=1), column("See or measure", share=0.8), column("Expected", share=1),
        column("Found", least_mm=26), column("Pass", least_mm=11), column("By", least_mm=13),
    ]  # fmt: skip
    start = "; ".join(f"{name}: {words}" for name, words in desk.bench.start_words.items())
    return [
        heading("Final inspection"),
        caution(
            "Flashing light can set off seizures in photosensitive people; say so before you begin. Wear hearing protection for the siren. Steps in motion need a closed place, a driver and somebody who watches, or the vehicle on stands with a simulated signal."
        ),
        paragraph(
            f"Standing starts: {start}; everything else at rest. Go back to the standing start after every step. Currents: force one output on by the programming tool, or run what the circuit feeds at its most with a clamp meter round the wire."
        ),
        table(caption="Steps", columns=columns, rows=rows, size=7.5, form=True),
        small(
            "Currents are name-plate sums, tolerance a tenth and at least 0.1 A; ground resistance at most 5 milliohm: common practice, no source. What must be seen was worked out from the program."
        ),
        sign("Inspected by: name, date", "Released by: name, date"),
    ]
