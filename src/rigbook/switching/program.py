"""The compiled switching program: the one meaning that stepping, proofs, power, papers and the browser share.

Everything is resolved: names to indexes, selectors to devices, patterns and sequences to timelines. Frozen,
plain and JSON-able (`program_to_json`), so that `program.js` evaluates the very same thing.

A **state** is one value index per variable (`tuple[int, ...]` in the order of `Program.variables`);
`lost` is a set of variable indexes (data-bus signals that are lost).
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

# --- expressions: level expressions over values of variables ---------------------------------


@dataclass(frozen=True, slots=True)
class Constant:
    """Always or never."""

    value: bool


@dataclass(frozen=True, slots=True)
class Is:
    """The variable has one of these values. The only atom: a yes/no name is Is(v, {1}); a momentary name
    with taps is Is(v, {1, 2}), held(x) is Is(v, {2})."""

    variable: int
    values: frozenset[int]


@dataclass(frozen=True, slots=True)
class Not:
    """The expression does not hold."""

    of: Expression


@dataclass(frozen=True, slots=True)
class All:
    """Every part holds."""

    of: tuple[Expression, ...]


@dataclass(frozen=True, slots=True)
class Any_:
    """Some part holds."""

    of: tuple[Expression, ...]


@dataclass(frozen=True, slots=True)
class ConditionRef:
    """A named condition, by index into Program.conditions."""

    condition: int


@dataclass(frozen=True, slots=True)
class Tap:
    """Event: the momentary switch was tapped (seen on release). Only in set_when, clear_when, next_on, pulse."""

    variable: int


@dataclass(frozen=True, slots=True)
class Rises:
    """Event: the expression turned true. Only in set_when, clear_when, next_on, pulse."""

    of: Expression


Expression = Constant | Is | Not | All | Any_ | ConditionRef | Tap | Rises

# --- requirement expressions: the same connectives with predicates as further atoms ------------


@dataclass(frozen=True, slots=True)
class LitPredicate:
    """lit / all_lit / steady / flashing of some lamps in a colour (None is any)."""

    what: Literal["lit", "all_lit", "steady", "flashing"]
    devices: tuple[int, ...]
    colour: str | None


@dataclass(frozen=True, slots=True)
class SeenPredicate:
    """A lamp shows the colour (None is any) toward the zone, with its present pose."""

    zone: str
    colour: str | None


@dataclass(frozen=True, slots=True)
class DrivenPredicate:
    """A device is driven into a state, with its feed live."""

    device: int
    state: str


RequirementExpression = (
    Expression | LitPredicate | SeenPredicate | DrivenPredicate
)  # Not/All/Any_ may hold these too, in requirements only

# --- variables ------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Threshold:
    """When a measured signal turns to yes and back: beyond `at` for `for_ms`, back beyond `clears`.

    Values in the SI unit of what is measured (V, m/s, degrees Celsius)."""

    side: Literal["below", "above"]
    at: float
    clears: float
    for_ms: int


@dataclass(frozen=True, slots=True)
class Variable:
    """A switch, signal, memory or timer and its values in order."""

    name: str
    kind: Literal["switch", "signal", "memory", "timer"]
    values: tuple[str, ...]
    rest: int
    ordered: bool
    line: int
    file: str
    label: str = ""
    # switch
    switch_kind: Literal["slide", "rotary", "rocker", "latching", "momentary", ""] = ""
    panel: str = ""
    springs_back: tuple[tuple[int, int], ...] = ()
    tap_under_ms: int | None = None
    releases_when: Expression | None = None
    # signal
    from_vehicle: bool = False
    losable: bool = False
    source: str = ""
    settles_ms: int = 0
    broken_reads: int | None = None
    measures: str = ""
    threshold: Threshold | None = None
    # memory
    set_when: Expression | None = None
    clear_when: Expression | None = None
    next_on: Expression | None = None
    first_when: Expression | None = None
    stepping: bool = False
    # timer
    timer_kind: Literal["off_delay", "on_delay", "pulse", ""] = ""
    condition: Expression | None = None
    for_ms: int = 0
    at_most_ms: int | None = None
    again_after_ms: int = 0


# --- what devices do --------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Span:
    """Lit from start to end (half-open, ms within the period), at an intensity 0..1."""

    start_ms: int
    end_ms: int
    intensity_from: float
    intensity_to: float


@dataclass(frozen=True, slots=True)
class Timeline:
    """One colour over one period. Steady is period 1 with one span (0, 1)."""

    period_ms: int
    spans: tuple[Span, ...]


@dataclass(frozen=True, slots=True)
class Content:
    """What an entry makes a device do. Lamps: a timeline per colour. Others: a state. Neither: at rest/off.

    `commanded` is the content of a factory lamp at rest: as the vehicle commands."""

    channels: tuple[tuple[str, Timeline], ...] = ()
    state: str | None = None
    undimmed: bool = False
    commanded: bool = False


@dataclass(frozen=True, slots=True)
class Entry:
    """One entry of a device's decision list."""

    function: int
    kind: Literal["show", "drive", "cut"]
    content: int


@dataclass(frozen=True, slots=True)
class DimEntry:
    """A function that scales the device to `to` (0 to 1). The lowest stands first."""

    function: int
    to: float


@dataclass(frozen=True, slots=True)
class Pose:
    """Where a device shows while `when` holds (true values); the closed pose has when=None and comes last.
    `zones` already respects that a tilt beyond 45 deg of the horizon shows to no zone."""

    when: Expression | None
    zones: frozenset[str]


@dataclass(frozen=True, slots=True)
class Device:
    """A lamp (also each lamp of a row or bar), a factory lamp, or another driven device."""

    id: str
    kind: Literal["lamp", "factory-lamp", "device", "relay"]
    tags: frozenset[str]
    zones: frozenset[str]  # doors closed, as selectors judge
    colours: tuple[str, ...]
    states: tuple[str, ...]
    one_colour_at_a_time: bool
    clock: str  # devices with equal clock share it; phases mean something inside one
    rest: int  # content index
    entries: tuple[Entry, ...]  # most important first
    dims: tuple[DimEntry, ...]
    poses: tuple[Pose, ...]
    feeds: tuple[tuple[str, int], ...]  # (colour or state, feed index); channels without feed are always live
    commanded_when: Expression | None = None  # factory lamps, true values
    file: str = ""
    line: int = 0


@dataclass(frozen=True, slots=True)
class Function:
    """A function: what it does stands in the devices' lists."""

    name: str
    rank: int
    when: Expression
    if_unknown: bool
    file: str
    line: int
    purpose: str = ""


@dataclass(frozen=True, slots=True)
class Feed:
    """Live when live_when holds (true values), the feed above is live, and the relay is driven closed."""

    id: str
    above: int | None
    live_when: Expression | None
    through: int | None  # device index of a relay
    sheds: int | None = None


@dataclass(frozen=True, slots=True)
class Requirement:
    """What must hold in no reachable state."""

    name: str
    never: RequirementExpression  # `always: X` is compiled to never(not X)
    file: str
    line: int


@dataclass(frozen=True, slots=True)
class Mode:
    """A named set of states that rules speak of."""

    id: str
    title: str
    when: Expression
    purpose: str


@dataclass(frozen=True, slots=True)
class Program:
    """See the module docstring."""

    variables: tuple[Variable, ...]  # build switches, vehicle signals, build signals, memories, timers
    conditions: tuple[tuple[str, Expression], ...]
    functions: tuple[Function, ...]  # file order
    devices: tuple[Device, ...]
    contents: tuple[Content, ...]  # content 0 is dark / off
    feeds: tuple[Feed, ...]
    exclusive: tuple[tuple[int, ...], ...]
    impossible: tuple[tuple[Expression, str, int], ...]  # expression, file, line
    settle_order: tuple[int, ...]  # memories and timers in order of dependency, ties by file order
    requirements: tuple[Requirement, ...]
    modes: tuple[Mode, ...]
    warning_when: Expression | None
    shedding: tuple[tuple[int, Expression], ...]
    ranks: tuple[str, ...]
    rest: tuple[int, ...]  # the rest state, after the fixpoint
    roles: tuple[tuple[str, Expression], ...] = ()  # the vehicle's parked_when, running_when, key_on_when, shore_when


# --- facts the compiler asks of the rig ----------------------------------------------------------


@dataclass(frozen=True, slots=True)
class PoseFacts:
    """A second pose while an expression (text over signals) holds."""

    when: str
    zones: frozenset[str]


@dataclass(frozen=True, slots=True)
class DeviceFacts:
    """What the compiler must know of a device; filled by the rig, without switching ever seeing the rig."""

    id: str  # "grille-left", "stick.3", "siren-amp"
    row: str  # the installed id; names all lamps of a row or bar
    kind: Literal["lamp", "factory-lamp", "device", "relay"]
    tags: frozenset[str] = frozenset()
    zones: frozenset[str] = frozenset()
    seen_zones: frozenset[str] | None = None  # zones after the 45 deg tilt rule, doors closed; None: as zones
    half: Literal["left", "right"] | None = None
    level: Literal["upper", "lower"] | None = None
    inside: bool = False
    at_mm: tuple[int, int, int] = (0, 0, 0)  # x, y, z rounded to whole mm: sequences order by it
    colours: tuple[str, ...] = ()
    one_colour_at_a_time: bool = False
    states: tuple[str, ...] = ()
    rest: str | None = None  # rest state of a device that is not a lamp
    clock: str = ""
    poses: tuple[PoseFacts, ...] = ()
    feeds: tuple[tuple[str, str], ...] = ()  # (colour or state, feed id)
    commanded_when: str | None = None
    file: str = ""
    line: int = 0


@dataclass(frozen=True, slots=True)
class FeedFacts:
    """What the compiler must know of a feed. `sheds`: 1 to 9, or None for never."""

    id: str
    above: str | None = None
    live_when: str | None = None
    through: str | None = None
    sheds: int | None = None
    file: str = ""
    line: int = 0
    column: int = 0


@dataclass(frozen=True, slots=True)
class Witness:
    """A state that shows something: values off rest, lost signals, press steps, assumptions leaned on."""

    set: tuple[tuple[str, str], ...] = ()
    lost: tuple[str, ...] = ()
    steps: tuple[str, ...] | None = None
    assumed: tuple[str, ...] = ()
    bound: bool = False


@dataclass(frozen=True, slots=True)
class ProgramNote:
    """A remark of the compiler that is not an error (a show that some selected lamps cannot follow, say)."""

    says: str
    file: str
    line: int
    subject: str = ""
    rule: str = "switching"


@dataclass(frozen=True, slots=True)
class CompileProblem:
    """An error of the document found by the compiler."""

    file: str
    line: int
    column: int
    says: str
    found: str = ""
    expected: str = ""
    nearest: str = ""


@dataclass(frozen=True, slots=True)
class Compiled:
    """A program, or the problems that kept it from being made; and notes."""

    program: Program | None
    problems: tuple[CompileProblem, ...] = ()
    notes: tuple[ProgramNote, ...] = field(default=())
