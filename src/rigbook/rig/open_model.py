"""The vehicle before anything is chosen: what is known, what is left open, and what must be joined to what."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Literal

from rigbook.documents.schema.base import NOWHERE, Where
from rigbook.documents.schema.build import BuildDocument
from rigbook.documents.schema.shop import Shop
from rigbook.documents.schema.vehicle import Vehicle
from rigbook.quantities.gauge import Gauge
from rigbook.rig.model import (
    Bank,
    Device,
    InputUse,
    Module,
    Point,
    PointMass,
    RigNote,
    SavedPoint,
    Stud,
    SwitchPlace,
)
from rigbook.rig.routes import RouteGraph
from rigbook.switching.program import Compiled, DeviceFacts, FeedFacts

Need = tuple[str, str]
"""What asks for an output: (device, colour or state)."""


@dataclass(frozen=True, slots=True)
class OwnLead:
    """A device's own lead."""

    name: str
    gauge: Gauge
    length_m: float


@dataclass(frozen=True, slots=True)
class Terminal:
    """One terminal of a device: what flows through it, and where it gets it from.

    `feed_id` is set where a feed powers it; else `need` asks for an output, of `modules`, or `output` is set.
    """

    node: str  # "grille-left:blue"
    device_id: str  # what holds the terminal
    name: str  # "blue"
    draws: tuple[Need, ...]  # (device, channel) that flow through it
    signal: bool  # tells the device what to do and carries no load
    return_point: str | None  # None for signals
    feed_id: str | None
    need: Need | None
    output: str | None  # "control.3" where a person set it
    modules: tuple[str, ...]  # where an output may be drawn from
    module_id: str | None = None  # a module's own power terminal
    bank_ids: tuple[str, ...] = ()  # banks of outputs behind a module's power terminal
    wire: Gauge | None = None
    lead: OwnLead | None = None
    return_lead: OwnLead | None = None
    supplies_a: float = 0.0  # what a charger or converter puts in at this terminal
    chain: str | None = None  # row whose lamps hang one behind the other when they share a circuit
    where: Where = NOWHERE


@dataclass(frozen=True, slots=True)
class OpenFeed:
    """A feed with its ends resolved and its choices open."""

    id: str
    parent: str | None
    bank_id: str | None
    block_id: str | None
    block_position: int | None
    to: str | None
    fuse_a: float | None
    wire: Gauge | None
    route: tuple[str, ...] | None
    drop: Literal["critical", "ordinary"]
    load_class: Literal["minimum", "total", "intermittent"]
    sheds: int | None
    starts_after_s: float
    live_when: str | None
    live_when_at: Where
    through: str | None
    form: str | None  # form of the fuses its block takes; None at a battery or bus bar
    where: Where
    breaker: str | None = None  # installed breaker in place of a fuse


@dataclass(frozen=True, slots=True)
class OpenLink:
    """A link between banks with its choices open."""

    id: str
    from_bank: str
    to_bank: str
    through: str | None
    start_fuse_a: float | None
    end_fuse_a: float | None
    wire: Gauge | None
    route: tuple[str, ...] | None
    load_a: float
    load_why: str
    where: Where


@dataclass(frozen=True, slots=True)
class OpenRig:
    """Everything resolved that needs no choice. `settled` holds worked-out values of an earlier run."""

    shop: Shop
    vehicle: Vehicle
    build: BuildDocument
    parts: Mapping[str, Any]
    devices: Mapping[str, Device]
    terminals: Mapping[str, Terminal]
    feeds: Mapping[str, OpenFeed]
    modules: Mapping[str, Module]
    banks: Mapping[str, Bank]
    links: Mapping[str, OpenLink]
    studs: Mapping[str, Stud]
    graph: RouteGraph
    ambient_c: Mapping[str, float]
    grounds_set: Mapping[str, str]
    node_why: Mapping[str, tuple[str, str]]  # device -> (how, why) of its route node
    switches: tuple[SwitchPlace, ...]
    inputs: tuple[InputUse, ...]
    masses: tuple[PointMass, ...]
    compiled: Compiled
    device_facts: tuple[DeviceFacts, ...]  # what it was compiled with: outputs still open are provisional
    feed_facts: tuple[FeedFacts, ...]
    states: tuple[SavedPoint, ...]
    settled: Mapping[str, str]
    settled_at: Mapping[str, Where]
    notes: tuple[RigNote, ...]
    build_file: str
    vehicle_file: str
    bank_at: Mapping[str, Point] = field(default_factory=dict)
    digest_of: Mapping[str, Any] = field(default_factory=dict)  # what the digest covers beside the build
    ampacity_rule: str = "corrected"  # of the packs of rules the build is judged by
