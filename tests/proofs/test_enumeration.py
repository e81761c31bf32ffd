"""Plain enumeration on programs that came through the real compiler, against the solver and state by state."""

from __future__ import annotations

from collections import Counter
from dataclasses import fields

import pytest

from rigbook.proofs.brute import Table
from rigbook.proofs.enumeration import Search, effective, enumerate_verdicts, smallest
from rigbook.proofs.reading import lost_sets
from rigbook.proofs.verdicts import Effort, Verdicts, prove
from rigbook.proofs.witness import order_key
from rigbook.switching.evaluate import Evaluator
from rigbook.switching.program import Any_, Is, Requirement
from tests.proofs.programs import Maker, latching, program, signal
from tests.switching.generator import CONSTRUCTS, generate

YES = frozenset({1})


def agree(seeds: range) -> None:
    met: Counter[str] = Counter()
    for seed in seeds:
        made = generate(seed)
        both = [prove(made.program, effort=Effort(engine=e, press_events=0)) for e in ("brute", "symbolic")]
        for name in (f.name for f in fields(Verdicts) if f.name != "engine"):
            assert getattr(both[0], name) == getattr(both[1], name), (seed, name)
        met.update(made.constructs)
    missing = set(CONSTRUCTS) - set(met)
    print(f"{len(seeds)} compiled programs; least met: {met.most_common()[-8:]}")
    assert not missing


def test_compiled_programs_agree() -> None:
    agree(range(100))


@pytest.mark.long
def test_compiled_programs_agree_five_thousand_times() -> None:
    agree(range(1000, 6000))


def test_smallest_is_the_least_by_the_order_itself() -> None:
    """numpy's sort against the key, over all states of all tables."""
    checked = 0
    for seed in range(25):
        p = Maker(seed).make()
        for never in (r.never for r in p.requirements):
            search = Search()
            everything = []
            for lost in lost_sets(p):
                table = Table(p, lost)
                where = table.truly(never)
                search.offer(("require", 0), table, where)
                rows = zip(*(c[where].tolist() for c in table.columns), strict=True)
                everything += [order_key(p, values, lost) for values in rows]
            found = search.found.get(("require", 0))
            assert (found[0] if found else None) == min(everything, default=None)
            checked += len(everything)
    assert checked > 5000


def test_effective_by_the_evaluator() -> None:
    """A function decides a device, by the evaluator's own account, wherever it is called effective; and dims likewise."""
    effects = 0
    for seed in range(30):
        p = Maker(seed).make()
        evaluator = Evaluator(p)
        table = Table(p, (), constrained=False)
        columns = {f: effective(table, f) for f in range(len(p.functions))}
        for row in range(0, len(table), max(1, len(table) // 40)):
            outcome = evaluator.outcome(tuple(int(c[row]) for c in table.columns))
            for f, where in columns.items():
                lit = {i for i in range(len(p.devices)) if outcome.lit[i]}
                decides = {i for i, g in enumerate(outcome.deciding) if g == f}
                dims = {i for i, g in enumerate(outcome.dimmed_by) if g == f} & lit
                shows = decides & lit
                if where[row]:
                    assert decides or dims
                    effects += 1
                if shows or dims:
                    assert where[row]
    assert effects > 300


def test_smallest_of_nothing_is_none() -> None:
    table = Table(program(variables=(latching("a"),)), ())
    assert smallest(table, table.flat < 0) is None


def test_lost_signals_are_only_looked_at_where_needed() -> None:
    p = program(
        variables=(latching("a"), signal("g", losable=True)),
        requirements=(Requirement("r", Any_((Is(0, YES), Is(1, YES))), "t", 1),),
    )
    evidence = enumerate_verdicts(p, Effort())
    assert evidence.found["require", 0] == ((0, 1), ())
