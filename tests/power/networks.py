"""Generated DC networks: trees with loops, two batteries, shared returns, loads of every law."""

from __future__ import annotations

import random

from rigbook.power.network import Collapse, Load, Network, Resistor, Source, solve

LAWS = ("constant-power", "constant-current", "resistive")


def generated(seed: int, nodes: int) -> Network:
    """A network of about so many nodes; the loads are eased until it has a solution."""
    dice = random.Random(seed)
    feeds, returns = ["bus"], ["chassis"]
    resistors = [
        Resistor("inside-1", "e1", "bus", dice.uniform(0.003, 0.02)),
        Resistor("chassis", "chassis", "0", dice.uniform(0.0005, 0.004)),
    ]
    sources = [Source("e1", "e1", dice.uniform(12.4, 14.2))]
    loads: list[Load] = []
    if dice.random() < 0.6:
        sources.append(Source("e2", "e2", dice.uniform(12.2, 13.4)))
        resistors += [
            Resistor("inside-2", "e2", "second", dice.uniform(0.003, 0.02)),
            Resistor("link", "second", "bus", dice.uniform(0.002, 0.01)),
        ]
        feeds.append("second")
    while len(feeds) + len(returns) + 2 < nodes:
        number = len(feeds) + len(returns)
        node, back = f"f{number}", f"r{number}"
        resistors.append(
            Resistor(
                f"out-{number}",
                dice.choice(feeds[-12:] if dice.random() < 0.5 else feeds),
                node,
                dice.uniform(0.002, 0.05),
            )
        )
        feeds.append(node)
        if dice.random() < 0.7:
            minus = "0"
            if dice.random() < 0.8:
                resistors.append(Resistor(f"back-{number}", back, dice.choice(returns[-8:]), dice.uniform(0.001, 0.03)))
                returns.append(back)
                minus = back
            law = dice.choice(LAWS)
            loads.append(Load(f"load-{number}", node, minus, law, dice.uniform(0.05, 4.0), 12.8))  # type: ignore[arg-type]
        if dice.random() < 0.08 and len(feeds) > 4:
            a, b = dice.sample(feeds, 2)
            resistors.append(Resistor(f"loop-{number}", a, b, dice.uniform(0.01, 0.1)))
    factor = min(1.0, 60.0 / sum(x.current_a for x in loads))
    while True:
        eased = tuple(Load(x.id, x.plus, x.minus, x.law, x.current_a * factor, x.at_v) for x in loads)
        network = Network(tuple(resistors), tuple(sources), eased)
        if not isinstance(solve(network), Collapse):
            return network
        factor *= 0.7
