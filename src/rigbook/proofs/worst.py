"""Worst cases: the greatest of a sum over the reachable states, and of a sum of squares, each with its smallest state.

What is summed comes as plain numbers: a weight for each act (`rigbook.proofs.acts`), or several for each act of which
one *alternative* is chosen freely (the instant at which a clock is looked at). Parts with alternatives add up, and
each chooses for itself. Nothing here knows what the weights mean. Values are exact fractions; a value of `Worst` is
what its state comes to, recomputed from the state's model, never what a solver reports.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import lcm
from typing import Any

from rigbook.proofs.acts import Act, Way, ways_of
from rigbook.proofs.evidence import State
from rigbook.proofs.gates import FALSE, TRUE
from rigbook.proofs.optimum import Effort, Optimum, greatest
from rigbook.proofs.symbolic import Solver
from rigbook.switching.program import Expression, Program

Weight = Fraction | int
Part = Mapping[Act, Sequence[Weight]]
"""Weights of acts, not negative, one for each alternative; every act of a part has equally many."""


@dataclass(frozen=True, slots=True)
class Worst:
    """A maximum over the reachable states, with or without lost signals.

    upper: proven, no state has more. best: what `state` has; equal to `upper` where the maximum is exact. state: the
    smallest one (by the witness order) that reaches `upper`; where that was not settled, the best one met.
    """

    upper: Fraction
    best: Fraction
    state: State

    @property
    def bound(self) -> bool:
        """Whether `upper` is only a bound."""
        return self.upper != self.best


Group = dict[int, list[tuple[int, ...]]]
"""Rows of one group: literal to, for each part, the weights by alternative."""


class Prover:
    """One program's formula, asked for one maximum after the other; learns from each."""

    def __init__(self, program: Program, *, effort: Effort | None = None, engine: str = "Glucose4") -> None:
        self.program = program
        self.effort = effort or Effort()
        self.solver = Solver(program, engine=engine)
        self.conditions: dict[Expression, int] = {}
        self._ways: dict[int, tuple[Way, ...]] = {}
        self._reached: dict[int, bool] = {}
        self._smallest: dict[int, State] = {}

    def close(self) -> None:
        """Free the solver's memory."""
        self.solver.close()

    # --- ways ---------------------------------------------------------------------------------------

    def ways(self, device: int) -> tuple[Way, ...]:
        """Ways of a device's acts."""
        if device not in self._ways:
            self._ways[device] = tuple(ways_of(self.solver.encoding, device))
        return self._ways[device]

    def strike(self, devices: Iterable[int]) -> None:
        """Find out at once which ways of the devices some reachable state takes: most come true together."""
        literals = {way.literal for device in devices for way in self.ways(device)} - self._reached.keys() - {TRUE}
        reached = self.solver.strike({literal: literal for literal in sorted(literals, key=abs)})
        self._reached.update((literal, literal in reached) for literal in literals)

    def reached(self, device: int) -> Iterator[Way]:
        """Ways of a device's acts that some reachable state takes."""
        self.strike((device,))
        return (way for way in self.ways(device) if way.literal == TRUE or self._reached[way.literal])

    def rows(self, acts: Iterable[Act]) -> Iterator[Way]:
        """Ways of acts that some reachable state takes."""
        wanted = dict.fromkeys(acts)
        devices = dict.fromkeys(act.device for act in wanted)
        self.strike(device for device in devices if device >= 0)
        for device in devices:
            if device >= 0:
                yield from (way for way in self.reached(device) if way.act in wanted)
        for act in wanted:
            if act.device < 0:
                literal = self.solver.encoding.live(act.feed)
                if literal != FALSE:
                    yield Way(act, ("feed", act.feed), literal)

    def base(self, under: Expression | None) -> tuple[int, ...]:
        """The literal of a condition that states must meet, by true values."""
        return () if under is None else (self.solver.encoding.truth(under),)

    def smallest(self, goal: int) -> State:
        """The smallest state that shows the goal, which some state shows."""
        if goal not in self._smallest:
            state = self.solver.smallest(goal)
            assert state is not None
            self._smallest[goal] = state
        return self._smallest[goal]

    # --- sums ---------------------------------------------------------------------------------------

    def sum(self, parts: Sequence[Part], *, under: Expression | None = None) -> Worst | None:
        """The greatest sum over the states (in which `under` holds by true values); None where there is no state."""
        gates, scale = self.solver.gates, _scale(w for part in parts for ws in part.values() for w in ws)
        groups = self._groups(parts, scale)
        alternatives: list[list[int]] = []
        for number, part in enumerate(parts):
            count = len(next(iter(part.values()), ()))
            concerned = [g for g in groups.values() if any(any(row[number]) for row in g.values())]
            if len(concerned) > 1 and count > 1:
                literals = [gates.new() for _ in range(count)]
                gates.exactly_one(literals)
                alternatives.append(literals)
            else:
                # One group alone takes its best alternative whatever it does.
                _flatten(groups, number)
                alternatives.append([TRUE])
        softs: dict[int, int] = {}
        for group in groups.values():
            for number, chosen in enumerate(alternatives):
                self._ladder(softs, {literal: row[number] for literal, row in group.items()}, chosen)
        found = greatest(
            self.solver,
            softs,
            base=self.base(under),
            value=lambda: self._value(groups, alternatives),
            effort=self.effort,
        )
        return None if found is None else self._worst(found, scale)

    def _worst(self, found: Optimum, scale: int) -> Worst:
        state = found.state if found.goal is None else self.smallest(found.goal)
        return Worst(Fraction(found.upper, scale), Fraction(found.best, scale), state)

    def _groups(self, parts: Sequence[Part], scale: int) -> dict[tuple[Any, ...], Group]:
        """Rows by group, weights added up in whole numbers; what weighs nothing is left out."""
        groups: dict[tuple[Any, ...], Group] = {}
        counts = [len(next(iter(part.values()), ())) for part in parts]
        for way in self.rows(dict.fromkeys(act for part in parts for act in part)):
            for number, part in enumerate(parts):
                weights = part.get(way.act)
                if weights is None or not any(weights):
                    continue
                row = groups.setdefault(way.group, {}).setdefault(way.literal, [(0,) * n for n in counts])
                row[number] = tuple(a + int(w * scale) for a, w in zip(row[number], weights, strict=True))
        return groups

    def _ladder(self, softs: dict[int, int], rows: Mapping[int, tuple[int, ...]], chosen: list[int]) -> None:
        """Soft literals *at least so much* for one group: rows exclude each other, so rungs add up to the row's weight."""
        gates = self.solver.gates
        rungs = sorted({w for row in rows.values() for w in row if w > 0})
        below = 0
        for rung in rungs:
            ways = []
            for literal, row in rows.items():
                if len(chosen) == 1:
                    if row[0] >= rung:
                        ways.append(literal)
                    continue
                at = [alternative for alternative, w in zip(chosen, row, strict=True) if w >= rung]
                if at:
                    ways.append(gates.all_of((literal, gates.any_of(at) if len(at) < len(chosen) else TRUE)))
            soft = gates.any_of(ways)
            softs[soft] = softs.get(soft, 0) + rung - below
            below = rung

    def _value(self, groups: Mapping[tuple[Any, ...], Group], alternatives: list[list[int]]) -> int:
        """What the last model comes to, each part at its best alternative."""
        holds = self.solver.holds
        total = 0
        for number, chosen in enumerate(alternatives):
            sums = [0] * len(chosen)
            for group in groups.values():
                for literal, row in group.items():
                    if any(row[number]) and holds(literal):
                        sums = [a + b for a, b in zip(sums, row[number], strict=True)]
            total += max(sums)
        return total


def _flatten(groups: Mapping[tuple[Any, ...], Group], number: int) -> None:
    for group in groups.values():
        for row in group.values():
            row[number] = (max(row[number], default=0),)


def _scale(weights: Iterable[Weight]) -> int:
    """The least number that makes all the fractions whole."""
    return lcm(*{w.denominator for w in weights})
