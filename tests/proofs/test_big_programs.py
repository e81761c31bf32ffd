"""Programs at size, where no state can be looked at one by one: every witness is checked by the evaluator instead."""

from __future__ import annotations

import importlib.util
import statistics
import time
from pathlib import Path
from typing import Any

import pytest

from rigbook.proofs.symbolic import symbolic_evidence
from rigbook.proofs.verdicts import Effort, prove
from rigbook.switching.evaluate import Evaluator, seen_by
from rigbook.switching.program import Program
from rigbook.switching.states import Constraints

BENCHMARK = Path(__file__).parents[2] / "benchmarks" / "programs.py"


def load_benchmark() -> Any:
    """The benchmark's module by its path: it belongs to no package."""
    spec = importlib.util.spec_from_file_location("benchmark_programs", BENCHMARK)
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


big_program = load_benchmark().big_program


def shown(p: Program, evaluator: Evaluator, goal: tuple, values: tuple[int, ...], lost: tuple[int, ...]) -> bool:
    """Whether the state shows what the goal says, by the evaluator."""
    what, which = goal
    gone = frozenset(lost)
    outcome = evaluator.outcome(values, gone)
    if what == "require":
        return not evaluator.requirement_holds(p.requirements[which], values, gone)
    if what == "lost":
        return outcome.active[which] and not evaluator.outcome(values).active[which]
    if what == "two":
        return len(outcome.lit[which]) > 1
    warned = any("warning" in p.devices[i].tags for i in seen_by(outcome, which))
    return evaluator.closures.two(p.warning_when)(values) and not warned


@pytest.mark.parametrize("functions", [30, 60, 120])
def test_every_witness_is_reachable_shows_it_and_cannot_do_with_less(functions: int) -> None:
    met: set[str] = set()
    smaller = 0
    for seed in range(3):
        p = big_program(seed, functions)
        evaluator, rules = Evaluator(p), Constraints(p)
        evidence = symbolic_evidence(p, Effort(dead_positions=False))
        for goal, (values, lost) in evidence.found.items():
            met.add(goal[0])
            assert rules.holds(values, frozenset(lost))
            assert shown(p, evaluator, goal, values, lost), (seed, goal)
            if goal[0] == "lost":
                continue  # which of two meanings applies is not the evaluator's to say
            for i, v in enumerate(p.variables):
                less = tuple(v.rest if k == i else value for k, value in enumerate(values))
                if less != values and rules.holds(less, frozenset(lost)) and goal[0] in ("require", "two"):
                    assert not shown(p, evaluator, goal, less, lost), (seed, goal, v.name)
                    smaller += 1
    assert met >= {"require", "two", "dark", "explained"}
    assert smaller > 30


def test_programs_are_as_large_as_they_should_be() -> None:
    p = big_program(0, 120)
    v = prove(p, effort=Effort(press_events=0))
    assert v.reachable_states > 2**70
    assert len(p.devices) == 68
    assert {r.holds for r in v.requirements} == {True, False}
    kinds = {(x.kind, x.switch_kind, x.timer_kind, x.losable) for x in p.variables}
    assert len(kinds) >= 8
    assert big_program(0, 120) == p


def test_time_grows_no_faster_than_the_programs() -> None:
    """Ratios alone: twelve times the functions, on the same number of devices, in at most twenty-five times the time."""

    def median_s(functions: int) -> float:
        took = []
        for seed in range(3):
            p = big_program(seed, functions)
            start = time.process_time()
            prove(p, effort=Effort(press_events=0))
            took.append(time.process_time() - start)
        return statistics.median(took)

    median_s(10)
    assert median_s(120) < 25 * median_s(10)
