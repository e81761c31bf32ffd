"""The worked-out vehicle: every record the engines, rules, papers and pages read.

Frozen and plain; units stand in the names (`_m`, `_a`, `_v`, `_kg`, `_c` degrees Celsius, `_deg`, `_w`, `_s`).
Axes: x backward from the front axle centre, y to the driver's right, z up from the ground; azimuths
clockwise from ahead. `file` and `line` say where the document speaks of the thing.

Names of electrical nodes (the network's and the ends of every `Segment`):
    battery.BANK          positive post of a bank
    feed:ID               behind the fuse at the start of a feed
    block:ID              the bus of a fuse block or bus bar
    DEVICE:TERMINAL       a terminal of a device or module (`control:power`, `grille-left:blue`, `radio-ops:power`)
    DEVICE:TERMINAL/joint where the run meets the device's own lead
    MODULE.N              output N of a controller or module
    DEVICE:return         where a device's current leaves it (`DEVICE:return/joint` before its own lead)
    DEVICE:a, DEVICE:b    the two sides of what a link passes through
    ground:STUD           a ground stud; its resistance leads to the battery negative
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Literal

from rigbook.documents.schema.build import BuildDocument
from rigbook.documents.schema.shop import Shop
from rigbook.documents.schema.vehicle import Vehicle
from rigbook.rig.choices import Choices, Chosen, Conductor, How, RigNote
from rigbook.rig.placement import Placement, Point, Pose
from rigbook.switching.program import Compiled, DeviceFacts, FeedFacts, Program

LoadLaw = Literal["constant-power", "constant-current", "resistive"]

__all__ = [
    "Bank", "Choices", "Chosen", "Circuit", "Conductor", "Device", "Draw", "FeedLine", "HeatSource", "How", "InputUse",
    "Link", "LoadLaw", "Member", "Module", "OutputBank", "Placement", "Point", "PointMass", "Pose", "Rig", "RigNote",
    "SavedPoint", "Segment", "Stud", "SwitchPlace",
]  # fmt: skip


# --- conductors -----------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Segment:
    """One conductor from one electrical node to another, with the way it takes."""

    id: str
    role: Literal["feed", "return", "link", "lead", "signal"]
    from_point: str
    to_point: str
    length_m: float  # route, drops to the devices and service loops together; a lead's own length
    route: tuple[str, ...]  # route nodes passed
    areas: tuple[str, ...]
    hottest_c: float
    bundle_count: int  # conductors loaded at once in the fullest run it passes, itself included; 1 for a lead
    governs_c: float  # ambient of the stretch that limits it most …
    governs_count: int  # … and the conductors loaded at once there: what its ampacity is judged by
    nameplate_a: float  # name-plate sum of what flows through it
    conductor: Conductor
    file: str
    line: int
    route_how: How = "auto"
    why: str = ""
    ampacity_rule: str = "corrected"  # what its ampacity is judged by
    load_rms_a: float | None = None  # greatest RMS over every reachable state: heats it; None: not worked out
    load_peak_a: float | None = None  # greatest peak over every reachable state: loses voltage

    @property
    def heating_a(self) -> float:
        """Current that heats it, A: the greatest RMS, the name-plate sum where that is not worked out."""
        return self.nameplate_a if self.load_rms_a is None else self.load_rms_a

    @property
    def dropping_a(self) -> float:
        """Current that loses voltage, A: the greatest peak, the name-plate sum where that is not worked out."""
        return self.nameplate_a if self.load_peak_a is None else self.load_peak_a


# --- devices and what they draw ---------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Draw:
    """What a device draws on one channel: a lamp's colour, a state it is driven into, or a draw state.

    Colours of a lamp add up (unless one at a time); states and draw states exclude each other."""

    device_id: str
    channel: str
    kind: Literal["colour", "state", "draw"]
    current_a: float
    at_v: float
    law: LoadLaw
    works_v: tuple[float, float] | None
    inrush_times: float | None
    inrush_s: float | None
    dims_by: Literal["switching", "current"]
    circuit_id: str | None  # the circuit that powers it; None: nothing powers it (a fault noted), or the vehicle does
    terminal: (
        str  # electrical node it flows through: `grille-left:blue`, or the bar's for a module inside (`bar:power`)
    )
    return_point: str  # electrical node it leaves by: `grille-left:return`
    feed_id: str | None  # the feed that stands behind that circuit


@dataclass(frozen=True, slots=True)
class Device:
    """Every installed thing, each lamp of a row and each module of a lightbar by itself, factory lamps too."""

    id: str
    row: str  # the installed id
    index: int | None  # number in its row or bar, from 1
    part_id: str | None  # None for factory lamps
    part_kind: str  # kind in the catalogue, or "factory-lamp"
    title: str
    bought: bool  # a part on the list; no for modules inside a bar and for factory lamps
    placement: Placement
    tags: frozenset[str]
    colours: tuple[str, ...]
    states: tuple[str, ...]
    rest: str | None
    one_colour_at_a_time: bool
    driven: str | None
    clock: str
    draws: tuple[Draw, ...]
    controller: str | None
    amplifier: str | None
    antenna: str | None
    ground: str | None  # stud its return goes to
    sense_feed: str | None
    size_m: tuple[float, float, float]
    mass_kg: float
    file: str
    line: int
    head_at: Point | None = None
    serial: str | None = None
    port: int | None = None
    inside_of: str | None = None  # bar that holds it
    inlet: str | None = None  # shore inlet of a charger
    shows: str | None = None  # charger or bank a display shows
    commanded_when: str | None = None


# --- circuits, feeds, modules --------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Member:
    """One terminal of one device on a circuit, with the segments from the source to it and back to the stud.

    `feed_path` runs from the circuit's start to the terminal, own lead last; `return_path` from the
    device to the stud, own lead first. Rows that share a circuit hang in a chain, so paths share segments."""

    device_id: str  # the holder of the terminal: a lamp, a bar, a module
    terminal: str  # electrical node, `grille-left:blue`
    return_point: str  # electrical node, `grille-left:return`
    draws: tuple[tuple[str, str], ...]  # (device, channel) that flow through it; a module's outputs are `carries`
    carries: tuple[str, ...]  # output circuits a module's power terminal carries besides
    nameplate_a: float
    signal: bool  # only tells the device what to do, carries no load
    feed_path: tuple[str, ...]
    return_path: tuple[str, ...]
    ground: str | None


@dataclass(frozen=True, slots=True)
class Circuit:
    """What one fuse or one output feeds. id: the output (`control.3`) or the feed."""

    id: str
    kind: Literal["output", "fuse"]
    feed_id: str | None
    fuse_a: float | None  # None behind an electronic output
    limit_a: float | None  # of the output
    module_id: str | None
    bank: str | None  # bank of outputs
    members: tuple[Member, ...]
    nameplate_a: float
    file: str
    line: int
    why: str = ""


@dataclass(frozen=True, slots=True)
class FeedLine:
    """A fused line. With `to`, one segment leads to a block or bus bar; else its members hang on it directly."""

    id: str
    parent: str | None  # the feed above
    bank_id: str | None  # the bank at the head of the chain
    block_id: str | None  # block it starts from
    block_position: int | None
    to: str | None
    fuse_a: float
    fuse_how: How
    fuse_why: str
    segment: str | None  # to the block; None where members hang on it directly
    drop: Literal["critical", "ordinary"]
    load_class: Literal["minimum", "total", "intermittent"]
    sheds: int | None
    starts_after_s: float
    live_when: str | None
    through: str | None
    feeds: tuple[str, ...]  # feeds below
    circuits: tuple[str, ...]  # its own fuse circuit and the outputs it powers
    nameplate_a: float
    file: str
    line: int
    breaker: str | None = None  # installed breaker in place of a fuse; `fuse_a` is its rating


@dataclass(frozen=True, slots=True)
class OutputBank:
    """Outputs of a module with a common limit and a common power terminal."""

    id: str
    outputs: tuple[int, ...]
    limit_a: float | None
    feed_id: str | None


@dataclass(frozen=True, slots=True)
class Module:
    """A controller or output module."""

    id: str
    part_id: str
    outputs: int
    limit_a: float
    side: Literal["high", "low"]
    dims: bool
    reads_current: bool
    banks: tuple[OutputBank, ...]  # one bank of all outputs where the part names none
    outputs_used: tuple[int, ...]
    inputs: int
    inputs_used: tuple[int, ...]
    controller: str | None
    clock: str
    file: str
    line: int


@dataclass(frozen=True, slots=True)
class Bank:
    """Batteries in parallel. `own` says whether the vehicle came with it."""

    id: str
    part_id: str
    count: int
    at: Point | None
    node: str | None
    area: str | None
    negative_sensor: bool
    own: bool
    file: str
    line: int


@dataclass(frozen=True, slots=True)
class Stud:
    """A ground stud."""

    id: str
    at: Point
    node: str | None
    resistance_ohm: float


@dataclass(frozen=True, slots=True)
class Link:
    """A conductor between two banks with a fuse at each end, through an isolator or charger."""

    id: str
    from_bank: str
    to_bank: str
    through: str | None
    start_fuse_a: float
    end_fuse_a: float
    start_how: How
    end_how: How
    segments: tuple[str, ...]
    load_a: float  # what it is sized for
    why: str
    file: str
    line: int


# --- bodies, heat, what a hand touches -------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class PointMass:
    """A mass at a point, beside the curb masses."""

    id: str
    mass_kg: float
    at: Point
    why: Literal["equipment", "battery", "wire", "person", "kit", "fuel"]
    file: str = ""
    line: int = 0


@dataclass(frozen=True, slots=True)
class HeatSource:
    """Watts that stay in an area when the device draws its most."""

    id: str
    watts: float
    area: str | None


@dataclass(frozen=True, slots=True)
class InputUse:
    """A controller input and what ends on it."""

    module_id: str
    input: int
    subject: str  # switch or signal
    position: str | None
    file: str
    line: int


@dataclass(frozen=True, slots=True)
class SwitchPlace:
    """Where a switch of the program sits and how it reaches its controller."""

    id: str
    label: str
    panel: str | None
    link: str | None
    inputs: tuple[InputUse, ...]
    at: Point | None
    file: str
    line: int


@dataclass(frozen=True, slots=True)
class SavedPoint:
    """A saved state: values off rest as indexes of the compiled program, and the engine speed (idle where None)."""

    id: str
    title: str
    settings: tuple[tuple[str, str], ...]
    indexes: tuple[tuple[int, int], ...]
    rpm: float | None
    file: str
    line: int


# --- the decided vehicle -----------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Rig:
    """The decided vehicle. Engines read this and nothing else of the user's."""

    shop: Shop
    vehicle: Vehicle
    build: BuildDocument
    parts: Mapping[str, Any]  # part id -> catalogue record
    devices: Mapping[str, Device]  # file order, factory lamps last
    circuits: Mapping[str, Circuit]
    feeds: Mapping[str, FeedLine]
    modules: Mapping[str, Module]
    banks: Mapping[str, Bank]
    links: Mapping[str, Link]
    studs: Mapping[str, Stud]
    segments: Mapping[str, Segment]
    masses: tuple[PointMass, ...]
    heat: tuple[HeatSource, ...]
    switches: tuple[SwitchPlace, ...]
    inputs: tuple[InputUse, ...]
    compiled: Compiled
    device_facts: tuple[DeviceFacts, ...]
    feed_facts: tuple[FeedFacts, ...]
    states: tuple[SavedPoint, ...]
    choices: Choices
    notes: tuple[RigNote, ...]
    digest: str
    build_file: str
    vehicle_file: str
    light: Mapping[str, bytes] = field(default_factory=dict)  # photometric files by name, as parts refer to them

    @property
    def program(self) -> Program:
        """The compiled program; a rig exists only where compiling succeeded."""
        assert self.compiled.program is not None
        return self.compiled.program
