"""The `switching:` section of a build (see docs on the language)."""

# ruff: noqa: RUF012 -- records are frozen, and pydantic copies their defaults

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from pydantic import Field

from rigbook.documents.schema.base import PlacedText, Problem, Record
from rigbook.documents.schema.scalars import Count, Duration, Fraction, Name, Share, Text, YesNo


class Switch(Record):
    id: Name
    """Name of the switch in expressions."""
    label: Text | None = None
    """Legend on the panel; the id where it is left out."""
    kind: Literal["slide", "rotary", "rocker", "latching", "momentary"]
    """What a hand does with it."""
    positions: list[Name] | None = None
    """Named positions in order, the first is rest (slide, rotary, rocker)."""
    springs_back: dict[Name, Name] = {}
    """Positions that spring back when let go, and to which one."""
    panel: Name | None = None
    """The face it sits on."""
    tap_under: Duration | None = None
    """A momentary press shorter than this is a tap, a longer one a hold."""
    releases_when: PlacedText | None = None
    """Condition that lets a latching switch go."""
    input: PlacedText | dict[Name, PlacedText] | None = None
    """Controller input it is wired to, or one for each position."""
    link: Name | None = None
    """Installed switch panel on a data link that carries it."""
    node: Name | None = None
    """Route node where its wire to an input begins, for one that sits on no panel."""
    note: Text | None = None
    """For the people in the bay."""


class Signal(Record):
    id: Name
    """Name of the signal in expressions."""
    values: list[Name] | None = None
    """Named values in order; yes/no where left out."""
    rest: Name | None = None
    """Value at rest; the first (yes/no: no) where left out."""
    source: Literal["data-bus", "wire", "sensor"] | None = None
    """Where it comes from. A data-bus signal may be lost."""
    from_: Text | None = Field(default=None, alias="from")
    """Data-bus signal as FAMILY.SIGNAL."""
    input: PlacedText | None = None
    """Controller input a wire signal ends on."""
    node: Name | None = None
    """Route node where its wire begins: its sensor, or where the vehicle offers it."""
    active: Literal["ground", "battery"] | None = None
    """What the wire carries when the signal is yes."""
    settles: Duration | None = None
    """Bounce time of a wire signal."""
    broken_reads: Name | None = None
    """Value a broken wire reads."""
    measures: PlacedText | None = None
    """A measured value: voltage.BATTERY, speed or temperature.AREA."""
    below: Text | None = None
    """Yes below this threshold."""
    above: Text | None = None
    """Yes above this threshold."""
    for_: Duration | None = Field(default=None, alias="for")
    """The threshold must hold so long."""
    clears_above: Text | None = None
    """A `below` signal returns to no above this."""
    clears_below: Text | None = None
    """An `above` signal returns to no below this."""
    note: Text | None = None
    """For the people in the bay."""


class Memory(Record):
    id: Name
    """Name of the memory in expressions."""
    set_when: PlacedText | None = None
    """Condition or event that sets it."""
    clear_when: PlacedText | None = None
    """Condition or event that clears it; clear wins."""
    starts: Name | None = None
    """Value at power-up: yes or no, or a step."""
    steps: list[Name] | None = None
    """Values it steps through, round and round."""
    next_on: PlacedText | None = None
    """Event, or condition turning true, that steps it on."""
    first_when: PlacedText | None = None
    """Condition that holds it at its first step."""
    note: Text | None = None
    """For the people in the bay."""


class Timer(Record):
    id: Name
    """Name of the timer in expressions."""
    off_delay: PlacedText | None = None
    """True while this holds and `for` longer."""
    on_delay: PlacedText | None = None
    """True once this has held for `for`."""
    pulse: PlacedText | None = None
    """True for `for` from the moment this turns true."""
    for_: Duration = Field(alias="for")
    """The time."""
    at_most: Duration | None = None
    """An off-delay ends after this at the latest."""
    again_after: Duration | None = None
    """A pulse does not start again before this pause."""
    note: Text | None = None
    """For the people in the bay."""


class Sequence(Record):
    kind: Literal["fill", "walk"]
    """Fill keeps earlier lamps lit, walk moves one."""
    order: Literal["left-to-right", "right-to-left", "front-to-rear", "rear-to-front", "out-to-in", "in-to-out"]
    """Which lamp comes first; left and right as seen from the driver's seat looking ahead."""
    step: Duration
    """Time from one lamp to the next."""
    hold: Duration
    """Time the last step stays."""
    gap: Duration
    """Dark time at the end."""


class ColourShow(Record):
    pattern: PlacedText | None = None
    """Name of a pattern; steady where left out."""
    phase: Fraction | dict[Text, Fraction] | None = None
    """Shift as a fraction of the period, or a map from selectors to fractions."""
    intensity: Share | None = None
    """Brightness; 100 % where left out."""
    sequence: Sequence | None = None
    """Lamps one after another instead of a pattern."""


class Show(Record):
    lamps: PlacedText | list[PlacedText]
    """Selector of the lamps."""
    colour: PlacedText | None = None
    """The one colour shown."""
    pattern: PlacedText | None = None
    """Name of a pattern; steady where left out."""
    phase: Fraction | dict[Text, Fraction] | None = None
    """Shift as a fraction of the period, or a map from selectors to fractions."""
    intensity: Share | None = None
    """Brightness; 100 % where left out."""
    sequence: Sequence | None = None
    """Lamps one after another instead of a pattern."""
    colours: dict[Name, ColourShow] | None = None
    """Several colours, each with pattern, phase, intensity or sequence of its own."""
    undimmed: YesNo = False
    """Dims do not touch it."""


class Dim(Record):
    lamps: PlacedText | list[PlacedText]
    """Selector of the lamps."""
    to: Share
    """Intensity is scaled to this."""


class Drive(Record):
    device: PlacedText
    """Installed device (selector of one or more)."""
    state: PlacedText
    """State it is put into."""


class Function(Record):
    name: Text
    """What the function is called on paper."""
    rank: PlacedText
    """Its rank; a higher one wins."""
    when: PlacedText
    """Its condition."""
    if_unknown: Literal["off", "on"] = "off"
    """What it does when a lost signal leaves its condition unknown."""
    show: list[Show] = []
    """Lamps it lights."""
    drive: list[Drive] = []
    """Other devices it drives."""
    cut: PlacedText | list[PlacedText] | None = None
    """Devices it puts at rest."""
    dim: list[Dim] = []
    """Lamps it dims."""
    purpose: Text | None = None
    """What the crew gains by it, for the quote and the crew card."""


class Mode(Record):
    id: Name
    """Name of the mode."""
    title: Text
    """As printed."""
    when: PlacedText
    """States that belong to it."""
    purpose: Literal["calling", "blocking", "work", "command", "travel"]
    """What it is for; rules speak of purposes."""


class Requirement(Record):
    name: Text
    """What must be true, in words."""
    never: PlacedText | None = None
    """A condition with predicates that must hold in no reachable state."""
    always: PlacedText | None = None
    """A condition with predicates that must hold in every reachable state."""

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values."""
        if (self.never is None) == (self.always is None):
            found = "neither" if self.never is None else "both"
            yield Problem("", "a requirement says never or always, one of the two", found, "never: CONDITION")


class Shed(Record):
    step: Count
    """Feeds with this number and lower ones open."""
    when: PlacedText
    """Condition that opens them."""

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values."""
        if not 1 <= self.step <= 9:
            yield Problem("step", f"{self.step} is no shed step", str(self.step), "1 to 9")


class Switching(Record):
    ranks: list[Name] = []
    """Ranks from least to most important."""
    switches: list[Switch] = []
    """What the crew operates."""
    signals: list[Signal] = []
    """Signals this build adds to the vehicle's."""
    inputs: dict[Name, PlacedText] = {}
    """Controller inputs that wire signals of the vehicle end on, by signal."""
    impossible: list[PlacedText] = []
    """Combinations of signals that cannot be."""
    exclusive: list[list[PlacedText]] = []
    """Groups of latching switches of which at most one is on."""
    conditions: dict[Name, PlacedText] = {}
    """Named expressions."""
    memory: list[Memory] = []
    """Memories."""
    timers: list[Timer] = []
    """Timers."""
    functions: list[Function] = []
    """Functions, in the order that breaks ties within a rank (later wins)."""
    modes: list[Mode] = []
    """Named sets of states."""
    warning_when: PlacedText | None = None
    """When every zone must see warning."""
    require: list[Requirement] = []
    """What must never, or always, be."""
    shedding: list[Shed] = []
    """When which feeds are shed."""
    patterns: dict[Name, list[Count]] = {}
    """Patterns of this build beside the shop's: on and off times in ms."""
