"""Measures of colour: what a zone sees while a mode holds."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from types import MappingProxyType

from rigbook.rules.measures import Measure, ModeColour, Reading, Results
from rigbook.rules.proved import witness_words
from rigbook.switching.program import Witness

ZONES = ("front", "right", "rear", "left")
PURPOSES = ("calling", "blocking", "work", "command", "travel")


def mode_zone_colour(results: Results) -> Iterator[Reading]:
    """1 where some reachable state of a mode shows a colour of a warning lamp to a zone, else 0.

    Unit: count. A lamp shows to a zone when its present facing covers it and its tilt is within 45 deg of the
    horizon [common practice, no source]. Source: proof over every reachable state, with or without lost signals.
    """
    for seen in results.colours or ():
        if seen.ever is not None:
            yield _reading(results, seen, 1.0 if seen.ever else 0.0, seen.shown_in)


def mode_zone_always(results: Results) -> Iterator[Reading]:
    """1 where every reachable state of a mode shows a colour of a warning lamp to a zone, else 0.

    Unit: count. As for `mode_zone_colour`; the witness is a state of the mode that does not.
    """
    for seen in results.colours or ():
        if seen.always is not None:
            yield _reading(results, seen, 1.0 if seen.always else 0.0, seen.missing_in)


def facts_of(mode: str, purpose: str, zone: str, colour: str) -> Mapping[str, str | bool]:
    """What a row may ask of a subject."""
    return {"mode": mode, "purpose": purpose, "zone": zone, "colour": colour}


def _reading(results: Results, seen: ModeColour, value: float, witness: Witness | None) -> Reading:
    mode = next((m for m in results.rig.build.switching.modes if m.id == seen.mode), None)
    return Reading(
        subject=f"{seen.mode}.{seen.zone}.{seen.colour}",
        value=value,
        file=results.rig.build_file,
        line=mode.where.line if mode else None,
        words={"mode": seen.mode, "zone": seen.zone, "colour": seen.colour, "witness": witness_words(witness)},
        facts=facts_of(seen.mode, seen.purpose, seen.zone, seen.colour),
        witness=witness,
    )


FACTS = MappingProxyType({"mode": (), "purpose": PURPOSES, "zone": ZONES, "colour": ()})
WORDS = ("mode", "zone", "colour", "witness")
MEASURES: tuple[Measure, ...] = (
    Measure(name="mode_zone_colour", per="pair", unit="count", take=mode_zone_colour, words=WORDS, facts=FACTS),
    Measure(name="mode_zone_always", per="pair", unit="count", take=mode_zone_always, words=WORDS, facts=FACTS),
)
