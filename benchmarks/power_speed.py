"""How long the power engine takes: a day of the batteries, networks beside a circuit simulator, a build of 300 devices.

    python benchmarks/power_speed.py [--networks N]

Seconds of processor time, the least of several runs. The simulator's figure is its own "Total analysis time".
"""

from __future__ import annotations

import argparse
import shutil
import sys
import tempfile
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT))
BUILDS = ROOT / "src/rigbook/data/example_shop/builds"


def least(work: Callable[[], object], times: int = 5) -> float:
    """Least processor time of several runs, s."""
    found = []
    for _ in range(times):
        started = time.process_time()
        work()
        found.append(time.process_time() - started)
    return min(found)


def days() -> None:
    """A day and three days of the batteries of each example build."""
    from rigbook.desk.checking import open_build
    from rigbook.power.duty import run_day
    from rigbook.power.duty_case import plant_of

    for path in sorted(BUILDS.glob("*.yaml")):
        rig = open_build(path, judged=False).worked
        if not rig.build.duty:
            continue
        one, three = (least(partial(run_day, rig, plant_of(rig), days=days)) for days in (1, 3))
        print(f"{path.stem}: a day {1e3 * one:.1f} ms, 72 h {1e3 * three:.1f} ms")


def networks(count: int) -> None:
    """Generated networks of 20 to 300 nodes beside the circuit simulator's own analysis."""
    from tests.outside.test_ngspice_generated import simulated, size_of
    from tests.power.networks import generated

    from rigbook.power.network import solve
    from rigbook.power.nodal import Equations

    whole = newton = theirs = 0.0
    with tempfile.TemporaryDirectory() as folder:
        for seed in range(count):
            network = generated(seed, size_of(seed))
            whole += least(partial(solve, network), 3)
            newton += least(Equations(network).solution, 3)
            if shutil.which("ngspice"):
                theirs += simulated(network, Path(folder))[1] or 0.0
    print(f"{count} networks: {whole:.3f} s, of that Newton {newton:.3f} s")
    if theirs:
        print(
            f"  the simulator's analysis {theirs:.3f} s: ratio {newton / theirs:.2f}, with reading and results {whole / theirs:.2f}"
        )


def power(device_count: int) -> None:
    """The power engine on the complete build and on a generated one."""
    from rigbook.desk.checking import open_build
    from rigbook.power.figures import work_out

    complete = open_build(BUILDS / "flood-support-van.yaml", judged=False).worked
    print(f"complete build, {len(complete.devices)} devices: {least(lambda: work_out(complete), 3):.3f} s")
    with tempfile.TemporaryDirectory() as folder:
        from benchmarks.generated_build import write_shop

        path = write_shop(Path(folder), device_count)
        assessment = open_build(path, judged=False)
        assert not assessment.errors, assessment.errors[:3]
        rig = assessment.worked
        print(f"generated build, {len(rig.devices)} devices: {least(lambda: work_out(rig), 3):.3f} s")


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--networks", type=int, default=40)
    parser.add_argument("--devices", type=int, default=300)
    asked = parser.parse_args()
    days()
    networks(asked.networks)
    power(asked.devices)
