"""The greatest mean square over the reachable states, by branch and bound on the solver.

A mean square is a sum over pairs of acts: with currents I and a number u for each pair of *shapes* (when they flow),
the mean of the square is the sum of I_a I_b u(a, b) over all ordered pairs that go on, itself included; no u is
negative. Groups of rows that exclude each other are decided one after the other, the heaviest first; what is still
open counts, pair by pair, with its greatest. A sum over a group alone needs no search.

Where the search is given up, the bound is the greatest of what was left open, or a bound that the caller knows.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from math import lcm
from typing import Any

from rigbook.proofs.acts import Act
from rigbook.proofs.evidence import State
from rigbook.proofs.worst import Prover, Worst
from rigbook.switching.program import Expression

Amount = Fraction | int
Flow = tuple[Hashable, Amount]
"""When an act flows, and how much."""
Pair = Callable[[Any, Any], Fraction]
"""Mean of the product of two shapes of flow 1."""


@dataclass
class _Search:
    """All values are whole numbers, twice the mean square: an open pair is then shared by its two groups.

    literals[g][r]: of each row. own[g][r]: a row's mean square. between[g, h][r][s], g < h: twice the mean product of
    two rows. nothing[g]: the literal that no row of the group goes on.
    """

    prover: Prover
    base: tuple[int, ...]
    calls: int
    literals: list[list[int]]
    nothing: list[int]
    own: list[list[int]]
    between: dict[tuple[int, int], list[list[int]]]
    shares: list[list[list[int]]] = field(default_factory=list)
    best: int = -1
    state: State = ((), ())
    reaching: set[tuple[int, ...]] = field(default_factory=set)
    settled: bool = True

    def product(self, g: int, r: int, h: int, s: int) -> int:
        """Twice the mean product of two rows of different groups."""
        return self.between[g, h][r][s] if g < h else self.between[h, g][s][r]

    def possible(self, assumed: tuple[int, ...]) -> bool:
        """Whether some state meets the literals; the last model may show it at once."""
        solver = self.prover.solver
        if all(solver.holds(literal) for literal in assumed):
            return True
        self.calls -= 1
        return solver.solve(assumed)

    def offer(self, value: int, literals: tuple[int, ...]) -> None:
        """A full choice that the last model shows."""
        if value > self.best:
            self.best, self.reaching, self.state = value, set(), self.prover.solver.state()
        if value == self.best:
            self.reaching.add(literals)

    def prepare(self) -> None:
        """`shares[g][r][n]`: what a row takes at most of its pairs with the groups from the n-th on."""
        count = len(self.literals)
        for g, group in enumerate(self.literals):
            self.shares.append([])
            for r in range(len(group)):
                sums = [0] * (count + 1)
                for h in reversed(range(count)):
                    most = 0 if h == g else max(self.product(g, r, h, s) for s in range(len(self.literals[h])))
                    sums[h] = sums[h + 1] + most
                self.shares[g].append(sums)

    def run(self) -> int:
        """Search; the greatest that any state may reach."""
        self.prepare()
        return self.down(0, (), self.base, 0, [[2 * own for own in group] for group in self.own])

    def down(
        self, g: int, literals: tuple[int, ...], assumed: tuple[int, ...], fixed: int, adds: list[list[int]]
    ) -> int:
        """Search below a choice for the groups before g that some state meets; the greatest that may lie there.

        fixed: what is chosen comes to. adds: what each row adds for sure to it.
        """
        if g == len(self.literals):
            self.offer(fixed, literals)
            return fixed
        rest = 0
        for h in range(g + 1, len(self.literals)):
            shares = self.shares[h]
            rest += max(0, *(more + shares[r][g] for r, more in enumerate(adds[h])))
        here = [(more + self.shares[g][r][g], r) for r, more in enumerate(adds[g])] + [(0, -1)]
        greatest = -1
        for most, r in sorted(here, key=lambda pair: (-pair[0], pair[1])):
            ceiling = fixed + most + rest
            if ceiling < self.best:
                break
            if self.calls <= 0:
                self.settled = False
                greatest = max(greatest, ceiling)
                break
            literal = self.literals[g][r] if r >= 0 else self.nothing[g]
            if not self.possible((*assumed, literal)):
                continue
            if r < 0:
                found = self.down(g + 1, literals, (*assumed, literal), fixed, adds)
            else:
                value = fixed + adds[g][r]
                found = self.down(g + 1, (*literals, literal), (*assumed, literal), value, self.after(g, r, adds))
            greatest = max(greatest, found)
        return greatest

    def after(self, g: int, r: int, adds: list[list[int]]) -> list[list[int]]:
        """What each row of the later groups adds once a row is chosen."""
        return [
            group if h <= g else [more + 2 * self.between[g, h][r][s] for s, more in enumerate(group)]
            for h, group in enumerate(adds)
        ]


def square(
    prover: Prover,
    flows: Mapping[Act, Sequence[Flow]],
    pair: Pair,
    *,
    under: Expression | None = None,
    calls: int = 400,
    cap: Fraction | None = None,
) -> Worst | None:
    """The greatest mean square of what flows, over the states; None where there is no state.

    flows: when each act flows, and how much (above 0). calls: solver calls before the search is given up.
    cap: a bound that is known otherwise.
    """
    gates, solver = prover.solver.gates, prover.solver
    groups: dict[tuple[Any, ...], dict[int, dict[Hashable, Amount]]] = {}
    for way in prover.rows(flows):
        for shape, amount in flows[way.act]:
            row = groups.setdefault(way.group, {}).setdefault(way.literal, {})
            row[shape] = row.get(shape, 0) + amount
    rows, scale = _whole([list(group.values()) for group in groups.values()], pair)
    own = [[row.against(row) for row in group] for group in rows]
    order = sorted(range(len(rows)), key=lambda g: (-max(own[g]), g))
    literals = [list(list(groups.values())[g]) for g in order]
    search = _Search(
        prover, prover.base(under), calls, literals,
        [gates.all_of([-literal for literal in group]) for group in literals],
        [own[g] for g in order],
        {
            (i, k): [[2 * a.against(b) for b in rows[order[k]]] for a in rows[order[i]]]
            for i in range(len(order))
            for k in range(i + 1, len(order))
        },
    )  # fmt: skip
    if not solver.solve(search.base):
        return None
    upper = Fraction(search.run(), 2 * scale)
    best = Fraction(max(search.best, 0), 2 * scale)
    if search.best < 0:
        search.state = solver.state()
    if cap is not None and not search.settled:
        upper = max(best, min(upper, cap))
    if not search.settled or best != upper:
        return Worst(upper, best, search.state)
    goal = gates.any_of([gates.all_of((*search.base, *chosen)) for chosen in search.reaching])
    return Worst(upper, best, prover.smallest(goal))


@dataclass(frozen=True, slots=True)
class _Row:
    """Amounts by shape, and for each shape the sum of amount times mean product with it, in whole numbers."""

    amounts: tuple[tuple[int, int], ...]
    meeting: tuple[int, ...]

    def against(self, other: _Row) -> int:
        """Mean of the product of two rows."""
        return sum(amount * self.meeting[shape] for shape, amount in other.amounts)


def _whole(groups: list[list[dict[Hashable, Amount]]], pair: Pair) -> tuple[list[list[_Row]], int]:
    """Rows in whole numbers, and the scale of their products."""
    rows = [row for group in groups for row in group]
    shapes = list(dict.fromkeys(shape for row in rows for shape in row))
    places = {shape: n for n, shape in enumerate(shapes)}
    means = [[pair(a, b) if n <= m else Fraction(0) for m, b in enumerate(shapes)] for n, a in enumerate(shapes)]
    mean_scale = lcm(*{mean.denominator for line in means for mean in line})
    table = [
        [int(means[min(n, m)][max(n, m)] * mean_scale) for m in range(len(shapes))] for n in range(len(shapes))
    ]  # fmt: skip
    amount_scale = lcm(*{amount.denominator for row in rows for amount in row.values()})

    def whole(row: dict[Hashable, Amount]) -> _Row:
        amounts = tuple((places[shape], int(amount * amount_scale)) for shape, amount in row.items())
        meeting = tuple(sum(amount * line[shape] for shape, amount in amounts) for line in table)
        return _Row(amounts, meeting)

    return [[whole(row) for row in group] for group in groups], mean_scale * amount_scale**2
