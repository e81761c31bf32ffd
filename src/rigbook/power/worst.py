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
from rigbook.power.instants import is_constant, parts_of
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

    @property
    def exact(self) -> bool:
        """Whether none of them is only a bound."""
        return not any(extreme is not None and extreme.bound for extreme in (self.average, self.rms, self.peak))


NO_STATE = Extremes()


class Worker:
    """Worst cases of one rig, equal targets once. Currents and means are whole numbers over common denominators."""

    def __init__(self, rig: Rig, targets: tuple[Target, ...] | None = None) -> None:
        """A worker of a rig; targets: all of them, where they are known already."""
        self.rig = rig
        self.prover = Prover(rig.program)
        self.evaluator = Evaluator(rig.program)
        self.targets = targets_of(rig, flows_of(rig)) if targets is None else targets
        waves = {id(flow.wave): flow.wave for target in self.targets for flow in target.flows}
        means = {key: mean_a([wave]) for key, wave in waves.items()}
        self._mean_scale = math.lcm(*{mean.denominator for mean in means.values()})
        self._means = {key: int(mean * self._mean_scale) for key, mean in means.items()}
        self._scale = math.lcm(*{span.current_a.denominator for wave in waves.values() for span in wave.spans})
        self._shapes: dict[int, tuple[int, int]] = {}
        self._units: list[Wave] = []
        numbers: dict[Wave, int] = {}
        for key, wave in waves.items():
            unit, most = unit_of(wave)
            if unit not in numbers:
                numbers[unit] = len(self._units)
                self._units.append(unit)
            self._shapes[key] = numbers[unit], int(most * self._scale)
        self._constant = {key for key, wave in waves.items() if self._units[self._shapes[key][0]] is STEADY}
        self._known: dict[tuple[object, ...], Extremes] = {}
        self._going: dict[State, frozenset[Act]] = {}
        self._products: dict[tuple[int, int], Fraction] = {}

    def extremes(self, target: Target) -> Extremes:
        """The worst values of a target. All None where no state is reachable."""
        key = (tuple(flow.number for flow in target.flows), target.under)
        if key not in self._known:
            self._known[key] = self._work_out(target)
        return self._known[key]

    def flowing(self, flows: Iterable[Flow], state: State) -> list[Flow]:
        """The flows that flow in a state, by evaluating it."""
        if state not in self._going:
            self._going[state] = going_on(self.evaluator, *state)
        going = self._going[state]
        return [flow for flow in flows if flow.act in going]

    def _work_out(self, target: Target) -> Extremes:
        average = self.prover.sum([self._mean_weights(target.flows)], under=target.under)
        if average is None:
            return NO_STATE
        mean = sum(self._means[id(flow.wave)] for flow in self.flowing(target.flows, average.state))
        worst_average = _extreme(average, Fraction(mean), self._mean_scale)
        if target.under is not None:
            return Extremes(worst_average)
        if all(id(flow.wave) in self._constant for flow in target.flows):
            # What never changes has one current, which is its average, root mean square and peak.
            return Extremes(worst_average, worst_average, worst_average)
        parts, bound = parts_of(target.flows, scale=self._scale)
        peak = self.prover.sum(parts)
        assert peak is not None
        peak_there, _ = parts_of(self.flowing(target.flows, peak.state), scale=self._scale)
        highest = sum(max(map(sum, zip(*part.values(), strict=True))) for part in peak_there)
        if bound:
            highest = round(self.currents(target, peak.state).peak_a * self._scale)
        cap = average.upper / self._mean_scale * peak.upper / self._scale
        return Extremes(
            worst_average, self._root(target, cap, (average, peak)), _extreme(peak, Fraction(highest), self._scale)
        )

    def currents(self, target: Target, state: State) -> Currents:
        """Average, RMS and peak of a target in a state, by the functions of every state."""
        return currents([flow.wave for flow in self.flowing(target.flows, state)])

    def _mean_weights(self, flows: Iterable[Flow]) -> dict[Act, tuple[int]]:
        found: dict[Act, tuple[int]] = {}
        for flow in flows:
            found[flow.act] = (found.get(flow.act, (0,))[0] + self._means[id(flow.wave)],)
        return found

    # --- root mean square ------------------------------------------------------------------------------

    def _root(self, target: Target, cap: Fraction, known: Iterable[Worst]) -> Extreme:
        """The greatest RMS. Where the search was given up, the best of the state it met and of those known otherwise."""
        flows: dict[Act, list[tuple[int, int]]] = {}
        for flow in target.flows:
            flows.setdefault(flow.act, []).append(self._shapes[id(flow.wave)])
        found = square(self.prover, flows, self._product, cap=cap * self._scale**2)
        assert found is not None
        states = [found.state, *(worst.state for worst in known if found.bound)]
        reached = [(self._mean_square(self.flowing(target.flows, state)), state) for state in states]
        best, state = max(reached, key=lambda pair: pair[0])
        value_a = math.sqrt(best / self._scale**2)
        if not found.bound:
            return Extreme(value_a, state)
        bound_a = max(value_a, math.sqrt(found.upper / self._scale**2))
        return Extreme(bound_a, state, bound_a - value_a)

    def _mean_square(self, flows: Iterable[Flow]) -> Fraction:
        shapes: dict[int, int] = {}
        for flow in flows:
            shape, amount = self._shapes[id(flow.wave)]
            shapes[shape] = shapes.get(shape, 0) + amount
        return sum(
            (a * b * self._product(one, other) for one, a in shapes.items() for other, b in shapes.items()), Fraction(0)
        )

    def _product(self, one: int, other: int) -> Fraction:
        """Mean of the product of two unit waves."""
        key = (one, other) if one <= other else (other, one)
        if key not in self._products:
            a, b = self._units[key[0]], self._units[key[1]]
            if a is b:
                product = mean_square_of_clock([a])
            elif a.clock == b.clock:
                product = (mean_square_of_clock([a, b]) - self._product(one, one) - self._product(other, other)) / 2
            else:
                product = mean_a([a]) * mean_a([b])
            self._products[key] = product
        return self._products[key]


STEADY = Wave("", 1, (WaveSpan(0, 1, Fraction(1)),))
"""Current 1 that never changes: on every clock the same."""


def unit_of(wave: Wave) -> tuple[Wave, Fraction]:
    """A wave scaled to a greatest current of 1, and that current. Waves that never change are all one."""
    most = max(span.current_a for span in wave.spans)
    spans = tuple(WaveSpan(s.start_ms, s.end_ms, s.current_a / most, s.duty) for s in wave.spans)
    if all(span.duty == span.current_a == 1 for span in spans) and is_constant(wave):
        return STEADY, most
    return Wave(wave.clock, wave.period_ms, spans), most


def _extreme(worst: Worst, reached: Fraction, scale: int) -> Extreme:
    """A worst value in A: what its state comes to, worked out anew, or the proven bound and its gap to that."""
    value_a = float(reached / scale)
    if reached == worst.upper:
        return Extreme(value_a, worst.state)
    bound_a = max(value_a, float(worst.upper / scale))
    return Extreme(bound_a, worst.state, bound_a - value_a)
