from rigbook.switching.evaluate import Evaluator
from tests.switching.sections import EXCERPT, program_of, state_of


def test_excerpt_in_the_states_it_was_written_for():
    program = program_of(EXCERPT)
    evaluator = Evaluator(program)
    lamps = {d.id: i for i, d in enumerate(program.devices)}
    parked = evaluator.outcome(state_of(program, response="on-scene"))
    assert [c for c, _ in parked.lit[lamps["grille-left"]]] == ["blue"]
    assert parked.lit[lamps["grille-right"]][0][1].spans[0].start_ms == 400
    moving = state_of(program, response="responding", gear="drive", ignition="run", siren="wail", siren_armed="yes")
    outcome = evaluator.outcome(moving)
    assert [c for c, _ in outcome.lit[lamps["grille-left"]]] == ["blue", "white"]
    assert outcome.driven[lamps["siren-amp"]] == "wail"
    lost = frozenset({next(i for i, v in enumerate(program.variables) if v.name == "gear")})
    blind = evaluator.outcome(moving, lost)
    assert blind.driven[lamps["siren-amp"]] == "standby"
    assert [c for c, _ in blind.lit[lamps["grille-left"]]] == ["blue"]
    assert all(evaluator.requirement_holds(r, moving, lost) for r in program.requirements)
