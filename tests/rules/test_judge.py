"""The judge: rows against readings, errors of packs, and a rule that crashes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

import pytest

from rigbook.documents.schema.shop import RulesDocument
from rigbook.documents.text import read_tree
from rigbook.documents.validate import validate
from rigbook.rules.findings import Finding
from rigbook.rules.judge import Pack, check_packs, judge, keeps
from rigbook.rules.measures import Measure, Reading, Results, registry, registry_of

ROW = """rigbook: 1
pack: {id: mine, title: Mine}
rules:
  - id: hot-wire
    measure: load
    per: circuit
    limit: {at_most: 10 A}
    severity: fail
    sourced: common practice
    says: "{subject} carries {value} on {wire}, {limit} is the most."
    remedy: Mend it.
"""


def pack(text: str) -> Pack:
    tree = read_tree(text.encode(), "rules/mine.yaml")
    assert not tree.errors
    document, errors = validate(RulesDocument, tree.tree, "rules/mine.yaml")
    assert document is not None, errors
    return Pack("mine", "rules/mine.yaml", tuple(document.rules))


def reading(value: float, **more: Any) -> Reading:
    return Reading(
        subject=more.pop("subject", "control.1"), value=value, file="builds/x.yaml", line=7, words={"wire": "18 AWG"},
        **more,
    )  # fmt: skip


def measures(*readings: Reading) -> dict[str, Measure]:
    def load(results: Results) -> Iterator[Reading]:
        """Unit: A. Formula: a test's. Source: none."""
        yield from readings

    return dict(
        registry_of(
            [
                Measure(
                    name="load", per="circuit", unit="A", take=load, limits=("rating",), words=("wire",),
                    facts={"hot": None},
                )
            ]
        )
    )  # fmt: skip


def judged(text: str, *readings: Reading) -> Sequence[Finding]:
    known = measures(*readings)
    packs = [pack(text)]
    assert check_packs(packs, known) == ()
    return judge(packs, Results(rig=None), known, "us")  # type: ignore[arg-type]


def test_a_breach_is_a_finding_with_its_figures() -> None:
    (found,) = judged(ROW, reading(12.5), reading(9.0, subject="control.2"))
    assert found.id == "hot-wire@control.1"
    assert found.says == "control.1 carries 12.5 A on 18 AWG, 10 A is the most. Mend it."
    assert (found.value, found.limit, found.unit) == (12.5, 10.0, "A")
    assert (found.file, found.line) == ("builds/x.yaml", 7)


def test_the_limit_itself_is_kept() -> None:
    assert judged(ROW, reading(10.0), reading(10.0 * (1 + 1e-12))) == ()


def test_at_least_turns_the_comparison() -> None:
    text = ROW.replace("at_most", "at_least")
    assert [f.value for f in judged(text, reading(12.5), reading(9.0))] == [9.0]


def test_the_subjects_own_limit() -> None:
    text = ROW.replace("10 A", "rating")
    (found,) = judged(text, reading(12.5, limits={"rating": 12.0}), reading(12.5, subject="control.2"))
    assert found.limit == 12.0, "a subject without that limit is not judged"


def test_when_narrows() -> None:
    text = ROW + "    when: hot\n"
    found = judged(text, reading(12.5, facts={"hot": True}), reading(12.5, subject="control.2", facts={"hot": False}))
    assert [f.subject for f in found] == ["control.1"]


def test_a_rule_that_crashes_is_one_finding_and_the_others_run() -> None:
    def broken(results: Results) -> Iterator[Reading]:
        """Unit: A. Formula: none. Source: none."""
        raise ZeroDivisionError("division by zero")
        yield reading(1.0)

    known = {
        **measures(reading(12.5)),
        "broken": Measure(name="broken", per="circuit", unit="A", take=broken, words=("wire",)),
    }
    text = ROW + ROW.split("rules:\n")[1].replace("hot-wire", "other").replace("measure: load", "measure: broken")
    packs = [pack(text)]
    assert check_packs(packs, known) == ()
    first, second = judge(packs, Results(rig=None), known, "us")  # type: ignore[arg-type]
    assert first.id == "hot-wire@control.1"
    assert second.id == "other@rigbook"
    assert second.own_fault
    assert "a fault of our own (ZeroDivisionError: division by zero)" in second.says
    assert (second.file, second.line) == ("rules/mine.yaml", 12)


def test_a_reading_that_is_not_a_number_is_our_own_fault_too() -> None:
    (found,) = judged(ROW, reading(float("nan")))
    assert found.own_fault


@pytest.mark.parametrize(
    ("change", "line", "says"),
    [
        (("measure: load", "measure: laod"), 5, "there is no measure laod; the nearest is load"),
        (("per: circuit", "per: feed"), 6, "load is measured per circuit"),
        (("at_most: 10 A", "at_most: 10"), 7, "10 has no unit"),
        (("at_most: 10 A", "at_most: 10 V"), 7, "V"),
        (("at_most: 10 A", "at_most: ratign"), 7, "ratign"),
        (("on {wire}", "on {wires}"), 10, "{wires} is no blank of load"),
        (("on {wire}", "on {wire"), 10, "cannot be read"),
        (("    remedy: Mend it.\n", "    remedy: Mend it.\n    when: cold\n"), 12, "no fact cold"),
    ],
)
def test_errors_of_a_row_stand_at_their_place(change: tuple[str, str], line: int, says: str) -> None:
    text = ROW.replace(*change)
    assert text != ROW
    (problem,) = check_packs([pack(text)], measures())
    assert problem.file == "rules/mine.yaml"
    assert problem.line == line
    assert says in problem.says


def test_the_nearest_own_limit_is_named() -> None:
    (problem,) = check_packs([pack(ROW.replace("10 A", "ratign"))], measures())
    assert problem.nearest == "rating"
    assert "rating" in problem.expected


def test_not_a_number_keeps_nothing() -> None:
    with pytest.raises(ValueError, match="not a number"):
        keeps(value=float("nan"), limit=1.0, how="at_most")


def test_packs_that_ship_and_the_example_shops_pack_have_no_errors() -> None:
    from rigbook.documents.loader import load_shop

    root = Path(__file__).parents[2] / "src" / "rigbook" / "data" / "example_shop"
    loaded = load_shop(root)
    packs = [Pack(i, d.pack.where.file, tuple(d.rules)) for i, d in loaded.packs.items()]
    assert {"wiring", "altered-vehicle", "larkmoor-local"} <= {p.id for p in packs}
    assert check_packs(packs, registry()) == ()
    assert sum(len(p.rows) for p in packs) >= 25


def test_sources_of_shipped_rows_stand_in_the_bibliography_with_the_same_mark() -> None:
    from rigbook.documents.loader import load_shop
    from rigbook.quantities.tables import bibliography

    root = Path(__file__).parents[2] / "src" / "rigbook" / "data" / "example_shop"
    looked = 0
    for document in load_shop(root).packs.values():
        if not document.pack.where.file.startswith("packs:"):
            continue
        for row in document.rules:
            assert row.source in bibliography(), row.id
            assert row.sourced == bibliography()[row.source].mark, row.id
            looked += 1
    assert looked >= 20
