"""Every literal of the formula, state by state, against the columns of plain enumeration."""

from __future__ import annotations

import random
from collections import Counter
from importlib import import_module

from rigbook.proofs.brute import Table
from rigbook.proofs.constraints import broken
from rigbook.proofs.encoding import Encoding
from rigbook.proofs.enumeration import effective, two_colours
from rigbook.proofs.gates import FALSE, Gates
from rigbook.proofs.reading import lost_sets
from rigbook.proofs.witness import ZONES
from tests.proofs.programs import Maker


def literals(table: Table, encoding: Encoding) -> dict[tuple, tuple[int, object]]:
    """Each literal beside the column that it must equal."""
    p = table.program
    pairs: dict[tuple, tuple[int, object]] = {}
    effects = encoding.effects()
    for f in range(len(p.functions)):
        pairs["active", f] = encoding.active(f), table.active(f)
        pairs["effective", f] = effects[f], effective(table, f)
    for f in range(len(p.feeds)):
        pairs["live", f] = encoding.live(f), table.live(f)
    for i, d in enumerate(p.devices):
        for number, _content, decides in encoding.entries(d):
            pairs["decides", i, number] = decides, table.decided(i) == number
        for colour in d.colours:
            pairs["shows", i, colour] = encoding.shows(i, colour), table.lit(i, colour)
        for state in d.states:
            pairs["state", i, state] = encoding.in_state(i, state), table.in_state(i, state)
        for number in range(len(d.dims)):
            pairs["dims", i, number] = encoding.dims(d, number), table.dimming(i) == number
        pairs["two", i] = encoding.two_colours(d), two_colours(table, i)
    for zone in ZONES:
        pairs["seen", zone] = encoding.seen(zone, None), table.seen(zone, None)
        cuts_off = encoding.seen(zone, None, only_warning=True, cuts=False)
        pairs["saved", zone] = cuts_off, table.seen(zone, None, only_warning=True, cuts=False)
    for n, r in enumerate(p.requirements):
        pairs["require", n] = encoding.truth(r.never), table.truly(r.never)
    for n, (literal, column) in enumerate(zip(broken(encoding), table.broken_constraints(), strict=True)):
        pairs["broken", n] = literal, column
    return pairs


def test_every_literal_in_every_state() -> None:
    compared: Counter[str] = Counter()
    for seed in range(40):
        p = Maker(seed).make()
        encoding = Encoding(p, Gates())
        tables = {lost: Table(p, lost, constrained=False) for lost in lost_sets(p)}
        pairs = {lost: literals(table, encoding) for lost, table in tables.items()}
        with import_module("pysat.solvers").Cadical195(bootstrap_with=encoding.gates.take_clauses()) as solver:
            for lost, table in tables.items():
                for row in random.Random(seed).sample(range(len(table)), min(6, len(table))):
                    values = [int(c[row]) for c in table.columns]
                    state = [encoding.values[i][v] for i, v in enumerate(values)]
                    state += [x if i in lost else -x for i, x in enumerate(encoding.lost) if x != FALSE]
                    assert solver.solve(assumptions=state)
                    model = set(solver.get_model())
                    for key, (literal, column) in pairs[lost].items():
                        assert (literal in model) == bool(column[row]), (seed, lost, values, key)
                        compared[key[0]] += 1
    print(dict(compared))
    assert len(compared) == 12
    assert min(compared.values()) > 100


def test_doings_differ_exactly_where_devices_do_something_else() -> None:
    """Pairs of states: equal numbers by enumeration, equal literals in the formula."""
    same = different = 0
    for seed in range(25):
        p = Maker(seed).make()
        encoding = Encoding(p, Gates())
        table = Table(p, (), constrained=False)
        doings = [encoding.doings(i) for i in range(len(p.devices))]
        numbers = [table.doings(i, {}) for i in range(len(p.devices))]
        with import_module("pysat.solvers").Cadical195(bootstrap_with=encoding.gates.take_clauses()) as solver:
            told = []
            rows = random.Random(seed).sample(range(len(table)), min(8, len(table)))
            for row in rows:
                state = [encoding.values[i][int(c[row])] for i, c in enumerate(table.columns)]
                assert solver.solve(assumptions=state + [-x for x in encoding.lost if x != FALSE])
                model = set(solver.get_model())
                told.append([tuple(x in model for x in d) for d in doings])
        for a, first in enumerate(rows):
            for b, second in enumerate(rows[:a]):
                for i in range(len(p.devices)):
                    equal = bool(numbers[i][first] == numbers[i][second])
                    assert (told[a][i] == told[b][i]) == equal, (seed, i)
                    same += equal
                    different += not equal
    assert same > 200
    assert different > 200


def test_fixing_a_variable_is_looking_at_one_value_of_it() -> None:
    """The copy with a switch at rest says of a state what the original says of that state with the switch at rest."""
    compared = 0
    for seed in range(20):
        p = Maker(seed).make()
        switch = next(i for i, v in enumerate(p.variables) if v.kind == "switch")
        encoding = Encoding(p, Gates())
        fixed = encoding.with_fixed(switch, p.variables[switch].rest)
        watched = [(encoding.active(f), fixed.active(f)) for f in range(len(p.functions))]
        watched += list(zip(broken(encoding), broken(fixed), strict=True))
        with import_module("pysat.solvers").Cadical195(bootstrap_with=encoding.gates.take_clauses()) as solver:
            r = random.Random(seed)
            for _ in range(6):
                values = [r.randrange(len(v.values)) for v in p.variables]
                at_rest = [p.variables[switch].rest if i == switch else v for i, v in enumerate(values)]
                models = []
                for chosen in (values, at_rest):
                    state = [encoding.values[i][v] for i, v in enumerate(chosen)]
                    assert solver.solve(assumptions=state + [-x for x in encoding.lost if x != FALSE])
                    models.append(set(solver.get_model()))
                for original, copy in watched:
                    assert (copy in models[0]) == (original in models[1])
                    compared += 1
    assert compared > 500
