"""Our network solver against a general-purpose circuit simulator, ngspice in batch.

The simulator may print nonsense past collapse and leave with status 0; so its answer counts only where the
currents at its node voltages balance by the law of every element.
"""

from __future__ import annotations

import re
import shutil
import subprocess
from pathlib import Path

import pytest
from tests.rig.small import build_text, worked

from rigbook.power.network import Collapse, Load, Network, Resistor, Solution, Source, chain, solve
from rigbook.power.solved import circuit_network
from rigbook.rig.model import Rig

pytestmark = [
    pytest.mark.outside,
    pytest.mark.skipif(shutil.which("ngspice") is None, reason="ngspice is not installed: apt-get install ngspice"),
]

_VOLTS = re.compile(r"^v\((n\d+)\) = (\S+)$", re.MULTILINE)


def nodes_of(network: Network) -> list[str]:
    """Every node but the reference, in a fixed order."""
    found = [n for r in network.resistors for n in (r.a, r.b)]
    found += [s.node for s in network.sources] + [n for load in network.loads for n in (load.plus, load.minus)]
    return [node for node in dict.fromkeys(found) if node != "0"]


def netlist(network: Network) -> str:
    """The network as a batch netlist that prints every node."""
    number = {"0": "0"} | {node: f"n{index}" for index, node in enumerate(nodes_of(network), 1)}
    lines = ["* a small network"]
    for index, r in enumerate(network.resistors):
        ohm = f"R{index} {number[r.a]} {number[r.b]} {r.ohm!r}"
        lines.append(ohm if r.ohm > 0 else f"Vz{index} {number[r.a]} {number[r.b]} DC 0")
    lines += [f"V{index} {number[s.node]} 0 DC {s.voltage_v!r}" for index, s in enumerate(network.sources)]
    for index, load in enumerate(network.loads):
        a, b = number[load.plus], number[load.minus]
        if load.law == "constant-current":
            lines.append(f"I{index} {a} {b} DC {load.current_a!r}")
        elif load.law == "resistive":
            lines.append(f"RL{index} {a} {b} {load.at_v / load.current_a!r}")
        else:
            across = f"V({a})" if b == "0" else f"V({a})-V({b})"
            lines.append(f"B{index} {a} {b} I = {load.current_a * load.at_v!r}/max({across},0.1)")
    # without loads: where the simulator starts from, for from 0 V it falls to a branch that is no solution
    start = solve(Network(network.resistors, network.sources, ()))
    assert isinstance(start, Solution)
    lines += [f".nodeset v({name})={start.node_v[node]!r}" for node, name in number.items() if node != "0"]
    lines += [".options reltol=1e-9 gmin=1e-15 abstol=1e-12 vntol=1e-10", ".control", "set numdgt=12", "op"]
    lines += [f"print v({name})" for node, name in number.items() if node != "0"]
    return "\n".join([*lines, "quit", ".endc", ".end", ""])


def simulate(network: Network, folder: Path) -> dict[str, float]:
    """Node voltages that the simulator prints, whatever they are worth."""
    path = folder / "small.cir"
    path.write_text(netlist(network), encoding="ascii")
    ran = subprocess.run(["ngspice", "-b", str(path)], capture_output=True, text=True, timeout=60, check=False)
    printed = dict(_VOLTS.findall(ran.stdout))
    names = nodes_of(network)
    assert len(printed) == len(names), ran.stdout + ran.stderr
    return {node: float(printed[f"n{index}"]) for index, node in enumerate(names, 1)} | {"0": 0.0}


def imbalance_a(network: Network, volts: dict[str, float]) -> float:
    """Greatest current that does not balance at a node without a source, by the law of every element."""
    joined = {node: node for node in volts}
    for r in network.resistors:
        if r.ohm == 0:
            old, new = joined[r.b], joined[r.a]
            joined = {node: new if name == old else name for node, name in joined.items()}
    sums = dict.fromkeys(joined.values(), 0.0)
    flows = [(r.a, r.b, (volts[r.a] - volts[r.b]) / r.ohm) for r in network.resistors if r.ohm > 0]
    for load in network.loads:
        across = volts[load.plus] - volts[load.minus]
        if load.law == "resistive":
            current = load.current_a * across / load.at_v
        elif load.law == "constant-current":
            current = load.current_a
        else:
            current = load.current_a * load.at_v / across
        flows.append((load.plus, load.minus, current))
    for a, b, current in flows:
        sums[joined[a]] += current
        sums[joined[b]] -= current
    held = {joined[s.node] for s in network.sources} | {joined["0"]}
    return max((abs(value) for node, value in sums.items() if node not in held), default=0.0)


def sound(network: Network, volts: dict[str, float]) -> bool:
    """Whether the simulator's answer is one: currents balance and every load sees more than nothing."""
    positive = all(volts[load.plus] - volts[load.minus] > 0.2 for load in network.loads)
    return positive and imbalance_a(network, volts) < 1e-5


def lamp(name: str, plus: str, minus: str, amps: float, law: str = "constant-power", at_v: float = 12.8) -> Load:
    return Load(name, plus, minus, law, amps, at_v)  # type: ignore[arg-type]


BATTERY = (Source("battery", "post", 13.6),)


def row(count: int, *, law: str) -> Network:
    """Lamps in a chain, feed and return both shared, behind a common lead."""
    out = ("post", *(f"f{k}" for k in range(1, count + 1)))
    back = (*(f"r{k}" for k in range(count, 0, -1)), "0")
    return Network(
        (
            *chain(prefix="feed", nodes=out, ohms=(0.08, *([0.012] * (count - 1)))),
            *chain(prefix="return", nodes=back, ohms=(*([0.012] * (count - 1)), 0.05)),
        ),
        BATTERY,
        tuple(lamp(f"lamp-{k}", f"f{k}", f"r{k}", 0.9, law) for k in range(1, count + 1)),
    )


def star(laws: tuple[str, ...]) -> Network:
    """Branches from one bus, each with its own wire, a common stud."""
    resistors = [Resistor("main", "post", "bus", 0.006), Resistor("stud", "stud", "0", 0.002)]
    loads = []
    for index, law in enumerate(laws):
        resistors.append(Resistor(f"feed-{index}", "bus", f"b{index}", 0.03 + 0.01 * index))
        resistors.append(Resistor(f"return-{index}", f"g{index}", "stud", 0.02))
        loads.append(lamp(f"load-{index}", f"b{index}", f"g{index}", 4.0 + index, law))
    return Network(tuple(resistors), BATTERY, tuple(loads))


def two_banks() -> Network:
    """Two batteries joined by a link, a load on each side."""
    return Network(
        (
            Resistor("inside-1", "e1", "starter", 0.005),
            Resistor("inside-2", "e2", "auxiliary", 0.008),
            Resistor("link-1", "starter", "isolator", 0.003),
            Resistor("isolator", "isolator", "isolator-b", 0.0015),
            Resistor("link-2", "isolator-b", "auxiliary", 0.004),
        ),
        (Source("starter", "e1", 14.1), Source("auxiliary", "e2", 12.4)),
        (
            lamp("vehicle", "starter", "0", 43.0, "constant-current"),
            lamp("radio", "auxiliary", "0", 13.0),
            lamp("heater", "auxiliary", "0", 8.0, "resistive"),
        ),
    )


def bridge() -> Network:
    """A bridge that no series and parallel rule reduces, a lamp across it."""
    return Network(
        (
            Resistor("a", "post", "left", 0.5),
            Resistor("b", "post", "right", 0.9),
            Resistor("c", "left", "0", 1.1),
            Resistor("d", "right", "0", 0.4),
        ),
        BATTERY,
        (lamp("across", "left", "right", 1.5, at_v=3.0),),
    )


def net5() -> Network:
    return Network(
        (
            Resistor("int", "src", "bat", 0.010),
            Resistor("main", "bat", "bus", 0.004),
            Resistor("a", "bus", "a", 0.025),
            Resistor("b", "bus", "b", 0.040),
            Resistor("ret", "g", "0", 0.002),
        ),
        (Source("bat", "src", 13.8),),
        (
            lamp("a", "a", "g", 20.0, "constant-current"),
            lamp("b", "b", "g", 10.0, "constant-current"),
            lamp("r", "bus", "g", 6.0, "resistive", 12.0),
        ),
    )


def single(power_w: float, source_v: float = 12.0) -> Network:
    return Network(
        (Resistor("r", "post", "load", 0.1),),
        (Source("e", "post", source_v),),
        (lamp("p", "load", "0", power_w / 12.0, at_v=12.0),),
    )


def ladder() -> Network:
    """Constant-power loads down a long thin line, near the end of what it can pass."""
    nodes = ("post", *(f"n{k}" for k in range(1, 7)))
    return Network(
        chain(prefix="line", nodes=nodes, ohms=(0.05,) * 6),
        BATTERY,
        tuple(lamp(f"at-{k}", f"n{k}", "0", 4.2, at_v=12.0) for k in range(1, 7)),
    )


def joined() -> Network:
    """A contact without resistance in the middle."""
    return Network(
        (Resistor("a", "post", "x", 0.04), Resistor("contact", "x", "y", 0.0), Resistor("b", "y", "z", 0.03)),
        BATTERY,
        (lamp("first", "y", "0", 5.0), lamp("last", "z", "0", 7.0, "resistive")),
    )


CIRCUITS = {
    "two fused branches on a shared return": net5(),
    "one constant-power load, 300 W behind 0.1 ohm": single(300),
    "one constant-power load near collapse, 355 W": single(355),
    "one constant-power load on 24 V": single(600, 24.0),
    "row of four lamps, constant current": row(4, law="constant-current"),
    "row of eight lamps, constant power": row(8, law="constant-power"),
    "row of six lamps, resistive": row(6, law="resistive"),
    "star of every law on one stud": star(("constant-power", "constant-current", "resistive")),
    "star of five constant-power branches": star(("constant-power",) * 5),
    "two banks and a link": two_banks(),
    "bridge with a lamp across": bridge(),
    "ladder of six constant-power loads": ladder(),
    "contact without resistance": joined(),
}


def agree(network: Network, folder: Path) -> None:
    mine = solve(network)
    assert isinstance(mine, Solution)
    theirs = simulate(network, folder)
    assert sound(network, theirs)
    for node, volts in theirs.items():
        assert mine.node_v[node] == pytest.approx(volts, rel=1e-7, abs=1e-7), node


@pytest.mark.parametrize("network", [pytest.param(n, id=f"ngspice, {name}") for name, n in CIRCUITS.items()])
def test_node_voltages(network: Network, tmp_path: Path) -> None:
    agree(network, tmp_path)


def small_rig() -> Rig:
    rows = (
        "  - {id: nose, part: dual, place: nose, outputs: {blue: control.1, white: control.2}}\n"
        "  - id: stick\n    part: single\n    along: {from: [3 m, -0.4 m, 1.5 m], to: [3 m, 0.4 m, 1.5 m], count: 4}\n"
        "    facing: 180 deg\n    outputs: {together: control.5}\n"
        "  - {id: flood, part: flood, place: side, outputs: {white: control.6}}\n"
    )
    return worked(build_text(install=rows).replace("limit: 5 A", "limit: 10 A"))


@pytest.mark.parametrize(
    "circuit",
    [
        pytest.param(name, id=f"ngspice, circuit of a worked-out vehicle, {name}")
        for name in ("control.1", "control.2", "control.5", "control.6", "box-feed")
    ],
)
def test_circuits_of_a_vehicle(circuit: str, tmp_path: Path) -> None:
    rig = small_rig()
    network = circuit_network(rig, rig.circuits[circuit])
    assert network is not None
    assert len(network.resistors) >= 3
    agree(network, tmp_path)


@pytest.mark.parametrize("power_w", [pytest.param(361.0, id="ngspice, past collapse its answer is not one, 361 W")])
def test_past_collapse(power_w: float, tmp_path: Path) -> None:
    network = single(power_w)
    assert isinstance(solve(network), Collapse)
    assert not sound(network, simulate(network, tmp_path))


def test_the_loops_cover_every_law() -> None:
    laws = {load.law for network in CIRCUITS.values() for load in network.loads}
    assert laws == {"constant-power", "constant-current", "resistive"}
    assert len(CIRCUITS) >= 10
