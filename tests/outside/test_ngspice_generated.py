"""The whole-network solver against ngspice on generated networks of 20 to 300 nodes: every node within 1 mV."""

from __future__ import annotations

import re
import shutil
import subprocess
import time
from pathlib import Path

import pytest
from tests.outside.test_ngspice import imbalance_a, netlist, nodes_of
from tests.power.networks import LAWS, generated

from rigbook.power.network import Network, Solution, solve
from rigbook.power.nodal import Equations

pytestmark = [
    pytest.mark.outside,
    pytest.mark.skipif(shutil.which("ngspice") is None, reason="ngspice is not installed: apt-get install ngspice"),
]
_VOLTS = re.compile(r"^v\((n\d+)\) = (\S+)$", re.MULTILINE)
_TIME = re.compile(r"^Total analysis time \(seconds\) = (\S+)", re.MULTILINE)
WITHIN_V = 1e-3


def size_of(seed: int) -> int:
    """Sizes spread from 20 to 300 nodes."""
    return 20 + (seed * 47) % 281


def simulated(network: Network, folder: Path) -> tuple[dict[str, float], float | None]:
    """Node voltages the simulator prints, and its analysis time in s."""
    path = folder / "generated.cir"
    path.write_text(netlist(network).replace("quit\n", "rusage\nquit\n"), encoding="ascii")
    ran = subprocess.run(["ngspice", "-b", str(path)], capture_output=True, text=True, timeout=120, check=False)
    printed = dict(_VOLTS.findall(ran.stdout))
    names = nodes_of(network)
    assert len(printed) == len(names), ran.stdout[-2000:] + ran.stderr[-2000:]
    took = _TIME.search(ran.stdout)
    volts = {node: float(printed[f"n{index}"]) for index, node in enumerate(names, 1)} | {"0": 0.0}
    return volts, None if took is None else float(took.group(1))


def analysis_s(equations: Equations) -> float:
    """Processor time of Newton on the equations as laid down: what the simulator's own analysis time stands for."""
    started = time.process_time()
    equations.solution()
    return time.process_time() - started


def compare(seeds: range, folder: Path) -> tuple[float, float, float]:
    """Worst difference in V, our seconds and the simulator's; asserts what was reached."""
    worst, ours, theirs = 0.0, 0.0, 0.0
    laws, loops, two, sizes, judged = set(), 0, 0, [], 0
    for seed in seeds:
        network = generated(seed, size_of(seed))
        found = solve(network)
        equations = Equations(network)
        ours += min(analysis_s(equations) for _ in range(3))
        assert isinstance(found, Solution)
        volts, took = simulated(network, folder)
        theirs += took or 0.0
        # the simulator's answer counts where its own currents balance
        assert imbalance_a(network, volts) < 1e-3
        worst = max(worst, *(abs(found.node_v[node] - value) for node, value in volts.items() if node in found.node_v))
        judged += 1
        laws |= {x.law for x in network.loads}
        loops += sum(r.id.startswith("loop") for r in network.resistors)
        two += len(network.sources) == 2
        sizes.append(len(nodes_of(network)))
    assert judged == len(seeds) and laws == set(LAWS) and loops > len(seeds) / 2 and 0 < two < len(seeds)
    assert min(sizes) < 60 and max(sizes) > 220
    return worst, ours, theirs


def test_thirty_generated_networks(tmp_path: Path) -> None:
    worst, _, _ = compare(range(30), tmp_path)
    assert worst < WITHIN_V


@pytest.mark.long
def test_two_hundred_generated_networks(tmp_path: Path) -> None:
    worst, ours, theirs = compare(range(200), tmp_path)
    assert worst < WITHIN_V
    assert ours <= theirs, f"{ours / theirs:.2f} times the simulator's own analysis"
    print(f"worst {1e3 * worst:.3g} mV; ours {ours:.3f} s, the simulator's analysis {theirs:.3f} s")


def test_every_saved_state_of_the_example_builds(tmp_path: Path) -> None:
    from rigbook.desk.checking import open_build
    from rigbook.power.loads import state_loads
    from rigbook.power.vehicle_network import VehicleSolution, solve_state

    builds = Path(__file__).parents[2] / "src/rigbook/data/example_shop/builds"
    looked = 0
    for name in ("boat-crew-pickup", "duty-officer-utility", "flood-support-van"):
        rig = open_build(builds / f"{name}.yaml", judged=False).worked
        for state in state_loads(rig):
            found = solve_state(rig, state)
            assert isinstance(found, VehicleSolution)
            volts, _ = simulated(found.network, tmp_path)
            assert imbalance_a(found.network, volts) < 1e-3, (name, state.point.id)
            mine = found.solution.node_v
            assert max(abs(mine[node] - value) for node, value in volts.items() if node in mine) < WITHIN_V
            looked += 1
    assert looked > 15
