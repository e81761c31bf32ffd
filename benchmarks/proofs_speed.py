"""How long proofs of switching and worst cases take, by the number of functions, one core, warm.

    python benchmarks/proofs_speed.py [SEEDS]

Prints one line a size: states, then median, 95th percentile and greatest seconds over the seeds for all proofs with
the worst average and peak of 40 outputs, 12 fuses and 4 modules; then for the whole vehicle's worst average and peak,
and the greatest gap of a peak that is only a bound, in per cent. Last, where a program is small enough, the same proofs
by looking at every state.
"""

from __future__ import annotations

import random
import statistics
import sys
import time
from collections.abc import Iterable
from fractions import Fraction
from typing import Any

from programs import big_program

from rigbook.power.flowing import Flow
from rigbook.power.instants import parts_of
from rigbook.power.waveform import Wave, WaveSpan, exact, mean_a, steady
from rigbook.proofs.acts import Act, acts_of
from rigbook.proofs.verdicts import Effort, prove
from rigbook.proofs.worst import Prover, Worst
from rigbook.switching.program import Program

CURRENTS_A = (0.45, 0.85, 1.2, 1.5, 2.1, 3.3)
SCALE = 100
OUTPUTS = tuple((lamp,) for lamp in range(8, 48))
FUSES = tuple(tuple(range(first, first + 5)) for first in range(0, 60, 5))
MODULES = tuple(tuple(range(first, 60, 4)) for first in range(4))


def wave_of(act: Act, *, current_a: float, clock: str) -> Wave:
    """An act's current."""
    if act.timeline is None:
        return steady(clock=clock, current_a=exact(current_a))
    spans = (
        WaveSpan(s.start_ms, s.end_ms, exact(current_a), exact(s.intensity_from))
        for s in act.timeline.spans
        if s.intensity_from > 0
    )
    return Wave(clock, act.timeline.period_ms, tuple(spans))


def flows_by_device(program: Program, seed: int) -> dict[int, list[Flow]]:
    """A current for every colour and state."""
    rng = random.Random(seed)
    nothing: Any = None  # a benchmark program has no rig, so no draws
    found: dict[int, list[Flow]] = {}
    for index, device in enumerate(program.devices):
        current_a = {channel: rng.choice(CURRENTS_A) for channel in device.colours or device.states}
        found[index] = [
            Flow(nothing, act, wave_of(act, current_a=current_a[act.channel], clock=device.clock))
            for act in acts_of(program, index)
        ]
    return found


def worst_average(prover: Prover, flows: Iterable[Flow]) -> Worst:
    """The greatest mean."""
    weights: dict[Act, tuple[Fraction]] = {}
    for flow in flows:
        weights[flow.act] = (weights.get(flow.act, (Fraction(0),))[0] + mean_a([flow.wave]),)
    found = prover.sum([weights])
    assert found is not None
    return found


def worst_peak(prover: Prover, flows: Iterable[Flow]) -> Worst:
    """The greatest peak."""
    found = prover.sum(parts_of(flows, scale=SCALE)[0])
    assert found is not None
    return found


def spread(took: list[float]) -> str:
    """Median, 95th percentile, greatest."""
    took.sort()
    high = took[min(len(took) - 1, int(0.95 * len(took)))]
    return f"{statistics.median(took):8.3f} {high:8.3f} {took[-1]:8.3f}"


def measure(functions: int, seeds: int) -> str:
    """One line of the table."""
    proofs, average, peak, gap, bits = [], [], [], 0.0, 0
    for seed in range(seeds):
        program = big_program(seed, functions)
        flows = flows_by_device(program, seed)
        start = time.perf_counter()
        verdicts = prove(program, effort=Effort(engine="symbolic", press_events=0))
        prover = Prover(program)
        for devices in (*OUTPUTS, *FUSES, *MODULES):
            own = [flow for device in devices for flow in flows[device]]
            assert not worst_average(prover, own).bound
            assert not worst_peak(prover, own).bound
        proofs.append(time.perf_counter() - start)
        every = [flow for own in flows.values() for flow in own]
        start = time.perf_counter()
        assert not worst_average(prover, every).bound
        average.append(time.perf_counter() - start)
        start = time.perf_counter()
        found = worst_peak(prover, every)
        peak.append(time.perf_counter() - start)
        gap = max(gap, 100 * float((found.upper - found.best) / found.upper))
        prover.close()
        bits = max(bits, (verdicts.reachable_states or 0).bit_length() - 1)
    return f"{functions:9d}  2^{bits:<4d} {spread(proofs)}   {spread(average)}   {spread(peak)}  {gap:5.1f}"


def by_brute(seeds: int) -> str:
    """The proofs of the smallest programs by looking at every state."""
    took = []
    for seed in range(seeds):
        program = big_program(seed, 10)
        start = time.perf_counter()
        found = prove(program, effort=Effort(engine="brute", press_events=0))
        if found.engine == "brute":
            took.append(time.perf_counter() - start)
    return f"every state, 10 functions, {len(took)} programs: {spread(took)}" if took else "every state: too many"


def main() -> None:
    """Measure every size."""
    seeds = int(sys.argv[1]) if len(sys.argv) > 1 else 10
    prove(big_program(0, 10), effort=Effort(engine="symbolic", press_events=0))
    print(
        "           states proofs, outputs, fuses, modules   whole average                whole peak                gap"
    )
    print(
        "functions          median     95 %  greatest      median     95 %  greatest      median     95 %  greatest   %"
    )
    for functions in (10, 30, 60, 120):
        print(measure(functions, seeds), flush=True)
    print(by_brute(min(seeds, 3)))


if __name__ == "__main__":
    main()
