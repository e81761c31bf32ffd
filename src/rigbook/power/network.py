"""DC networks solved exactly: nodal equations with an own Newton (`nodal`).

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

from rigbook.power.nodal import REFERENCE, Equations

__all__ = [
    "REFERENCE", "Collapse", "Law", "Load", "Network", "Resistor", "Solution", "Source", "chain", "load_voltage_v",
    "power_limit_w", "power_margin", "solvable", "solve",
]  # fmt: skip
Law = Literal["constant-power", "constant-current", "resistive"]


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


def solve(network: Network) -> Solution | Collapse:
    """Solve a network; Collapse where the constant-power loads ask for more than the sources can pass on.

    A load that ends up below 0 V (a constant current through too much resistance) is a collapse too.
    ValueError for a node that no source reaches, a negative resistance, or sources that fight.
    """
    equations = Equations(network)
    free, share = equations.solution()
    if free is None:
        return Collapse(share)
    solution = _solution(equations, free)
    if any(volts <= 0.0 for load, volts in solution.load_v.items() if solution.load_a[load] > 0.0):
        return Collapse(share)
    return solution


def solvable(network: Network) -> bool:
    """Whether Newton comes down from no load to a solution: quicker than `solve` where there is none.

    Straight to the full powers, without the search for the share that still has one.
    """
    return Equations(network).solvable()


def _solution(equations: Equations, free: list[float]) -> Solution:
    network = equations.network
    voltage = [*free, *equations.held]
    node_v = {node: voltage[equations.index(node)] for node in equations.joined}
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


def power_margin(network: Network, *, at_most: float = 64.0, within: float = 1e-7) -> float:
    """Factor on all constant-power loads up to which the network has a solution, at most `at_most`.

    1.0 is the limit just reached; below 1.0 the network collapses as it stands. within: relative, from below.
    """
    return Equations(network).margin(at_most=at_most, within=within)


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
