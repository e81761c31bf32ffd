"""Shorter lists do the same: against every state of small programs; and a list that does not is found out."""

from __future__ import annotations

from itertools import combinations, product

from rigbook.proofs.minimise import Line, atoms, difference, lines_of, minimal, simple
from rigbook.proofs.reading import losable
from rigbook.proofs.symbolic import Solver
from rigbook.switching.logic import Closures
from rigbook.switching.program import All, Any_, Constant, Is, Not, Program
from rigbook.switching.states import Constraints
from tests.proofs.programs import Maker, function, latching, program, signal, slide


def done(
    closures: Closures, lines: tuple[Line, ...], rest: object, state: tuple[int, ...], lost: frozenset[int]
) -> object:
    for line in lines:
        value = closures.three(line.when)(state, lost)
        if value or (value is None and line.if_unknown):
            return line.does
    return rest


def states(made: Program) -> list[tuple[tuple[int, ...], frozenset[int]]]:
    constraints = Constraints(made)
    names = losable(made)
    lost = [frozenset(c) for n in range(len(names) + 1) for c in combinations(names, n)]
    values = product(*(range(len(v.values)) for v in made.variables))
    return [(state, gone) for state in values for gone in lost if constraints.holds(state, gone)]


def test_shorter_lists_do_the_same_in_every_state() -> None:
    looked = fewer = shorter = unknown = 0
    for seed in range(120):
        made = Maker(seed).make()
        reached = states(made)
        if len(reached) > 1_500:
            continue
        solver, closures = Solver(made), Closures(made)
        for device in made.devices:
            entries = [(e.function, "rest" if e.kind == "cut" else f"content {e.content % 3}") for e in device.entries]
            lines = lines_of(made, entries)
            short = minimal(solver, lines, "rest")
            fewer += len(lines) - len(short)
            shorter += sum(atoms(x.when) for x in lines) - sum(atoms(x.when) for x in short)
            unknown += sum(x.if_unknown for x in short)
            for state, lost in reached:
                assert done(closures, lines, "rest", state, lost) == done(closures, short, "rest", state, lost), seed
                looked += 1
        solver.close()
    assert looked > 50_000 and fewer > 60 and shorter > 100 and unknown > 5, (looked, fewer, shorter, unknown)


def by_hand() -> Program:
    """WARN with three positions; SCENE, let go in drive; gear, which may be lost."""
    drive = Is(2, frozenset({1}))
    return program(
        variables=(slide("warn", "off", "on", "full"), latching("scene", releases_when=drive), signal("gear", "park", "drive", losable=True)),
        functions=(
            function("Low", Is(0, frozenset({1}))), function("High", Is(0, frozenset({2}))),
            function("Scene", All((Is(1, frozenset({1})), Is(2, frozenset({0}))))),
            function("Never", All((Is(0, frozenset({1})), Is(0, frozenset({2}))))),
        ),
    )  # fmt: skip


def test_a_list_by_hand() -> None:
    solver = Solver(by_hand())
    lines = lines_of(solver.program, [(3, "c"), (1, "a"), (0, "a")])
    short = minimal(solver, lines, "rest")
    assert short == (Line(Is(0, frozenset({1, 2})), "a", False, (1, 0)),)
    # the switch lets go in drive, but not where the gear is lost: the gear must stay
    scene = minimal(solver, lines_of(solver.program, [(2, "s")]), "rest")
    assert scene[0].when == All((Is(1, frozenset({1})), Is(2, frozenset({0}))))


def test_a_list_that_does_something_else_is_found_out() -> None:
    solver = Solver(by_hand())
    lines = lines_of(solver.program, [(1, "a"), (0, "b")])
    wrong = (Line(Is(0, frozenset({2})), "a", False, (1,)),)
    assert difference(solver, lines, wrong, "rest") == ((1, 0, 0), ())
    assert difference(solver, lines, lines, "rest") is None
    careless = (Line(Is(1, frozenset({1})), "s", False, (2,)),)
    assert difference(solver, lines_of(solver.program, [(2, "s")]), careless, "rest") == ((0, 1, 0), (2,))


def test_plainer_forms() -> None:
    a, b, c = Is(0, frozenset({1})), Is(1, frozenset({1})), Is(2, frozenset({1}))
    assert simple(Any_((All((a, b)), All((a, c))))) == All((a, Any_((b, c))))
    assert simple(Any_((a, All((a, b))))) == a
    assert simple(Not(Not(a))) == a and simple(Not(Constant(True))) == Constant(False)
    assert simple(All(())) == Constant(True) and simple(Any_(())) == Constant(False)
    assert simple(Any_((Is(0, frozenset({1})), Is(0, frozenset({2}))))) == Is(0, frozenset({1, 2}))
    assert simple(All((a, Constant(False)))) == Constant(False) and simple(Any_((a, Constant(True)))) == Constant(True)
    assert atoms(simple(All((a, All((b, Not(c))))))) == 3
