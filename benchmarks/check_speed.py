"""How long a check takes: cold (a process of its own) and warm (the second check in one process).

    python benchmarks/check_speed.py [--builds FILE…] [--repeat N]

Prints JSON. Times are processor time, all cores together, the least of several runs: what else the machine does hardly
counts. `ratio` sets them against a fixed piece of pure-Python work on the same machine, so that two machines, or one
machine on two days, can be compared.
"""

from __future__ import annotations

import argparse
import json
import os
import re
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

EXAMPLES = Path(__file__).parents[1] / "src" / "rigbook" / "data" / "example_shop" / "builds"


def yardstick() -> int:
    """A fixed piece of work: 15 to 50 ms on machines of these years."""
    total = 0
    for number in range(400_000):
        total = (total * 31 + number) % 1_000_003
    return total


def spent_s() -> float:
    """Processor time of this process and of those it has waited for; wall time where the system does not tell."""
    try:
        import resource
    except ModuleNotFoundError:  # Windows
        return time.perf_counter()
    of_children = resource.getrusage(resource.RUSAGE_CHILDREN)
    return time.process_time() + of_children.ru_utime + of_children.ru_stime


def least_s(work: Callable[[], object], repeat: int) -> float:
    """Least time of several runs."""
    times = []
    for _ in range(repeat):
        started = spent_s()
        work()
        times.append(spent_s() - started)
    return min(times)


def start(*words: str, compiled: Path) -> None:
    """`rigbook` as a process of its own, with its compiled files where an earlier one left them, as after any use."""
    environment = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    environment["PYTHONPYCACHEPREFIX"] = str(compiled)
    command = [sys.executable, "-m", "rigbook.cli.main", *words]
    done = subprocess.run(command, capture_output=True, check=False, env=environment)
    assert done.returncode in (0, 1), done.stderr.decode()


def cold_s(path: Path, repeat: int) -> float:
    """A process of its own, as a person starts it the second time."""
    with tempfile.TemporaryDirectory() as compiled:
        start("check", str(path), "--json", compiled=Path(compiled))
        return least_s(lambda: start("check", str(path), "--json", compiled=Path(compiled)), repeat)


def warm_s(path: Path, repeat: int) -> dict[str, float]:
    """Later checks in one process, as the workbench does them.

    `anew`: everything worked out again. `warm`: the same text, with what the first check left. `edited`: after each
    edit that moves one device by some millimetres, and with it wires, drops and masses.
    """
    from rigbook.assess.results_json import dumps
    from rigbook.desk.checking import check
    from rigbook.quantities.kept import Kept

    def run(kept: Kept | None, there: Path = path) -> None:
        dumps(check(there, kept=kept).data)

    run(None)
    kept = Kept()
    run(kept)
    found = {"anew": least_s(lambda: run(None), repeat), "warm": least_s(lambda: run(kept), repeat)}
    with tempfile.TemporaryDirectory() as folder:
        shop = Path(folder) / "shop"
        shutil.copytree(path.parent.parent, shop)
        there = shop / "builds" / path.name
        before = there.read_text(encoding="utf-8")
        times = []
        for number in range(repeat):
            there.write_text(edited(before, number), encoding="utf-8")
            times.append(least_s(lambda: run(kept, there), 1))
        found["edited"] = min(times)
    return found


def edited(source: str, number: int) -> str:
    """The text with the first device that stands at coordinates moved by some millimetres."""
    changed, count = re.subn(
        r" at: \[(-?[\d.]+) m", lambda m: f" at: [{float(m[1]) + (number + 1) / 1000:.3f} m", source, count=1
    )
    assert count == 1, "no device to move"
    return changed


def help_s(repeat: int) -> float:
    """`rigbook --help` as a process of its own."""
    with tempfile.TemporaryDirectory() as compiled:
        start("--help", compiled=Path(compiled))
        return least_s(lambda: start("--help", compiled=Path(compiled)), repeat)


def measure(paths: list[Path], repeat: int) -> dict[str, object]:
    """All figures as plain data."""
    unit = least_s(yardstick, 5)
    helped = help_s(repeat)
    rows = []
    for path in paths:
        cold, later = cold_s(path, repeat), warm_s(path, repeat)
        warm = later["warm"]
        rows.append(
            {
                "build": path.stem,
                "cold_s": round(cold, 4),
                "warm_s": round(warm, 4),
                "anew_s": round(later["anew"], 4),
                "edited_s": round(later["edited"], 4),
                "cold_ratio": round(cold / unit, 2),
                "warm_ratio": round(warm / unit, 2),
                "warm_over_cold": round(warm / cold, 3),
            }
        )
    return {
        "yardstick_s": round(unit, 4),
        "help_s": round(helped, 4),
        "help_ratio": round(helped / unit, 2),
        "repeat": repeat,
        "checks": rows,
    }


def main() -> None:
    """Command line."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--builds", nargs="*", type=Path, help="build files; the example builds where left out")
    parser.add_argument("--repeat", type=int, default=3, help="runs of each, the least counts")
    chosen = parser.parse_args()
    print(json.dumps(measure(chosen.builds or sorted(EXAMPLES.glob("*.yaml")), chosen.repeat), indent=1))


if __name__ == "__main__":
    main()
