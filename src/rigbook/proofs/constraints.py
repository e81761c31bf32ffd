"""The constraints on the reachable states, as literals."""

from __future__ import annotations

from rigbook.proofs.encoding import Encoding
from rigbook.proofs.gates import FALSE
from rigbook.switching.program import Variable


def broken(encoding: Encoding) -> list[int]:
    """For each constraint, in the order of `constraint_labels`, whether the state breaks it.

    Releases, memories and timers go by what is known to hold; `impossible` goes by the true values.
    """
    program, gates = encoding.program, encoding.gates
    result = [encoding.truth(expression) for expression, _file, _line in program.impossible]
    for group in program.exclusive:
        on = [encoding.values[i][1] for i in group]
        result.append(gates.any_of([gates.all_of((a, b)) for k, a in enumerate(on) for b in on[:k]]))
    for index, variable in enumerate(program.variables):
        if variable.kind == "switch" and variable.releases_when is not None:
            holds, _fails = encoding.rails(variable.releases_when)
            result.append(gates.all_of((encoding.values[index][1], holds)))
        elif variable.kind == "memory":
            result.append(_memory(encoding, index, variable))
        elif variable.kind == "timer" and variable.timer_kind != "pulse" and variable.condition is not None:
            result.append(_timer(encoding, index, variable))
    return result


def _memory(encoding: Encoding, index: int, variable: Variable) -> int:
    gates, values = encoding.gates, encoding.values[index]
    if variable.stepping:
        if variable.first_when is None:
            return FALSE
        return gates.all_of((-values[0], encoding.rails(variable.first_when)[0]))
    clears = FALSE if variable.clear_when is None else encoding.rails(variable.clear_when)[0]
    sets = FALSE if variable.set_when is None else encoding.rails(variable.set_when)[0]
    return gates.any_of((gates.all_of((values[1], clears)), gates.all_of((values[0], sets, -clears))))


def _timer(encoding: Encoding, index: int, variable: Variable) -> int:
    assert variable.condition is not None
    holds = encoding.rails(variable.condition)[0]
    no, yes = encoding.values[index]
    if variable.timer_kind == "on_delay":
        return encoding.gates.all_of((yes, -holds))
    # After its longest time an off-delay may be false although its condition holds.
    return FALSE if variable.at_most_ms is not None else encoding.gates.all_of((no, holds))
