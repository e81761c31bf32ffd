"""What is proved of every switching program, and the one door to it: `prove(program)`.

Verdicts are plain frozen records. Where a claim says *never*, it covers every reachable state with or without lost
signals; where it names a fault, the witness is the smallest state that shows it, by the order of
`rigbook.proofs.witness`. Whether a verdict becomes a failure, a caution or a note is not decided here.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from rigbook.switching.program import Program, Witness

Engine = Literal["auto", "symbolic", "brute"]


@dataclass(frozen=True, slots=True)
class Effort:
    """How far `prove` goes.

    engine: which way of proving; `auto` takes the solver, or plain enumeration where no solver is installed.
    standing: whether the standing findings are worked out, or only the requirements.
    dead_positions: whether dead positions and switches are among them.
    leaning: whether it is worked out what the proofs of requirements lean on.
    press_events: most events in a witness's press steps (0: none are looked for, steps are None).
    press_states, press_states_together: most states that the search for one witness's steps, and for all of them,
    looks at. The search takes about a second for 5,000 states; `THOROUGH` goes to the bounds of the language's page.
    brute_states: most states (times sets of lost signals) that plain enumeration takes on.
    """

    engine: Engine = "auto"
    standing: bool = True
    dead_positions: bool = True
    leaning: bool = True
    press_events: int = 12
    press_states: int = 1_000
    press_states_together: int = 3_000
    brute_states: int = 1 << 20


THOROUGH = Effort(press_states=1_000_000, press_states_together=100_000_000)
"""Press steps as far as the page on the language says: 12 events or a million states for each witness."""


@dataclass(frozen=True, slots=True)
class FunctionVerdict:
    """reachable: it is on in some reachable state; effective: it decides or dims some device in one.

    A function that is not reachable is *never on*; reachable and not effective is *always overridden*.
    only_when_lost: the smallest state in which it is on only because signals are lost: with the same values and
    nothing lost it is off, or no reachable state without lost signals has it on at all.
    """

    name: str
    line: int
    reachable: bool
    effective: bool
    only_when_lost: Witness | None = None


@dataclass(frozen=True, slots=True)
class RequirementVerdict:
    """holds: no reachable state breaks it, whatever signals are lost.

    only_when_lost: it is broken, but only in states with lost signals.
    leans_on: where it holds, a smallest-by-removal set of assumptions about the states that the proof needs.
    """

    name: str
    line: int
    holds: bool
    witness: Witness | None = None
    only_when_lost: bool = False
    leans_on: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class NeverLit:
    """A colour of a lamp that no reachable state lights."""

    device: str
    colour: str
    warning: bool  # the lamp carries the tag `warning`


@dataclass(frozen=True, slots=True)
class TwoColours:
    """A lamp that can show one colour at a time is asked for two for a positive time."""

    device: str
    colours: tuple[str, str]
    function: str  # that decides in the witness; empty where the lamp is at rest
    witness: Witness


@dataclass(frozen=True, slots=True)
class DarkZone:
    """`warning_when` holds and the zone sees no lit lamp tagged `warning`.

    explained: in every such state some lamp would be seen were the active cuts inactive.
    """

    zone: str
    explained: bool
    witness: Witness


@dataclass(frozen=True, slots=True)
class DeadPosition:
    """Positions of a switch that do to every device what rest does.

    whole_switch: all its positions but rest. releases_others: it still lets another switch go or holds it off.
    """

    switch: str
    positions: tuple[str, ...]
    whole_switch: bool
    releases_others: bool


@dataclass(frozen=True, slots=True)
class Verdicts:
    """All verdicts of one program, lists in the build file's order. A None was not worked out; `notes` say why."""

    engine: Literal["symbolic", "brute", "none"]
    reachable_states: int | None  # without lost signals; exact
    rest_reachable: bool
    unreachable_because: tuple[str, ...] = ()  # constraints that the rest state breaks
    functions: tuple[FunctionVerdict, ...] | None = None
    requirements: tuple[RequirementVerdict, ...] | None = None
    never_lit: tuple[NeverLit, ...] | None = None
    two_colours: tuple[TwoColours, ...] | None = None
    dark_zones: tuple[DarkZone, ...] | None = None
    dead_positions: tuple[DeadPosition, ...] | None = None
    notes: tuple[str, ...] = field(default=())

    @property
    def never_on(self) -> tuple[str, ...]:
        """Names of the functions that are on in no reachable state."""
        return tuple(f.name for f in self.functions or () if not f.reachable)

    @property
    def always_overridden(self) -> tuple[str, ...]:
        """Names of the functions that can be on but never decide or dim any device."""
        return tuple(f.name for f in self.functions or () if f.reachable and not f.effective)

    @property
    def lost_signal(self) -> tuple[str, ...]:
        """Names of functions and requirements that come on, or fail, only because a signal is lost."""
        functions = tuple(f.name for f in self.functions or () if f.only_when_lost is not None)
        return functions + tuple(r.name for r in self.requirements or () if r.only_when_lost)


def prove(program: Program, *, effort: Effort | None = None) -> Verdicts:
    """Prove the standing findings and every requirement of a compiled program.

    Never raises for what the user wrote. Where the program is too large for the engine at hand, the parts that
    could not be worked out are None and a note says so.
    """
    from rigbook.proofs.engine import run

    return run(program, effort or Effort())
