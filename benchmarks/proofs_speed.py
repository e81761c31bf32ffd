"""How long the proofs of switching take, by the number of functions; `python benchmarks/proofs_speed.py [SEEDS]`.

Prints one line a size: states, then median, 95th percentile and greatest seconds over the seeds, one core, warm.
"""

from __future__ import annotations

import statistics
import sys
import time

from programs import big_program

from rigbook.proofs.verdicts import Effort, prove


def measure(functions: int, seeds: int) -> str:
    """One line of the table."""
    took = []
    bits = 0
    for seed in range(seeds):
        program = big_program(seed, functions)
        start = time.perf_counter()
        verdicts = prove(program, effort=Effort(engine="symbolic", press_events=0))
        took.append(time.perf_counter() - start)
        bits = max(bits, (verdicts.reachable_states or 0).bit_length() - 1)
    took.sort()
    worst = took[min(len(took) - 1, int(0.95 * len(took)))]
    return f"{functions:9d}  2^{bits:<6d} {statistics.median(took):8.3f} {worst:8.3f} {took[-1]:8.3f}"


def main() -> None:
    """Measure every size."""
    seeds = int(sys.argv[1]) if len(sys.argv) > 1 else 10
    prove(big_program(0, 10), effort=Effort(engine="symbolic", press_events=0))
    print("functions  states     median      95 %  greatest (s)")
    for functions in (10, 30, 60, 120):
        print(measure(functions, seeds))


if __name__ == "__main__":
    main()
