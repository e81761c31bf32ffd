"""The wiring plan: the conductors there must be, before routes and sizes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from rigbook.documents.schema.base import Where
from rigbook.quantities.gauge import Gauge
from rigbook.rig.model import Member, Point
from rigbook.rig.open_model import Need, OwnLead

Role = Literal["feed", "return", "link", "lead", "signal"]


@dataclass(frozen=True, slots=True)
class End:
    """One end of a conductor: the electrical node, the route node it hangs on, where it is in every pose."""

    point: str
    node: str | None
    at: tuple[Point, ...]
    area: str | None


@dataclass(frozen=True, slots=True)
class PlannedSegment:
    """A conductor to be routed and sized.

    `guards` are the circuits and feeds whose protection stands before it; `settles` names it in `settled:`.
    """

    id: str
    role: Role
    start: End
    end: End
    nameplate_a: float
    set_wire: Gauge | None
    lead: OwnLead | None
    waypoints: tuple[str, ...]
    chained: bool  # between neighbours of a row: straight where they hang on one node
    subject: str  # device or feed it is spoken of by
    guards: tuple[str, ...]
    equal_to: tuple[str, ...]  # a return is no smaller than these
    loads_with: str  # conductors of one name here are never loaded together: the colours of a head that shows one
    settles: str
    where: Where


@dataclass(frozen=True, slots=True)
class PlannedCircuit:
    """A circuit with its members, before sizes."""

    id: str
    kind: Literal["output", "fuse"]
    feed_id: str | None
    module_id: str | None
    bank: str | None
    limit_a: float | None
    members: tuple[Member, ...]
    nameplate_a: float
    where: Where


@dataclass(frozen=True, slots=True)
class Plan:
    """All conductors and circuits, and what each feed carries at most by name-plate."""

    segments: Mapping[str, PlannedSegment]
    circuits: Mapping[str, PlannedCircuit]
    feed_segments: Mapping[str, str]  # feed -> its segment to a block
    link_segments: Mapping[str, tuple[str, ...]]
    feed_load_a: Mapping[str, float]
    feed_draws: Mapping[str, tuple[Need, ...]]
    terminal_circuit: Mapping[str, str]  # terminal node -> circuit that powers it
