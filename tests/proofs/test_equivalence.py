"""What acts alike, against every state; two programs compared, against every state of both."""

from __future__ import annotations

import random
from collections import Counter
from dataclasses import replace

import numpy as np
import pytest

from rigbook.proofs.acts import acts_of
from rigbook.proofs.brute import Table
from rigbook.proofs.enumeration import smallest
from rigbook.proofs.equivalence import Unit, alike, compare_programs, mergeable
from rigbook.proofs.reading import lost_sets
from rigbook.proofs.witness import witness_of
from rigbook.proofs.worst_brute import goes_on
from rigbook.switching.program import All, Entry, Is, Not, Program, Variable
from tests.proofs import programs
from tests.switching import generator


def units(program: Program) -> list[Unit]:
    return [(i, channel) for i, device in enumerate(program.devices) for channel in (*device.colours, *device.states)]


def columns(table: Table, unit: Unit) -> dict[object, bytes]:
    """By timeline, where the unit goes on; without what it never does."""
    found = {}
    for act in acts_of(table.program, unit[0]):
        if act.channel == unit[1]:
            known = found.get(act.timeline, np.zeros(len(table), dtype=bool))
            found[act.timeline] = known | goes_on(table, act)
    return {timeline: where.tobytes() for timeline, where in found.items() if where.any()}


def made(seed: int) -> Program:
    return generator.generate(seed).program if seed % 2 else programs.Maker(seed).make()


def check_alike(seed: int, reached: Counter[str]) -> None:
    program = made(seed)
    every = units(program)
    tables = [Table(program, lost) for lost in lost_sets(program)]
    known: dict[tuple[object, ...], list[Unit]] = {}
    for unit in every:
        key = tuple(tuple(sorted(columns(t, unit).items(), key=repr)) for t in tables)
        if any(key):
            known.setdefault(key, []).append(unit)
    expected = {tuple(group) for group in known.values() if len(group) > 1}
    found = alike(program, every)
    assert set(found) == expected, seed
    reached["alike"] += bool(found)
    reached["none alike"] += not found
    together = mergeable(program)
    for group in together:
        first, *others = group
        assert all(program.functions[f].rank == program.functions[first].rank for f in group)
        for table in tables:
            assert all((table.active(f) == table.active(first)).all() for f in others)
    reached["mergeable"] += bool(together)


def test_what_acts_alike_agrees_with_every_state() -> None:
    reached: Counter[str] = Counter()
    for seed in range(60):
        check_alike(seed, reached)
    assert set(reached) == {"alike", "none alike", "mergeable"}
    assert min(reached["alike"], reached["none alike"]) > 3


@pytest.mark.long
def test_what_acts_alike_agrees_with_every_state_of_many_programs() -> None:
    reached: Counter[str] = Counter()
    for seed in range(1_000, 2_500):
        check_alike(seed, reached)
    assert reached["mergeable"] > 10


def varied(rng: random.Random, program: Program) -> Program:
    """The program with one thing changed, over the same variables."""
    what = rng.choice(("when", "unknown", "impossible", "list", "nothing"))
    functions = list(program.functions)
    f = rng.randrange(len(functions))
    if what == "when":
        functions[f] = replace(functions[f], when=Not(functions[f].when))
    elif what == "unknown":
        functions[f] = replace(functions[f], if_unknown=not functions[f].if_unknown)
    elif what == "impossible":
        i = rng.randrange(len(program.variables))
        never = Is(i, frozenset({len(program.variables[i].values) - 1}))
        return replace(program, impossible=(*program.impossible, (never, "b", 1)))
    elif what == "list":
        devices = [replace(d, entries=tuple(reversed(d.entries))) for d in program.devices]
        return replace(program, devices=tuple(devices))
    return replace(program, functions=tuple(functions))


def check_compared(seed: int, reached: Counter[str]) -> None:
    rng = random.Random(seed)
    before = made(seed)
    after = varied(rng, before)
    found = compare_programs(before, after)
    first: dict[str, object] = {}
    only_before = None
    for lost in lost_sets(before):
        # All states of both, so that rows stand for the same states; then those that both reach.
        a, b = Table(before, lost, constrained=False), Table(after, lost, constrained=False)
        reach_a = ~np.any([np.zeros(len(a), dtype=bool), *a.broken_constraints()], axis=0)
        reach_b = ~np.any([np.zeros(len(b), dtype=bool), *b.broken_constraints()], axis=0)
        alone = smallest(a, reach_a & ~reach_b)
        if alone is not None and (only_before is None or alone[0] < only_before[0]):
            only_before = alone
        for i, device in enumerate(before.devices):
            told = np.zeros(len(a), dtype=bool)
            for act in {*acts_of(before, i), *acts_of(after, i)}:
                told |= goes_on(a, act) != goes_on(b, act)
            state = smallest(a, told & reach_a & reach_b)
            if state is not None and (device.id not in first or state[0] < first[device.id][0]):
                first[device.id] = state
    expected = {name: witness_of(before, *state[1:]) for name, state in first.items()}
    assert {name: d.witness for d in found.states for name in d.devices} == expected, seed
    assert found.only_before == (None if only_before is None else witness_of(before, *only_before[1:])), seed
    assert found.apart == ()
    reached["states differ"] += bool(expected)
    reached["only before"] += only_before is not None
    reached["same"] += found.same
    reached["lost signals"] += any(witness.lost for witness in expected.values())


def test_compared_programs_agree_with_every_state() -> None:
    reached: Counter[str] = Counter()
    for seed in range(60):
        check_compared(seed, reached)
    assert min(reached[k] for k in ("states differ", "only before", "same", "lost signals")) > 0, reached


@pytest.mark.long
def test_many_compared_programs_agree_with_every_state() -> None:
    reached: Counter[str] = Counter()
    for seed in range(1_000, 2_500):
        check_compared(seed, reached)
    assert min(reached[k] for k in ("states differ", "only before", "same", "lost signals")) > 20, reached


def small(*entries: Entry, functions: tuple, variables: tuple[Variable, ...]) -> Program:
    contents = programs.program().contents
    lamp = programs.lamp("a", "blue", entries=entries)
    return programs.program(
        variables=variables, functions=functions, devices=(lamp,),
        contents=(*contents[:1], programs.show("blue"), programs.show("blue", programs.blink(100, 100))),
    )  # fmt: skip


def test_a_switch_that_only_one_program_has_is_taken_at_rest() -> None:
    on = programs.function("on", Is(0, frozenset({1})))
    more = programs.function("more", Is(1, frozenset({1})))
    before = small(Entry(0, "show", 1), functions=(on,), variables=(programs.latching("one"),))
    after = small(
        Entry(1, "show", 2), Entry(0, "show", 1), functions=(on, more),
        variables=(programs.latching("one"), programs.latching("two")),
    )  # fmt: skip
    found = compare_programs(before, after)
    assert found.same
    assert found.apart == ("two",)
    changed = small(Entry(0, "show", 2), functions=(on,), variables=(programs.latching("one"),))
    told = compare_programs(before, changed)
    assert [(d.devices, d.witness.set, d.before, d.after) for d in told.states] == [
        (("a",), (("one", "yes"),), "blue steady", "blue 1 in 200 ms from 0 ms")
    ]


def test_functions_of_one_condition_can_be_one_unless_something_stands_between() -> None:
    one, two = Is(0, frozenset({1})), Is(1, frozenset({1}))
    variables = (programs.latching("one"), programs.latching("two"))

    def program(between: bool) -> Program:
        functions = (
            programs.function("first", one), programs.function("between", two),
            programs.function("second", All((one, one))),
        )  # fmt: skip
        entries = (Entry(2, "show", 1), Entry(1, "show", 1)) if between else (Entry(2, "show", 1),)
        lamps = (
            programs.lamp("a", "blue", entries=(Entry(0, "show", 1),)),
            programs.lamp("b", "blue", entries=entries),
        )
        contents = (*programs.program().contents[:1], programs.show("blue"))
        return programs.program(variables=variables, functions=functions, devices=lamps, contents=contents)

    assert mergeable(program(between=False)) == ((0, 2),)
    assert mergeable(program(between=True)) == ()
    assert alike(program(between=False), [(0, "blue"), (1, "blue")]) == (((0, "blue"), (1, "blue")),)
    assert alike(program(between=True), [(0, "blue"), (1, "blue")]) == ()
