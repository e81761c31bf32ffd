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
from rigbook.switching.program import All, Any_, Content, DimEntry, Entry, Is, Not, Program, Variable
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
            acts = {*acts_of(before, i), *acts_of(after, i)}
            for looks in {(act.channel, act.timeline) for act in acts}:
                # whether a lamp burns by the vehicle's command or taken by a function is the same to look at
                same = [act for act in acts if (act.channel, act.timeline) == looks]
                told |= np.any([goes_on(a, act) for act in same], axis=0) != np.any(
                    [goes_on(b, act) for act in same], axis=0
                )
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


def lamp_program(*, variables: tuple[Variable, ...], when: object, content: int = 1, **more: object) -> Program:
    """One lamp and one relay-like device, both taken by one function."""
    contents = (
        *programs.program().contents[:1], programs.show("blue"),
        programs.show("blue", programs.blink(100, 300, shift_ms=50)), Content(state="off"),
        Content(state="on"),
        Content((("blue", programs.blink(100, 100)), ("white", programs.STEADY))),
    )  # fmt: skip
    functions = (programs.function("on", when, **more),)
    lamp = programs.lamp("a", "blue", "white", entries=(Entry(0, "show", content),), dims=(DimEntry(0, 0.25),))
    device = programs.device("horn", "off", "on", entries=(Entry(0, "drive", 4),), rest=3)
    return programs.program(variables=variables, functions=functions, devices=(lamp, device), contents=contents)


def test_what_devices_do_is_said_in_words() -> None:
    one = (programs.latching("one"),)
    never, always = Is(0, frozenset()), Is(0, frozenset({1}))
    nothing = lamp_program(variables=one, when=never)
    for content, said in (
        (1, "blue steady at 25 %"),
        (2, "blue 1 in 400 ms from 50 ms at 25 %"),
        (5, "blue 1 in 200 ms from 0 ms at 25 % and white steady at 25 %"),
    ):
        found = compare_programs(nothing, lamp_program(variables=one, when=always, content=content))
        (state,) = found.states
        assert (state.devices, state.before, state.after) == (("a", "horn"), "nothing", said)
        back = compare_programs(lamp_program(variables=one, when=always, content=content), nothing)
        assert (back.states[0].before, back.states[0].after) == (said, "nothing")
    horn = replace(nothing, devices=nothing.devices[1:])
    louder = lamp_program(variables=one, when=always)
    (state,) = compare_programs(horn, replace(louder, devices=louder.devices[1:])).states
    assert (state.devices, state.before, state.after) == (("horn",), "off", "on")
    assert compare_programs(horn, replace(louder, devices=louder.devices[:1])).states == ()


def test_what_only_the_later_program_has_rests_and_is_not_lost() -> None:
    shared = programs.latching("one")
    speed = programs.signal("speed", "slow", "fast", losable=True)
    moved = programs.slide("mode", "a", "b", "c")
    on = Is(0, frozenset({1}))
    before = lamp_program(variables=(shared,), when=on)
    late = Is(1, frozenset({1}))
    after = lamp_program(variables=(shared, speed), when=All((on, Not(late))), if_unknown=False)
    assert compare_programs(before, after).same
    assert compare_programs(after, before).same
    assert compare_programs(before, after).apart == compare_programs(after, before).apart == ("speed",)
    # one name, other values: both rest
    other = programs.slide("mode", "a", "b")
    a = lamp_program(variables=(shared, moved), when=Any_((on, Is(1, frozenset({2})))))
    b = lamp_program(variables=(shared, other), when=on)
    found = compare_programs(a, b)
    assert found.same
    assert found.apart == ("mode",)


def test_a_lost_signal_of_both_is_lost_in_both() -> None:
    speed = programs.signal("speed", "slow", "fast", losable=True)
    fast = Is(0, frozenset({1}))
    before = lamp_program(variables=(speed,), when=fast)
    after = lamp_program(variables=(speed,), when=fast, if_unknown=True)
    (state,) = compare_programs(before, after).states
    assert (state.witness.set, state.witness.lost) == ((), ("speed",))
    assert (state.before, state.after) == ("nothing", "blue steady at 25 %")


def test_states_that_one_program_alone_reaches() -> None:
    pair = (programs.latching("one"), programs.latching("two"))
    on = Is(0, frozenset({1}))
    free = lamp_program(variables=pair, when=on)
    bound = replace(free, exclusive=((0, 1),))
    found, back = compare_programs(free, bound), compare_programs(bound, free)
    both = (("one", "yes"), ("two", "yes"))
    assert found.only_before is not None
    assert (found.only_before.set, found.only_after, found.states) == (both, None, ())
    assert back.only_after is not None
    assert (back.only_after.set, back.only_before) == (both, None)
    assert not found.same
    assert not back.same


def test_functions_of_two_ranks_or_with_one_device_stay_apart() -> None:
    one = Is(0, frozenset({1}))
    variables = (programs.latching("one"),)
    contents = (*programs.program().contents[:1], programs.show("blue"))

    def program(rank: int, *, dims: bool = False, shared: bool = False) -> Program:
        functions = (programs.function("f", one, rank=0), programs.function("g", one, rank=rank))
        first = programs.lamp("a", "blue", entries=(Entry(0, "show", 1),), dims=(DimEntry(1, 0.5),) if dims else ())
        second = programs.lamp("b", "blue", entries=(Entry(1, "show", 1), Entry(0, "show", 1))[: 2 if shared else 1])
        return programs.program(variables=variables, functions=functions, devices=(first, second), contents=contents)

    assert mergeable(program(0)) == ((0, 1),)
    assert mergeable(program(1)) == ()
    assert mergeable(program(0, dims=True)) == ()
    assert mergeable(program(0, shared=True)) == ()
    # a function of another rank between them is in nobody's way
    three = program(0)
    between = replace(three, functions=(three.functions[0], programs.function("h", one, rank=2), three.functions[1]))
    lamps = (
        programs.lamp("a", "blue", entries=(Entry(0, "show", 1),)),
        programs.lamp("b", "blue", entries=(Entry(1, "show", 1), Entry(2, "show", 1))),
    )  # fmt: skip
    assert mergeable(replace(between, devices=lamps)) == ((0, 2),)


def test_several_variables_of_one_program_alone_all_rest() -> None:
    on = Is(0, frozenset({1}))
    alone = (programs.latching("two"), programs.latching("three"))
    before = lamp_program(variables=(programs.latching("one"),), when=on)
    after = lamp_program(
        variables=(programs.latching("one"), *alone), when=Any_((on, Is(1, frozenset({1})), Is(2, frozenset({1}))))
    )
    for found in (compare_programs(before, after), compare_programs(after, before)):
        assert found.same
        assert found.apart == ("two", "three")


def test_a_device_that_only_one_program_has_hides_no_other() -> None:
    one = (programs.latching("one"),)
    before = lamp_program(variables=one, when=Is(0, frozenset()))
    after = lamp_program(variables=one, when=Is(0, frozenset({1})))
    after = replace(after, devices=after.devices[1:])
    (state,) = compare_programs(before, after).states
    assert (state.devices, state.before, state.after) == (("horn",), "off", "on")


def test_what_stands_before_the_first_of_two_functions_keeps_them_from_nothing() -> None:
    one, two = Is(0, frozenset({1})), Is(1, frozenset({1}))
    functions = (programs.function("before", two), programs.function("first", one), programs.function("second", one))
    p = programs.program(
        variables=(programs.latching("one"), programs.latching("two")),
        functions=functions,
        contents=(*programs.program().contents[:1], programs.show("blue")),
        devices=(
            programs.lamp("a", "blue", entries=(Entry(1, "show", 1),)),
            programs.lamp("b", "blue", entries=(Entry(2, "show", 1), Entry(0, "show", 1))),
        ),
    )
    assert mergeable(p) == ((1, 2),)
