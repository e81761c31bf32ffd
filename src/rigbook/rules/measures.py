"""Named measures: what a rule row can speak of.

A measure is a function of the results that yields readings. Its docstring names the unit, the formula and where the
formula is from; a row of a pack names the measure and sets the limit. The registry is built once from tuples of
measures and refuses two of one name.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import TYPE_CHECKING, Literal

from rigbook.rig.model import Rig
from rigbook.switching.program import Witness

if TYPE_CHECKING:
    from rigbook.body.result import BodyResult
    from rigbook.light.engine import Light
    from rigbook.money.result import MoneyResult
    from rigbook.power.result import PowerResult
    from rigbook.proofs.verdicts import Verdicts

Per = Literal[
    "whole",
    "circuit",
    "feed",
    "module",
    "device",
    "zone",
    "mode",
    "axle",
    "side",
    "mount",
    "lid",
    "face",
    "area",
    "pair",
]
Fact = str | bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Results:
    """Everything the engines found, as measures see it. None: that engine gave nothing, and a note says why."""

    rig: Rig
    verdicts: Verdicts | None = None
    colours: tuple[ModeColour, ...] | None = None
    power: PowerResult | None = None
    light: Light | None = None
    body: BodyResult | None = None
    money: MoneyResult | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ModeColour:
    """What a zone sees of a colour while a mode holds, over every reachable state, with or without lost signals.

    ever: some state of the mode shows the colour to the zone. always: every state of the mode does. None: not asked.
    """

    mode: str
    purpose: str
    zone: str
    colour: str
    ever: bool | None
    always: bool | None
    shown_in: Witness | None = None
    missing_in: Witness | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """One value of a measure.

    `value` is in the measure's unit; `limits` are limits that the subject brings itself, by the name a row may give
    instead of a figure (`at_most: rating`); `words` fill further blanks of a row's sentence; `figure` is the id of
    the figure of `check --json` that the value is.
    """

    subject: str
    value: float
    file: str
    line: int | None
    limits: Mapping[str, float] = field(default_factory=lambda: MappingProxyType({}))
    words: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    facts: Mapping[str, Fact] = field(default_factory=lambda: MappingProxyType({}))
    witness: Witness | None = None
    figure: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Measure:
    """A registered measure. `facts` maps a fact's name to its values, or to None for yes/no; `()` leaves them open."""

    name: str
    per: Per
    unit: str
    take: Callable[[Results], Iterator[Reading]]
    limits: tuple[str, ...] = ()
    words: tuple[str, ...] = ()
    facts: Mapping[str, tuple[str, ...] | None] = field(default_factory=lambda: MappingProxyType({}))

    @property
    def about(self) -> str:
        """The docstring: unit, formula, source."""
        return (self.take.__doc__ or "").strip()


class DuplicateMeasure(ValueError):
    """Two measures share a name."""


def registry_of(*groups: Iterable[Measure]) -> Mapping[str, Measure]:
    """All measures by name.

    Raises:
        DuplicateMeasure: a name is registered twice.
        ValueError: a measure has no docstring.
    """
    made: dict[str, Measure] = {}
    for group in groups:
        for measure in group:
            if measure.name in made:
                raise DuplicateMeasure(f"measure {measure.name} is registered twice")
            if not measure.about:
                raise ValueError(f"measure {measure.name} does not say its unit, formula and source")
            made[measure.name] = measure
    return MappingProxyType(made)


def registry() -> Mapping[str, Measure]:
    """The measures that ship."""
    from rigbook.rules import (
        measures_body,
        measures_bundles,
        measures_colour,
        measures_day,
        measures_light,
        measures_light_texts,
        measures_marking,
        measures_protection,
        measures_scene,
        measures_supply,
        measures_vehicle,
        measures_wiring,
    )

    return registry_of(
        measures_wiring.MEASURES,
        measures_supply.MEASURES,
        measures_vehicle.MEASURES,
        measures_colour.MEASURES,
        measures_light.MEASURES,
        measures_light_texts.MEASURES,
        measures_body.MEASURES,
        measures_marking.MEASURES,
        measures_protection.MEASURES,
        measures_scene.MEASURES,
        measures_bundles.MEASURES,
        measures_day.MEASURES,
    )
