"""Currents of any state, for trying a build out step by step."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from rigbook.rig.model import Rig, SavedPoint
from rigbook.switching.logic import Lost, State


def currents_of(rig: Rig) -> Callable[[State, Lost], Mapping[str, float]]:
    """What a whole build draws in a state: average, RMS and peak, A, by label."""
    from rigbook.power.loads import loads_of
    from rigbook.power.waveform import currents
    from rigbook.switching.evaluate import Evaluator
    from rigbook.switching.logic import evaluate_expression

    program, evaluator = rig.program, Evaluator(rig.program)
    runs = dict(program.roles).get("running_when")
    point = SavedPoint("tried", "As tried", (), (), None, rig.build_file, 0)

    def drawn(state: State, lost: Lost) -> Mapping[str, float]:
        running = runs is not None and evaluate_expression(program, runs, state) is True
        loads = loads_of(rig, point, evaluator.outcome(state, lost), running=running)
        found = currents(loads.whole())
        return {"average": found.average_a, "RMS": found.rms_a, "peak": found.peak_a}

    return drawn
