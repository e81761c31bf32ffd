"""What each zone sees of each colour of the warning lamps while a mode holds, proved over every reachable state."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType

from rigbook.proofs.verdicts import Effort, RequirementVerdict, prove
from rigbook.rig.model import Rig
from rigbook.rules.facts import holds, read_when
from rigbook.rules.judge import Pack
from rigbook.rules.measures import ModeColour
from rigbook.rules.measures_colour import FACTS, ZONES, facts_of
from rigbook.switching.program import All, Mode, Not, Program, Requirement, SeenPredicate

WARNING = "warning"
ASKS: Mapping[str, str] = MappingProxyType({"mode_zone_colour": "shown", "mode_zone_always": "missing"})
"""Measures of colour, and the question each needs answered."""


@dataclass(frozen=True, slots=True)
class Question:
    """Is there a state of the mode that shows the colour to the zone (`shown`), or that does not (`missing`)?"""

    mode: Mode
    zone: str
    colour: str
    what: str

    @property
    def name(self) -> str:
        """A name of its own."""
        return f"{self.mode.id}.{self.zone}.{self.colour}.{self.what}"


def questions(program: Program, packs: Sequence[Pack]) -> tuple[Question, ...]:
    """What the rows of the packs ask: modes, zones and the colours that some warning lamp has, narrowed by `when`."""
    colours = dict.fromkeys(c for d in program.devices if WARNING in d.tags for c in d.colours)
    rows = [row for pack in packs for row in pack.rows if row.measure in ASKS]
    wanted: list[tuple[str, Callable[[Mapping[str, str | bool]], bool]]] = []
    for row in rows:
        node = None if row.when is None else read_when(row.when.text, FACTS)
        wanted.append((ASKS[row.measure], lambda facts, node=node: node is None or holds(node, facts)))  # type: ignore[misc]
    return tuple(
        Question(mode, zone, colour, what)
        for mode in program.modes
        for zone in ZONES
        for colour in colours
        for what in ("shown", "missing")
        if any(asks == what and holds_of(facts_of(mode.id, mode.purpose, zone, colour)) for asks, holds_of in wanted)
    )


def warning_alone(program: Program) -> Program:
    """The program with every lamp that is not a warning lamp showing to no zone."""
    devices = tuple(
        d if WARNING in d.tags else replace(d, poses=tuple(replace(p, zones=frozenset()) for p in d.poses))
        for d in program.devices
    )
    return replace(program, devices=devices)


def mode_colours(rig: Rig, packs: Sequence[Pack]) -> tuple[ModeColour, ...]:
    """Answers to what the packs ask, in the order of modes, zones and colours.

    Each question is put to the prover as a requirement that is *broken* where the answer is yes, so a witness comes
    with it. Empty where nothing is asked, or where the prover could not work requirements out.
    """
    program = rig.program
    asked = questions(program, packs)
    if not asked:
        return ()
    requirements: list[Requirement] = []
    for question in asked:
        seen = SeenPredicate(question.zone, question.colour)
        predicate = seen if question.what == "shown" else Not(seen)  # type: ignore[arg-type]
        never = All((question.mode.when, predicate))  # type: ignore[arg-type]
        requirements.append(Requirement(question.name, never, rig.build_file, 0))
    verdicts = prove(
        replace(warning_alone(program), requirements=tuple(requirements)),
        effort=Effort(press_events=0, standing=False, leaning=False),
    )
    answers = {v.name: v for v in verdicts.requirements or ()}
    if not answers:
        return ()
    triples = dict.fromkeys((q.mode.id, q.mode.purpose, q.zone, q.colour) for q in asked)
    return tuple(_answer(*triple, answers) for triple in triples)


def _answer(mode: str, purpose: str, zone: str, colour: str, answers: Mapping[str, RequirementVerdict]) -> ModeColour:
    shown = answers.get(f"{mode}.{zone}.{colour}.shown")
    missing = answers.get(f"{mode}.{zone}.{colour}.missing")
    return ModeColour(
        mode=mode,
        purpose=purpose,
        zone=zone,
        colour=colour,
        ever=None if shown is None else not shown.holds,
        always=None if missing is None else missing.holds,
        shown_in=None if shown is None else shown.witness,
        missing_in=None if missing is None else missing.witness,
    )
