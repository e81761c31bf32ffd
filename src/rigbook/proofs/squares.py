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
    share: dict[tuple[int, int, int], int] = field(default_factory=dict)
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

    def adds(self, g: int, r: int, chosen: tuple[int, ...]) -> int:
        """What a row adds for sure to the rows chosen."""
        return 2 * (self.own[g][r] + sum(self.product(g, r, h, s) for h, s in enumerate(chosen) if s >= 0))

    def most(self, g: int, r: int, chosen: tuple[int, ...]) -> int:
        """What a row adds at most, its share of the groups still open included."""
        open_groups = (h for h in range(len(chosen), len(self.literals)) if h != g)
        return self.adds(g, r, chosen) + sum(self.greatest_product(g, r, h) for h in open_groups)

    def greatest_product(self, g: int, r: int, h: int) -> int:
        """The greatest of a row's products with another group's rows."""
        key = (g, r, h)
        if key not in self.share:
            self.share[key] = max(self.product(g, r, h, s) for s in range(len(self.literals[h])))
        return self.share[key]

    def down(self, chosen: tuple[int, ...], literals: tuple[int, ...], assumed: tuple[int, ...], fixed: int) -> int:
        """Search below a partial choice that some state meets; the greatest that may lie there."""
        g = len(chosen)
        if g == len(self.literals):
            self.offer(fixed, literals)
            return fixed
        rest = 0
        for h in range(g + 1, len(self.literals)):
            rest += max(self.most(h, r, chosen) for r in range(len(self.literals[h])))
        here = [(self.most(g, r, chosen), r) for r in range(len(self.literals[g]))] + [(0, -1)]
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
            if self.possible((*assumed, literal)):
                named = (*literals, literal) if r >= 0 else literals
                value = fixed + (self.adds(g, r, chosen) if r >= 0 else 0)
                greatest = max(greatest, self.down((*chosen, r), named, (*assumed, literal), value))
        return greatest


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
    upper = Fraction(search.down((), (), search.base, 0), 2 * scale)
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
