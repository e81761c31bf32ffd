from __future__ import annotations

from dataclasses import replace

from rigbook.proofs.brute import Table
from rigbook.proofs.evidence import Evidence, assemble, broken_by_rest, flat_index, lit_goals
from rigbook.proofs.witness import constraint_labels
from rigbook.switching.program import Entry, Is, Requirement
from tests.proofs.programs import DARK, Maker, function, lamp, latching, program, show

YES = frozenset({1})


def test_a_row_number_is_the_place_in_the_order_of_states() -> None:
    for seed in range(10):
        p = Maker(seed).make()
        table = Table(p, (), constrained=False)
        rows = list(zip(*(c.tolist() for c in table.columns), strict=True))
        assert rows == sorted(rows)
        assert all(flat_index(p, values) == row for row, values in enumerate(rows))


def test_what_rest_breaks_is_what_the_tables_say() -> None:
    """Every state taken as the rest state in turn: labels against the columns of constraints."""
    compared = broken = 0
    for seed in range(40):
        p = Maker(seed).make()
        table = Table(p, (), constrained=False)
        columns = table.broken_constraints()
        for row in range(0, len(table), max(1, len(table) // 12)):
            resting = replace(p, rest=tuple(int(c[row]) for c in table.columns))
            said = broken_by_rest(resting)
            assert said == tuple(label for label, c in zip(constraint_labels(p), columns, strict=True) if bool(c[row]))
            compared += 1
            broken += bool(said)
    assert compared > 400
    assert 100 < broken < compared


def test_constraints_that_rest_breaks() -> None:
    p = program(variables=(latching("a", releases_when=Is(1, YES)), latching("b")), rest=(1, 1), exclusive=((0, 1),))
    assert broken_by_rest(p) == ("exclusive a, b", "switch a releases")


def test_lamps_that_ought_to_light() -> None:
    p = program(
        functions=(function("f", Is(0, YES)),),
        contents=(DARK, show("blue")),
        devices=(
            lamp("warns", "blue", "white"), lamp("works", "white", tags=frozenset()),
            lamp("named", "amber", tags=frozenset(), entries=(Entry(0, "show", 1),)),
        ),
    )  # fmt: skip
    assert lit_goals(p) == [(0, "blue"), (0, "white"), (2, "amber")]


def test_verdicts_stand_in_file_order() -> None:
    p = program(
        variables=(latching("a"),),
        functions=(function("f", Is(0, YES)), function("g", Is(0, YES))),
        requirements=(Requirement("r", Is(0, YES), "t", 4), Requirement("s", Is(0, YES), "t", 5)),
    )
    evidence = Evidence("brute", count=2, rest_reachable=True, on={1, 0}, works={1})
    evidence.found = {("require", 1): ((1,), ()), ("lost", 1): ((1,), ())}
    evidence.leaning = {0: ("x",)}
    v = assemble(p, evidence)
    assert [(f.name, f.reachable, f.effective) for f in v.functions] == [("f", True, False), ("g", True, True)]
    assert [(r.name, r.holds, r.leans_on) for r in v.requirements] == [("r", True, ("x",)), ("s", False, ())]
    assert v.dead_positions is None
    assert v.always_overridden == ("f",)
