"""Nodal equations of a DC network and Newton's way to their solution; the records and entry are in `network`.

A wiring network is nearly a tree, so its matrix is eliminated in order of least degree on dictionaries: no fill to speak
of, no heavy library to import, and the signs of the pivots tell the branch (all above zero: the one reached from no load).
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from rigbook.power.network import Network

REFERENCE = "0"
_SINGULAR = 1e-5
"""A pivot this far below zero, against the largest, still counts as the limit itself."""


class Equations:
    """Numbered nodes with zero resistances joined and source nodes held; free nodes come first."""

    def __init__(self, network: Network) -> None:
        self.network = network
        self.joined = join(network)
        held: dict[str, float] = {self.of(REFERENCE): 0.0}
        for source in network.sources:
            node = self.of(source.node)
            if abs(held.setdefault(node, source.voltage_v) - source.voltage_v) > 0.0:
                raise ValueError(f"source {source.id} fights another on the same node")
        free = sorted({*self.joined.values()} - held.keys())
        self.number = {node: index for index, node in enumerate([*free, *sorted(held)])}
        self.free = len(free)
        self.held = [held[node] for node in sorted(held)]
        self.rows: list[dict[int, float]] = [{} for _ in self.number]
        self.diagonal = [0.0] * len(self.number)
        for resistor in network.resistors:
            a, b = self.index(resistor.a), self.index(resistor.b)
            if a != b:
                self._stamp(a, b, 1.0 / resistor.ohm)
        self._check_reach()
        self.fixed = [0.0] * len(self.number)
        self.powers: list[tuple[int, int, float]] = []
        self.scale_a = 1e-3
        for load in network.loads:
            a, b = self.index(load.plus), self.index(load.minus)
            self.scale_a += abs(load.current_a)
            if a == b:
                continue
            if load.law == "resistive":
                self._stamp(a, b, load.current_a / load.at_v)
            elif load.law == "constant-current":
                self.fixed[a] += load.current_a
                self.fixed[b] -= load.current_a
            else:
                self.powers.append((a, b, load.current_a * load.at_v))
        self.order = self._order()

    def of(self, node: str) -> str:
        """The representative of a node."""
        return self.joined.get(node, node)

    def index(self, node: str) -> int:
        """Number of a node."""
        return self.number[self.of(node)]

    def _stamp(self, a: int, b: int, siemens: float) -> None:
        self.diagonal[a] += siemens
        self.diagonal[b] += siemens
        self.rows[a][b] = self.rows[a].get(b, 0.0) - siemens
        self.rows[b][a] = self.rows[b].get(a, 0.0) - siemens

    def _check_reach(self) -> None:
        seen = set(range(self.free, len(self.number)))
        waiting = list(seen)
        while waiting:
            for other in self.rows[waiting.pop()]:
                if other not in seen:
                    seen.add(other)
                    waiting.append(other)
        lost = [node for node, index in self.number.items() if index not in seen]
        if lost:
            raise ValueError(f"no source reaches node {lost[0]}")

    def _order(self) -> list[int]:
        """Free nodes in order of least degree, the degree that filling leaves; ties by number."""
        near = [{other for other in self.rows[index] if other < self.free} for index in range(self.free)]
        for a, b, _ in self.powers:
            if a < self.free and b < self.free:
                near[a].add(b)
                near[b].add(a)
        by_degree: list[set[int]] = [set() for _ in range(self.free + 1)]
        for index, others in enumerate(near):
            by_degree[len(others)].add(index)
        order: list[int] = []
        lowest = 0
        while len(order) < self.free:
            while not by_degree[lowest]:
                lowest += 1
            node = min(by_degree[lowest])
            by_degree[lowest].discard(node)
            order.append(node)
            others = near[node]
            for other in others:
                by_degree[len(near[other])].discard(other)
                near[other] |= others
                near[other] -= {other, node}
                by_degree[len(near[other])].add(other)
                lowest = min(lowest, len(near[other]))
        return order

    def residual(
        self, voltage: Sequence[float], share: float
    ) -> tuple[list[float], list[tuple[int, int, float]], bool]:
        """Currents that do not balance at each node, slopes of the powers, and whether all see above 0 V."""
        out = [
            diagonal * volts + fixed + sum(value * voltage[other] for other, value in row.items())
            for diagonal, volts, fixed, row in zip(self.diagonal, voltage, self.fixed, self.rows, strict=True)
        ]
        slopes, sound = [], True
        for a, b, watts in self.powers:
            across = voltage[a] - voltage[b]
            if across <= 1e-6:
                sound = sound and across > 0.0
                across = 1e-6
            current = share * watts / across
            out[a] += current
            out[b] -= current
            slopes.append((a, b, -current / across))
        return out, slopes, sound

    def step(
        self, residual: Sequence[float], slopes: Sequence[tuple[int, int, float]]
    ) -> tuple[list[float], bool] | None:
        """Newton's step by elimination, and whether every pivot is above zero; None for a singular matrix."""
        free = self.free
        diagonal = self.diagonal[:free]
        rows = [{other: value for other, value in row.items() if other < free} for row in self.rows[:free]]
        for a, b, slope in slopes:
            if a < free:
                diagonal[a] += slope
            if b < free:
                diagonal[b] += slope
            if a < free and b < free:
                rows[a][b] = rows[a].get(b, 0.0) - slope
                rows[b][a] = rows[b].get(a, 0.0) - slope
        right = [-value for value in residual[:free]]
        largest = max(map(abs, diagonal), default=0.0)
        upper = True
        for node in self.order:
            pivot = diagonal[node]
            if pivot == 0.0:
                return None
            upper = upper and pivot > -_SINGULAR * largest
            row = rows[node]
            known = right[node] / pivot
            for other, value in row.items():
                factor = value / pivot
                diagonal[other] -= factor * value
                right[other] -= value * known
                theirs = rows[other]
                del theirs[node]
                for third, more in row.items():
                    if third != other:
                        theirs[third] = theirs.get(third, 0.0) - factor * more
        found = [0.0] * free
        for node in reversed(self.order):
            rest = right[node] - sum(value * found[other] for other, value in rows[node].items())
            found[node] = rest / diagonal[node]
        return found, upper

    def newton(self, start: Sequence[float], share: float) -> list[float] | None:
        """Free voltages that balance on the branch reached from no load, or None."""
        free = list(start)
        astray = 0  # steps beyond the branch: from above it Newton comes down to a solution and stays on its side
        for _ in range(80):
            residual, slopes, sound = self.residual([*free, *self.held], share)
            worst = max(map(abs, residual[: self.free]), default=0.0)
            made = self.step(residual, slopes)
            if worst <= 1e-11 * self.scale_a:
                return free if sound and (made is None or made[1]) else None
            if made is None or any(value != value or abs(value) > 1e12 for value in made[0]):
                return None
            step, upper = made
            astray = 0 if upper else astray + 1
            if astray > 2:
                return None
            if max(map(abs, step), default=0.0) <= 1e-14 * (1.0 + max(map(abs, free), default=0.0)):
                return free if worst <= 1e-7 * self.scale_a and sound and upper else None
            free = [value + change for value, change in zip(free, step, strict=True)]
        return None

    def solution(self) -> tuple[list[float] | None, float]:
        """Free voltages at the full powers, or None with the greatest share of them that has a solution."""
        at_none = self.newton([0.0] * self.free, 0.0)
        if at_none is None:
            return None, 0.0
        direct = self.newton(at_none, 1.0)
        if direct is not None:
            return direct, 1.0
        free, share, step = at_none, 0.0, 0.25
        while step > 1e-9:
            tried = self.newton(free, min(1.0, share + step))
            if tried is None:
                step /= 2
                continue
            free, share = tried, min(1.0, share + step)
            if share >= 1.0:
                return free, 1.0
        return None, share


def join(network: Network) -> dict[str, str]:
    """Each node's representative, nodes joined by 0 ohm sharing one. ValueError for a resistance below zero."""
    parent: dict[str, str] = {REFERENCE: REFERENCE}

    def find(node: str) -> str:
        while parent.setdefault(node, node) != node:
            node = parent[node]
        return node

    for resistor in network.resistors:
        if resistor.ohm < 0:
            raise ValueError(f"{resistor.id} has a resistance below zero")
        a, b = sorted((find(resistor.a), find(resistor.b)))
        if resistor.ohm == 0:
            parent[b] = a
    for source in network.sources:
        find(source.node)
    for load in network.loads:
        find(load.plus)
        find(load.minus)
    return {node: find(node) for node in sorted(parent)}
