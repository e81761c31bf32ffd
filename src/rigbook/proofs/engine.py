"""Which way of proving a program takes, and what is said where none can."""

from __future__ import annotations

from importlib.util import find_spec

from rigbook.proofs.counting import count_reachable
from rigbook.proofs.evidence import Evidence, assemble, broken_by_rest
from rigbook.proofs.presses import find_steps
from rigbook.proofs.quick_presses import QuickSearch
from rigbook.proofs.reading import losable, state_count
from rigbook.proofs.verdicts import Effort, Verdicts
from rigbook.switching.program import Program

LANGUAGE_STATES = 1_000_000
"""How far the page on the language has the search for press steps go."""


def run(program: Program, effort: Effort) -> Verdicts:
    """Prove by the engine that the effort names, or by the better of those at hand."""
    solver = find_spec("pysat") is not None
    if effort.engine == "symbolic" or (effort.engine == "auto" and solver):
        from rigbook.proofs.symbolic import symbolic_evidence

        return _finish(program, symbolic_evidence(program, effort), effort)
    size = state_count(program) << len(losable(program))
    if size <= effort.brute_states:
        from rigbook.proofs.enumeration import enumerate_verdicts

        return _finish(program, enumerate_verdicts(program, effort), effort)
    because = broken_by_rest(program)
    return Verdicts(
        engine="none",
        reachable_states=count_reachable(program),
        rest_reachable=not because,
        unreachable_because=because,
        notes=(
            f"verdicts not worked out: {size} states with lost signals are more than the {effort.brute_states} that are "
            "looked at one by one, and no solver is installed (package python-sat)",
        ),
    )


def _finish(program: Program, evidence: Evidence, effort: Effort) -> Verdicts:
    add_steps(program, evidence, effort)
    return assemble(program, evidence)


def add_steps(program: Program, evidence: Evidence, effort: Effort) -> None:
    """Look for press steps to every witness found, within the effort's bounds; a note says where these bit.

    Shortest ones first; where that search is cut short, any that the quick search finds.
    """
    if effort.press_events <= 0:
        return
    left = effort.press_states_together
    quick = QuickSearch(program, most_states=effort.press_states, together=left)
    cut_short = 0
    for state in dict.fromkeys(evidence.found.values()):
        sought = find_steps(
            program, state, most_events=effort.press_events, most_states=max(0, min(left, effort.press_states))
        )
        left -= sought.states
        if sought.cut_short:
            sought = quick.find(state)
        cut_short += sought.cut_short
        if sought.events is not None:
            evidence.steps[state] = tuple(str(event) for event in sought.events)
    if cut_short and effort.press_states < LANGUAGE_STATES:
        evidence.notes.append(
            f"press steps of {cut_short} witnesses were not looked for beyond {effort.press_states} states each and "
            f"{effort.press_states_together} together"
        )
