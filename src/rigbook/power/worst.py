"""Worst average, RMS and peak over every reachable state, each with the smallest state that reaches it.

The prover (`rigbook.proofs.worst`) is given plain weights: the mean of each flow for the average; its current at each
instant worth looking at for the peak, one free choice of instant a clock; mean products of pairs for the RMS. What it
finds is worked out again from the state alone, by the functions that every state's currents go through.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from rigbook.power.flowing import Flow, flows_of, going_on
from rigbook.power.instants import parts_of
from rigbook.power.targets import Target, targets_of
from rigbook.power.waveform import Currents, Wave, WaveSpan, currents, mean_a, mean_square_of_clock
from rigbook.proofs.acts import Act
from rigbook.proofs.evidence import State
from rigbook.proofs.squares import square
from rigbook.proofs.worst import Prover, Worst
from rigbook.rig.model import Rig
from rigbook.switching.evaluate import Evaluator


@dataclass(frozen=True, slots=True)
class Extreme:
    """A worst value, A: no state has more. gap_a: how much less the best state found has, 0 where it is exact."""

    value_a: float
    state: State
    gap_a: float = 0.0

    @property
    def bound(self) -> bool:
        """Whether the value is an upper bound that no state was found to reach."""
        return self.gap_a > 0


@dataclass(frozen=True, slots=True)
class Extremes:
    """The three worst values of one target. None: not worked out."""

    average: Extreme | None = None
    rms: Extreme | None = None
    peak: Extreme | None = None


NO_STATE = Extremes()


class Worker:
    """Worst cases of one rig, equal targets once."""

    def __init__(self, rig: Rig) -> None:
        self.rig = rig
        self.prover = Prover(rig.program)
        self.evaluator = Evaluator(rig.program)
        self.targets = targets_of(rig, flows_of(rig))
        self._known: dict[tuple[object, ...], Extremes] = {}
        self._going: dict[State, frozenset[Act]] = {}
        self._units: dict[Wave, int] = {}
        self._by_number: list[Wave] = []
        self._products: dict[tuple[int, int], Fraction] = {}

    def extremes(self, target: Target) -> Extremes:
        """The worst values of a target. All None where no state is reachable."""
        key = (target.flows, target.under)
        if key not in self._known:
            self._known[key] = self._work_out(target)
        return self._known[key]

    def waves(self, flows: Iterable[Flow], state: State) -> list[Wave]:
        """Waves of the flows that flow in a state."""
        if state not in self._going:
            self._going[state] = going_on(self.evaluator, *state)
        return [flow.wave for flow in flows if flow.act in self._going[state]]

    def currents(self, target: Target, state: State) -> Currents:
        """Average, RMS and peak of a target in a state."""
        return currents(self.waves(target.flows, state))

    def _work_out(self, target: Target) -> Extremes:
        average = self.prover.sum([_means(target.flows)], under=target.under)
        if average is None:
            return NO_STATE
        if target.under is not None:
            return Extremes(average=self._extreme(target, average, "average"))
        parts, bound = parts_of(target.flows)
        peak = self.prover.sum(parts)
        assert peak is not None
        rms = self._square(target, cap=average.upper * peak.upper)
        rms = self._no_worse(target, rms, (average.state, peak.state))
        return Extremes(
            self._extreme(target, average, "average"), self._extreme(target, rms, "rms"),
            self._extreme(target, peak, "peak", bound=bound),
        )  # fmt: skip

    def _square(self, target: Target, cap: Fraction) -> Worst:
        flows: dict[Act, list[tuple[int, Fraction]]] = {}
        for flow in target.flows:
            flows.setdefault(flow.act, []).append(self._shape(flow.wave))
        found = square(self.prover, flows, self._product, cap=cap)
        assert found is not None
        return found

    def _no_worse(self, target: Target, rms: Worst, states: Iterable[State]) -> Worst:
        """Where the search was given up, the best of the state it met and of those known otherwise."""
        if rms.bound:
            for state in states:
                reached = self._mean_square(self.waves(target.flows, state))
                if reached > rms.best:
                    rms = Worst(rms.upper, reached, state)
        return rms

    def _mean_square(self, waves: Iterable[Wave]) -> Fraction:
        shapes: dict[int, Fraction] = {}
        for shape, amount in map(self._shape, waves):
            shapes[shape] = shapes.get(shape, Fraction(0)) + amount
        return sum(
            (a * b * self._product(one, other) for one, a in shapes.items() for other, b in shapes.items()), Fraction(0)
        )

    def _shape(self, wave: Wave) -> tuple[int, Fraction]:
        """The number of a wave of greatest current 1, and that current. Waves that never change are all one."""
        most = max(span.current_a for span in wave.spans)
        spans = tuple(WaveSpan(s.start_ms, s.end_ms, s.current_a / most, s.duty) for s in wave.spans)
        unit = Wave(wave.clock, wave.period_ms, spans)
        if unit.spans == STEADY.spans and unit.period_ms == 1:
            unit = STEADY
        return self._units.setdefault(unit, len(self._units)), most

    def _product(self, one: int, other: int) -> Fraction:
        """Mean of the product of two unit waves."""
        key = (min(one, other), max(one, other))
        if key not in self._products:
            if not self._by_number or len(self._by_number) < len(self._units):
                self._by_number = list(self._units)
            a, b = self._by_number[key[0]], self._by_number[key[1]]
            if a is b:
                product = mean_square_of_clock([a])
            elif a.clock == b.clock:
                product = (mean_square_of_clock([a, b]) - mean_square_of_clock([a]) - mean_square_of_clock([b])) / 2
            else:
                product = mean_a([a]) * mean_a([b])
            self._products[key] = product
        return self._products[key]

    def _extreme(self, target: Target, worst: Worst, key: str, *, bound: bool = False) -> Extreme:
        """A worst value in A: what the state comes to, or the proven bound and what it is above that state."""
        here = self.currents(target, worst.state)
        reached = {"average": here.average_a, "rms": here.rms_a, "peak": here.peak_a}[key]
        if not worst.bound and not bound:
            return Extreme(reached, worst.state)
        upper = math.sqrt(worst.upper) if key == "rms" else float(worst.upper)
        return Extreme(max(upper, reached), worst.state, max(0.0, upper - reached))


STEADY = Wave("", 1, (WaveSpan(0, 1, Fraction(1)),))


def _means(flows: Iterable[Flow]) -> dict[Act, tuple[Fraction]]:
    """The mean of each act's flows."""
    found: dict[Act, tuple[Fraction]] = {}
    for flow in flows:
        found[flow.act] = (found.get(flow.act, (Fraction(0),))[0] + mean_a([flow.wave]),)
    return found
