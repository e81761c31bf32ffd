"""Small DC networks solved exactly: nodal equations with an own Newton on numpy.

Unknowns are the node voltages against the reference `0`. Loads hold their current, their power or their
resistance. A load of constant power P between two nodes at v draws P/v, which adds -P/v^2 to the
diagonal of the Jacobian. The solution wanted is the one that is reached when the powers grow from nothing:
there the Jacobian is positive definite. Past the largest power there is none: **collapse**. Source: network.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

import numpy as np
from numpy.typing import NDArray

REFERENCE = "0"
Law = Literal["constant-power", "constant-current", "resistive"]
Vector = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Resistor:
    """A conductor or contact between two nodes, in ohm; 0 joins them."""

    id: str
    a: str
    b: str
    ohm: float


@dataclass(frozen=True, slots=True)
class Source:
    """An ideal voltage in V from the reference to a node; put a resistor behind it for its inside resistance."""

    id: str
    node: str
    voltage_v: float


@dataclass(frozen=True, slots=True)
class Load:
    """What a device takes between two nodes: its current in A at the voltage it is stated at, and its law."""

    id: str
    plus: str
    minus: str
    law: Law
    current_a: float
    at_v: float


@dataclass(frozen=True, slots=True)
class Network:
    """Resistors, sources and loads. Every node must reach a source through resistors."""

    resistors: tuple[Resistor, ...]
    sources: tuple[Source, ...]
    loads: tuple[Load, ...]


@dataclass(frozen=True, slots=True)
class Solution:
    """Node voltages in V, currents in A of resistors (a to b), loads and sources (out of the source)."""

    node_v: Mapping[str, float]
    resistor_a: Mapping[str, float]
    load_a: Mapping[str, float]
    load_v: Mapping[str, float]
    source_a: Mapping[str, float]


@dataclass(frozen=True, slots=True)
class Collapse:
    """No solution: the share of the constant-power loads up to which there is one."""

    share: float


class _Equations:
    """The numbered nodes and their matrices, with zero resistances joined and source nodes held."""

    def __init__(self, network: Network) -> None:
        self.network = network
        self.joined = _join(network)
        held: dict[str, float] = {self.of(REFERENCE): 0.0}
        for source in network.sources:
            node = self.of(source.node)
            if abs(held.setdefault(node, source.voltage_v) - source.voltage_v) > 0.0:
                raise ValueError(f"source {source.id} fights another on the same node")
        free = sorted({*self.joined.values()} - held.keys())
        self.number = {node: index for index, node in enumerate([*free, *sorted(held)])}
        self.free = len(free)
        self.held = np.array([held[node] for node in sorted(held)], dtype=np.float64)
        size = len(self.number)
        self.conductance = np.zeros((size, size))
        for resistor in network.resistors:
            a, b = self.index(resistor.a), self.index(resistor.b)
            if a != b:
                self.stamp(self.conductance, a, b, 1.0 / resistor.ohm)
        self._check_reach(sorted(held))
        for load in network.loads:
            if load.law == "resistive":
                a, b = self.index(load.plus), self.index(load.minus)
                if a != b:
                    self.stamp(self.conductance, a, b, load.current_a / load.at_v)

    def of(self, node: str) -> str:
        return self.joined.get(node, node)

    def index(self, node: str) -> int:
        return self.number[self.of(node)]

    @staticmethod
    def stamp(matrix: Vector, a: int, b: int, siemens: float) -> None:
        matrix[a, a] += siemens
        matrix[b, b] += siemens
        matrix[a, b] -= siemens
        matrix[b, a] -= siemens

    def _check_reach(self, held: list[str]) -> None:
        seen = {self.number[node] for node in held}
        waiting = list(seen)
        while waiting:
            for other in np.flatnonzero(self.conductance[waiting.pop()]):
                if int(other) not in seen:
                    seen.add(int(other))
                    waiting.append(int(other))
        lost = [node for node, index in self.number.items() if index not in seen]
        if lost:
            raise ValueError(f"no source reaches node {lost[0]}")

    def full(self, free: Vector) -> Vector:
        return np.concatenate([free, self.held])

    def residual_and_jacobian(self, free: Vector, share: float) -> tuple[Vector, Vector, bool]:
        """Currents that do not balance at the free nodes, their derivative, and whether all loads see above 0 V."""
        voltage = self.full(free)
        residual = self.conductance @ voltage
        jacobian = self.conductance.copy()
        sound = True
        for load in self.network.loads:
            a, b = self.index(load.plus), self.index(load.minus)
            if load.law == "resistive" or a == b:
                continue
            current, slope = load.current_a, 0.0
            if load.law == "constant-power":
                across = float(voltage[a] - voltage[b])
                sound = sound and across > 0.0
                across = max(across, 1e-6)
                current = share * load.current_a * load.at_v / across
                slope = -current / across
            residual[a] += current
            residual[b] -= current
            self.stamp(jacobian, a, b, slope)
        return residual[: self.free], jacobian[: self.free, : self.free], sound


def _join(network: Network) -> dict[str, str]:
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


def _newton(equations: _Equations, start: Vector, share: float) -> Vector | None:
    """Free voltages that balance on the upper branch, or None."""
    free = start.copy()
    scale = 1e-3 + sum(load.current_a for load in equations.network.loads)
    for _ in range(80):
        residual, jacobian, sound = equations.residual_and_jacobian(free, share)
        worst = float(np.max(np.abs(residual), initial=0.0))
        if worst <= 1e-11 * scale:
            return free if sound and _upper(jacobian) else None
        try:
            step = np.linalg.solve(jacobian, -residual)
        except np.linalg.LinAlgError:
            return None
        if not np.all(np.isfinite(step)):
            return None
        if float(np.max(np.abs(step), initial=0.0)) <= 1e-14 * (1.0 + float(np.max(np.abs(free), initial=0.0))):
            return free if worst <= 1e-7 * scale and sound and _upper(jacobian) else None
        free = free + step
    return None


def _upper(jacobian: Vector) -> bool:
    """Whether the solution lies on the branch reached from no load: no negative eigenvalue beyond rounding."""
    if jacobian.size == 0:
        return True
    eigenvalues = np.linalg.eigvalsh(jacobian)
    return bool(eigenvalues[0] >= -1e-5 * abs(eigenvalues[-1]))


def _continue(equations: _Equations) -> tuple[Vector | None, float]:
    """Solution at the full powers, or None with the greatest share of them that has one."""
    start = np.zeros(equations.free)
    at_none = _newton(equations, start, 0.0)
    if at_none is None:
        return None, 0.0
    direct = _newton(equations, at_none, 1.0)
    if direct is not None:
        return direct, 1.0
    free, share, step = at_none, 0.0, 0.25
    while step > 1e-9:
        tried = _newton(equations, free, min(1.0, share + step))
        if tried is None:
            step /= 2
            continue
        free, share = tried, min(1.0, share + step)
        if share >= 1.0:
            return free, 1.0
    return None, share


def solve(network: Network) -> Solution | Collapse:
    """Solve a network; Collapse where the constant-power loads ask for more than the sources can pass on.

    A load that ends up below 0 V (a constant current through too much resistance) is a collapse too.
    ValueError for a node that no source reaches, a negative resistance, or sources that fight.
    """
    equations = _Equations(network)
    free, share = _continue(equations)
    if free is None:
        return Collapse(share)
    solution = _solution(equations, free)
    if any(volts <= 0.0 for load, volts in solution.load_v.items() if solution.load_a[load] > 0.0):
        return Collapse(share)
    return solution


def _solution(equations: _Equations, free: Vector) -> Solution:
    network = equations.network
    voltage = equations.full(free)
    node_v = {node: float(voltage[equations.index(node)]) for node in equations.joined}
    load_a, load_v = {}, {}
    balance: dict[str, float] = {}
    for load in network.loads:
        across = node_v[load.plus] - node_v[load.minus]
        law = load.law
        current = load.current_a
        if law == "constant-power":
            current = load.current_a * load.at_v / across
        elif law == "resistive":
            current = load.current_a * across / load.at_v
        load_a[load.id], load_v[load.id] = current, across
        balance[load.plus] = balance.get(load.plus, 0.0) + current
        balance[load.minus] = balance.get(load.minus, 0.0) - current
    resistor_a = {}
    for resistor in network.resistors:
        if resistor.ohm > 0:
            current = (node_v[resistor.a] - node_v[resistor.b]) / resistor.ohm
            resistor_a[resistor.id] = current
            balance[resistor.a] = balance.get(resistor.a, 0.0) + current
            balance[resistor.b] = balance.get(resistor.b, 0.0) - current
    source_a = {}
    for source in network.sources:
        group = equations.of(source.node)
        source_a[source.id] = sum(value for node, value in balance.items() if equations.of(node) == group)
    return Solution(node_v, resistor_a, load_a, load_v, source_a)


def power_margin(network: Network, *, at_most: float = 64.0) -> float:
    """Factor on all constant-power loads up to which the network has a solution, at most `at_most`.

    1.0 is the limit just reached; below 1.0 the network collapses as it stands.
    """

    def scaled(factor: float) -> Network:
        loads = tuple(
            Load(x.id, x.plus, x.minus, x.law, x.current_a * factor, x.at_v) if x.law == "constant-power" else x
            for x in network.loads
        )
        return Network(network.resistors, network.sources, loads)

    low, high = 0.0, 1.0
    while high < at_most and isinstance(solve(scaled(high)), Solution):
        low, high = high, high * 2
    high = min(high, at_most)
    if isinstance(solve(scaled(high)), Solution):
        return high
    while high - low > 1e-9 * high:
        middle = (low + high) / 2
        if isinstance(solve(scaled(middle)), Solution):
            low = middle
        else:
            high = middle
    return low


def power_limit_w(*, source_v: float, resistance_ohm: float) -> float:
    """Greatest power in W behind one resistance: E^2/(4 R). Source: network. ValueError for 0 ohm or less."""
    if resistance_ohm <= 0:
        raise ValueError("the resistance must be above 0 ohm")
    return source_v**2 / (4.0 * resistance_ohm)


def load_voltage_v(*, source_v: float, resistance_ohm: float, power_w: float) -> float | None:
    """Voltage of one constant-power load behind a resistance: (E + sqrt(E^2 - 4 R P))/2; None past the limit.

    Source: network.
    """
    under = source_v**2 - 4.0 * resistance_ohm * power_w
    return None if under < 0 else (source_v + under**0.5) / 2.0


def chain(*, prefix: str, nodes: tuple[str, ...], ohms: tuple[float, ...]) -> tuple[Resistor, ...]:
    """Resistors one after another through the nodes. ValueError where there is not one ohm a gap."""
    if len(ohms) != len(nodes) - 1:
        raise ValueError("a chain needs one resistance between every two nodes")
    return tuple(
        Resistor(f"{prefix}.{index}", a, b, ohm)
        for index, ((a, b), ohm) in enumerate(zip(pairwise(nodes), ohms, strict=True), 1)
    )
