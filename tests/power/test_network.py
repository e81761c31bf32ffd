"""The network solver by its properties; the simulator and printed values: tests/outside."""

from __future__ import annotations

import random

import pytest

from rigbook.power.network import (
    Collapse,
    Load,
    Network,
    Resistor,
    Solution,
    Source,
    chain,
    load_voltage_v,
    power_limit_w,
    power_margin,
    solve,
)


def single(power_w: float, ohm: float = 0.1) -> Network:
    return Network(
        (Resistor("r", "s", "l", ohm),),
        (Source("e", "s", 12.0),),
        (Load("p", "l", "0", "constant-power", power_w / 12.0, 12.0),),
    )


def solved(network: Network) -> Solution:
    found = solve(network)
    assert isinstance(found, Solution)
    return found


@pytest.mark.parametrize("share", [0.0, 0.2, 0.5, 0.9, 0.99, 0.9999])
def test_one_load_agrees_with_the_closed_form(share: float) -> None:
    power = share * power_limit_w(source_v=12, resistance_ohm=0.1)
    expected = load_voltage_v(source_v=12, resistance_ohm=0.1, power_w=power)
    assert expected is not None
    assert solved(single(power)).load_v["p"] == pytest.approx(expected, rel=1e-9)


def test_margin_is_the_factor_to_the_limit() -> None:
    assert power_margin(single(300)) == pytest.approx(1.2, rel=1e-6)
    assert power_margin(single(720)) == pytest.approx(0.5, rel=1e-6)
    assert power_margin(single(1), at_most=8) == 8


def random_network(rng: random.Random) -> Network:
    nodes = ["s", *(f"n{k}" for k in range(rng.randint(2, 8)))]
    resistors = [
        Resistor(f"t{k}", nodes[rng.randrange(k)], nodes[k], rng.uniform(0.01, 0.2)) for k in range(1, len(nodes))
    ]
    resistors.append(Resistor("g", "back", "0", rng.uniform(0.001, 0.02)))
    if len(nodes) > 3:
        resistors.append(Resistor("mesh", nodes[1], nodes[3], rng.uniform(0.01, 0.2)))
    laws = ("constant-power", "constant-current", "resistive")
    loads = [
        Load(f"l{k}", rng.choice(nodes[1:]), rng.choice(["0", "back"]), rng.choice(laws), rng.uniform(0.2, 3), 12.8)  # type: ignore[arg-type]
        for k in range(rng.randint(1, 6))
    ]
    return Network(tuple(resistors), (Source("e", "s", 13.6),), tuple(loads))


def test_currents_balance_and_power_is_conserved() -> None:
    rng = random.Random(5)
    laws = set()
    count = 0
    for _ in range(200):
        network = random_network(rng)
        found = solve(network)
        if isinstance(found, Collapse):
            continue
        count += 1
        laws |= {load.law for load in network.loads}
        given = sum(found.source_a[s.id] * s.voltage_v for s in network.sources)
        heat = sum(r.ohm * found.resistor_a[r.id] ** 2 for r in network.resistors)
        used = sum(found.load_a[x.id] * found.load_v[x.id] for x in network.loads)
        assert given == pytest.approx(heat + used, rel=1e-8)
        assert found.source_a["e"] == pytest.approx(sum(found.load_a.values()), rel=1e-8)
        for load in network.loads:
            if load.law == "constant-power":
                assert found.load_a[load.id] * found.load_v[load.id] == pytest.approx(load.current_a * load.at_v)
    assert laws == {"constant-power", "constant-current", "resistive"}
    assert count > 150


def test_linear_loads_superpose() -> None:
    lines = chain(prefix="c", nodes=("s", "a", "b"), ohms=(0.1, 0.2))
    sources = (Source("e", "s", 12.0),)
    one, two = Load("1", "a", "0", "constant-current", 3, 12), Load("2", "b", "0", "constant-current", 5, 12)
    both = solved(Network(lines, sources, (one, two))).node_v["b"]
    alone = [solved(Network(lines, sources, (load,))).node_v["b"] for load in (one, two)]
    assert 12 - both == pytest.approx(sum(12 - volts for volts in alone))
    assert 12 - both == pytest.approx(0.1 * 8 + 0.2 * 5)


def test_no_resistance_joins_two_nodes() -> None:
    network = Network(
        (Resistor("z", "s", "x", 0.0), Resistor("r", "x", "l", 0.1)), (Source("e", "s", 12.0),),
        (Load("i", "l", "0", "constant-current", 10, 12),),
    )  # fmt: skip
    found = solved(network)
    assert found.node_v["x"] == 12.0
    assert found.node_v["l"] == pytest.approx(11.0)
    assert found.source_a["e"] == pytest.approx(10)


def test_a_load_on_the_source_itself_and_no_free_node() -> None:
    network = Network((), (Source("e", "s", 12.0),), (Load("i", "s", "0", "constant-power", 10, 12),))
    assert solved(network).load_a["i"] == pytest.approx(10)


def test_a_constant_current_too_strong_is_a_collapse() -> None:
    network = Network(
        (Resistor("r", "s", "l", 1.0),), (Source("e", "s", 12.0),),
        (Load("i", "l", "0", "constant-current", 13, 12),),
    )  # fmt: skip
    assert isinstance(solve(network), Collapse)


@pytest.mark.parametrize(
    ("network", "says"),
    [
        (Network((), (Source("e", "s", 12.0),), (Load("i", "x", "0", "resistive", 1, 12),)), "no source reaches"),
        (Network((Resistor("r", "s", "0", -1.0),), (Source("e", "s", 12.0),), ()), "below zero"),
        (
            Network((Resistor("z", "s", "t", 0.0),), (Source("e", "s", 12.0), Source("f", "t", 13.0)), ()),
            "fights another",
        ),
    ],
)
def test_networks_that_cannot_be_are_refused(network: Network, says: str) -> None:
    with pytest.raises(ValueError, match=says):
        solve(network)


def test_helpers_refuse_what_has_no_meaning() -> None:
    with pytest.raises(ValueError, match="one resistance"):
        chain(prefix="c", nodes=("a", "b"), ohms=())
    with pytest.raises(ValueError, match="above 0 ohm"):
        power_limit_w(source_v=12, resistance_ohm=0)
    assert load_voltage_v(source_v=12, resistance_ohm=0.1, power_w=361) is None
