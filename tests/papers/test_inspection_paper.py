"""The inspection form: every step once with all it says, what steps share said over them, marks where due."""

from __future__ import annotations

import pytest

from rigbook.papers.inspection_paper import AS_IT_STANDS, STARTS, done, pieces
from rigbook.shop.final_inspection import InspectionStep, inspection_of
from tests.papers.example_builds import BUILDS, assessed, desk


@pytest.mark.parametrize("build", BUILDS)
def test_nothing_that_a_step_says_is_lost(build: str) -> None:
    steps = {str(s.number): s for s in inspection_of(assessed(build), desk(build).bench, desk(build).walk)}
    looked = 0
    for piece in pieces(desk(build)):
        if piece["kind"] != "table":
            continue
        titles = [c["title"] for c in piece["columns"]]
        head = ""
        for row in piece["rows"]:
            if isinstance(row, dict):
                head = row["group"]
                continue
            step, cells = steps.pop(row[0]), dict(zip(titles, row, strict=True))
            assert cells["Step"] == step.step
            assert cells["Expected"].rstrip("*") == step.expected
            assert step.see in (cells.get("See or measure"), piece["caption"].partition(": ")[2])
            own = cells.get("Do", "")
            more = "" if own == AS_IT_STANDS else f"; {own}"
            said = f"{head}{more}" if step.group in STARTS else own or head.partition(":")[0]
            assert said.lower() == step.do.lower(), step
            assert [cells[name] for name in ("Found", "Pass", "By")] == ["", "", ""]
            looked += 1
    assert not steps
    assert looked > 30


def test_what_is_common_practice_is_marked() -> None:
    rows = [
        r for p in pieces(desk("flood-support-van")) if p["kind"] == "table" for r in p["rows"] if isinstance(r, list)
    ]
    marked = {row[1].split()[0] for row in rows if any(cell.endswith("*") for cell in row)}
    assert marked == {"Circuit", "Ground"}


@pytest.mark.parametrize(
    ("group", "do", "left"),
    [
        ("In park", "In park; press WARN", "Press WARN"),
        ("In motion", "In motion", "nothing more"),
        ("Force the output on: control", "Force the output on", ""),
        ("Look at block-rear", "Look at block-rear position 5", "Look at block-rear position 5"),
        ("Look", "Look", ""),
    ],
)
def test_what_is_done_beyond_the_group(group: str, do: str, left: str) -> None:
    assert done(InspectionStep(1, "s", group, "step", do, "see", "expected")) == left
