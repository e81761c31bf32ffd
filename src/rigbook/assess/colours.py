"""What each zone sees of each colour while a mode holds, proved over every reachable state."""

from __future__ import annotations

from dataclasses import replace

from rigbook.proofs.verdicts import Effort, RequirementVerdict, prove
from rigbook.rig.model import Rig
from rigbook.rules.measures import ModeColour
from rigbook.switching.program import All, Mode, Not, Program, Requirement, SeenPredicate

ZONES = ("front", "right", "rear", "left")


def questions(program: Program) -> tuple[tuple[Mode, str, str], ...]:
    """Mode, zone and colour of everything worth asking: the colours that some lamp has, in the program's order."""
    colours = dict.fromkeys(c for d in program.devices for c in d.colours)
    return tuple((mode, zone, colour) for mode in program.modes for zone in ZONES for colour in colours)


def mode_colours(rig: Rig) -> tuple[ModeColour, ...]:
    """Ask the prover: for each question, is there a state of the mode that shows the colour, and one that does not?

    The two questions are put as requirements that are *broken* where the answer is yes, so witnesses come with them.
    Empty where the prover could not work requirements out.
    """
    program = rig.program
    asked = questions(program)
    if not asked:
        return ()
    requirements: list[Requirement] = []
    for mode, zone, colour in asked:
        seen = SeenPredicate(zone, colour)
        for what, predicate in (("shown", seen), ("missing", Not(seen))):  # type: ignore[arg-type]
            name = f"{mode.id}.{zone}.{colour}.{what}"
            requirements.append(Requirement(name, All((mode.when, predicate)), rig.build_file, 0))  # type: ignore[arg-type]
    verdicts = prove(
        replace(program, requirements=tuple(requirements)), effort=Effort(press_events=0, dead_positions=False)
    )
    answers = {v.name: v for v in verdicts.requirements or ()}
    if not answers:
        return ()
    return tuple(_answer(mode, zone, colour, answers) for mode, zone, colour in asked)


def _answer(mode: Mode, zone: str, colour: str, answers: dict[str, RequirementVerdict]) -> ModeColour:
    shown = answers[f"{mode.id}.{zone}.{colour}.shown"]
    missing = answers[f"{mode.id}.{zone}.{colour}.missing"]
    return ModeColour(
        mode=mode.id,
        purpose=mode.purpose,
        zone=zone,
        colour=colour,
        ever=not shown.holds,
        always=missing.holds,
        shown_in=shown.witness,
        missing_in=missing.witness,
    )
