"""Which way of proving a program takes, and what is said where none can."""

from __future__ import annotations

from importlib.util import find_spec

from rigbook.proofs.counting import count_reachable
from rigbook.proofs.evidence import Evidence, assemble, broken_by_rest
from rigbook.proofs.presses import add_steps
from rigbook.proofs.reading import losable, state_count
from rigbook.proofs.verdicts import Effort, Verdicts
from rigbook.switching.program import Program


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
