"""Build documents: one vehicle as it is to be built."""

# ruff: noqa: RUF012 -- records are frozen, and pydantic copies their defaults

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Discriminator, Field, Tag

from rigbook.documents.schema.base import PlacedText, Problem, Record, Scalar, twice
from rigbook.documents.schema.enclosing import Enclosure
from rigbook.documents.schema.lighting import SceneArea
from rigbook.documents.schema.marking import MarkingArea
from rigbook.documents.schema.mounting import JointMount
from rigbook.documents.schema.panels import Panel
from rigbook.documents.schema.papers import InspectionTest, Quote
from rigbook.documents.schema.scalars import (
    Angle,
    Azimuth,
    Count,
    Current,
    Duration,
    FormatNumber,
    GaugeText,
    Length,
    Name,
    Ref,
    Rpm,
    Share,
    Temperature,
    Text,
    Tilt,
    Weight,
    YesNo,
)
from rigbook.documents.schema.shelving import Carrier
from rigbook.documents.schema.swinging import Lid
from rigbook.documents.schema.switching import Switching
from rigbook.documents.schema.vehicle import Bank, Point
from rigbook.documents.schema.weighing import Weighed

Auto = Literal["auto"]


def _plain(value: Any) -> Any:
    return str(value) if isinstance(value, Scalar) else value


AutoText = Annotated[Auto, BeforeValidator(_plain)]


class Clause(Record):
    id: Text
    """Number in the customer's specification."""
    text: Text
    """The customer's words."""
    answer: Literal["as asked", "clarified", "exception"]
    """What we offer."""
    met_by: list[Text] = []
    """Parts, tags, functions or requirements that meet it."""
    note: Text | None = None
    """What was clarified, or why not."""


class EndFuses(Record):
    start: Current | AutoText
    """Fuse at the `from` end."""
    end: Current | AutoText
    """Fuse at the `to` end."""


class Link(Record):
    id: Name
    """Name of the link."""
    from_: Ref = Field(alias="from")
    """Bank at one end, as battery.ID."""
    to: Ref
    """Bank at the other end."""
    through: Name | None = None
    """Installed isolator, contactor, charger or DC-DC it passes."""
    fuse: EndFuses
    """Fuses at both ends."""
    wire: GaugeText | AutoText = "auto"
    """Conductor."""
    route: list[Name] | AutoText = "auto"
    """Nodes it passes."""
    note: Text | None = None
    """For the people in the bay."""

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values."""
        if self.from_ == self.to:
            yield Problem("to", f"a link from {self.from_} to itself", self.to, "another bank")


class Feed(Record):
    id: Name
    """Name of the feed."""
    from_: Ref = Field(alias="from")
    """battery.BANK, BLOCK.POSITION, or the feed's own upstream block."""
    to: Ref | None = None
    """Block or bus bar it supplies, where it supplies one; else the installed rows that name it."""
    fuse: Current | AutoText = "auto"
    """Rating of the fuse at its start."""
    breaker: Name | None = None
    """Installed breaker that stands at its start in place of a fuse."""
    fuse_after: Length = 0.0
    """Wire between the source and the fuse or breaker, 0 where it sits at the source."""
    enclosed: YesNo = False
    """Whether that wire runs in an enclosure of its own."""
    wire: GaugeText | AutoText = "auto"
    """Conductor."""
    through: Name | None = None
    """Relay or low-voltage disconnect that must be closed."""
    live_when: PlacedText | None = None
    """Wiring that makes it live: true values."""
    sheds: Count | Annotated[Literal["never"], BeforeValidator(_plain)] = "never"
    """Shed step 1 to 9, or never."""
    starts_after: Duration = 0.0
    """Delay after key on."""
    load_class: Literal["minimum", "total", "intermittent"] = "total"
    """Class in the load list."""
    drop: Literal["critical", "ordinary"] = "ordinary"
    """Drop limit: critical 3 %, ordinary 10 %."""
    route: list[Name] | AutoText = "auto"
    """Nodes it passes."""
    note: Text | None = None
    """For the people in the bay."""

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values."""
        if isinstance(self.sheds, int) and not 1 <= self.sheds <= 9:
            yield Problem("sheds", f"{self.sheds} is no shed step", str(self.sheds), "1 to 9, or never")
        if self.breaker is not None and self.fuse != "auto":
            yield Problem("breaker", f"{self.id} has a fuse and a breaker", self.breaker, "one of the two")
        if self.to is not None and self.to == self.from_:
            yield Problem("to", f"a feed from {self.from_} to itself", self.to, "another block")


class OutputsFrom(Record):
    from_: list[Name] = Field(alias="from")
    """Controllers and modules outputs are drawn from."""


class OutputsTogether(Record):
    together: Ref
    """One output for the whole row."""


def _outputs_shape(value: Any) -> str:
    if isinstance(value, OutputsFrom) or (isinstance(value, dict) and ("from" in value or "from_" in value)):
        return "narrowed"
    if isinstance(value, OutputsTogether) or (isinstance(value, dict) and "together" in value):
        return "together"
    return "channels" if isinstance(value, dict) else "row" if isinstance(value, list | tuple) else "auto"


OutputsAny = Annotated[
    Annotated[AutoText, Tag("auto")]
    | Annotated[OutputsFrom, Tag("narrowed")]
    | Annotated[OutputsTogether, Tag("together")]
    | Annotated[dict[Name, Ref | list[Ref]], Tag("channels")]
    | Annotated[list[Ref], Tag("row")],
    Discriminator(_outputs_shape),
]


class Along(Record):
    from_: Point = Field(alias="from")
    """First lamp."""
    to: Point
    """Last lamp."""
    count: Count
    """Number of lamps, ends included."""

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values."""
        if self.count < 2:
            yield Problem("count", "a row has at least 2 lamps", str(self.count), "2 or more")
        if self.from_ == self.to:
            yield Problem("to", "a row needs two different ends", "the same point twice", "another point")


class OnFace(Record):
    panel: Name
    """Panel it sits on."""
    at: tuple[Length, Length] | AutoText = "auto"
    """Middle of its cut-out on the face, from the lower left corner of the face."""
    turn: Angle = 0.0
    """Turned on the face: 0, 90, 180 or 270 deg."""
    use: Count = 1
    """How often a hand goes there, 1 seldom to 9 all the time; what is used most lies nearest the upper edge."""
    legend: Text | None = None
    """What is engraved beside it; the labels of its switches where left out."""

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values."""
        if self.turn % 90 != 0:
            yield Problem("turn", "a face is laid out square", f"{self.turn:g} deg", "0, 90, 180 or 270 deg")
        if not 1 <= self.use <= 9:
            yield Problem("use", "use runs from 1 to 9", str(self.use), "1 seldom to 9 all the time")


class Head(Record):
    panel: Name | None = None
    """Panel the control head sits on."""
    at: Point | None = None
    """Where the control head is."""

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values."""
        if self.panel is not None and self.at is not None:
            yield Problem("at", "the head has both a panel and coordinates", "panel and at", "one of panel, at")


class Install(Record):
    id: Name
    """Name of what is fitted."""
    part: Name
    """Part of the catalogue."""
    place: Name | None = None
    """Named place of the vehicle."""
    at: Point | None = None
    """Coordinates instead of a place."""
    along: Along | None = None
    """A row of equal lamps between two points."""
    on: OnFace | None = None
    """Position on a panel."""
    facing: Azimuth | Annotated[Literal["all-round"], BeforeValidator(_plain)] | None = None
    """Azimuth; the place's where left out."""
    tilt: Tilt | None = None
    """Up from the horizon."""
    roll: Azimuth | None = None
    """Turn about its own aim, clockwise as seen from behind it: a lamp on its side has 90 deg."""
    level: Literal["upper", "lower"] | None = None
    """Height class of a warning lamp."""
    inside: YesNo | None = None
    """Inside the cabin."""
    node: Name | None = None
    """Route node; the nearest within reach where left out."""
    area: Name | None = None
    """Area; the node's where left out."""
    tags: list[Name] = []
    """Tags for selectors."""
    outputs: OutputsAny | None = None
    """Outputs by colour or state, `auto`, a narrowing, or a list for a row."""
    feed: Name | dict[Name, Name] | None = None
    """Feed, or a map from bank or terminal to feed."""
    sense_feed: Name | None = None
    """Feed of the sense wire (ignition sense of a radio)."""
    wire: GaugeText | AutoText = "auto"
    """Conductor of its own run."""
    ground: Name | None = None
    """Ground stud; the nearest where left out."""
    controller: Name | None = None
    """Controller a module or data-link device belongs to."""
    port: Count | None = None
    """Port on that controller."""
    amplifier: Name | None = None
    """Siren amplifier or radio a speaker belongs to."""
    antenna: Name | None = None
    """Installed antenna of a radio or modem."""
    inlet: Name | None = None
    """Installed shore inlet of a charger."""
    shows: Name | None = None
    """Installed charger or bank whose charge a display shows."""
    head: Head | None = None
    """Where the control head of a remote chassis is."""
    sync: Name | None = None
    """Self-flashing heads of one group keep time together."""
    serial: Text | None = None
    """Serial number, or `later`."""
    commanded_when: PlacedText | None = None
    """Not for installed lamps; factory lamps only."""
    note: Text | None = None
    """For the people in the bay."""

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values."""
        given = [key for key in ("place", "at", "along", "on") if getattr(self, key) is not None]
        if len(given) != 1:
            found = " and ".join(given) or "none"
            says = f"{self.id} has {found} of place, at, along and on; exactly one says where it is"
            yield Problem(given[1] if given else "", says, found, "one of place, at, along, on")
        if self.id in self.tags:
            yield Problem("tags", f"{self.id} is both the id and a tag", self.id, "another tag")
        for tag in sorted({tag for tag in self.tags if self.tags.count(tag) > 1}):
            yield Problem("tags", f"the tag {tag} stands twice", tag, "each tag once")
        if self.commanded_when is not None:
            says = "commanded_when is for the vehicle's own lamps; what is fitted is driven by functions"
            yield Problem("commanded_when", says, "commanded_when")
        if self.port is not None and self.controller is None:
            yield Problem("port", "a port without its controller", f"port: {self.port}", "controller: ID beside it")


class SavedState(Record):
    id: Name
    """Name of the state."""
    title: Text
    """As printed."""
    set: dict[Name, Text] = {}
    """Values off rest."""
    rpm: Rpm | None = None
    """Engine speed; idle where left out."""


class DutyStretch(Record):
    name: Text
    """What the crew does."""
    for_: Duration = Field(alias="for")
    """How long."""
    state: Name | None = None
    """Saved state."""
    set: dict[Name, Text] | None = None
    """Values instead of a saved state."""
    rpm: Rpm | None = None
    """Engine speed."""
    temperature: Temperature = 25.0
    """Of the batteries."""
    draws: dict[Name, dict[Name, Share]] = {}
    """Shares of a device's draw states; the rest is its first."""

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values."""
        if self.state is not None and self.set is not None:
            yield Problem("set", "a stretch names a saved state or sets values, not both", "both", "state or set")
        if self.for_ <= 0:
            yield Problem("for", "a stretch takes some time", "0", "a time above 0")
        for device, shares in self.draws.items():
            if sum(shares.values()) > 1 + 1e-9:
                says = f"the shares of {device} add to {100 * sum(shares.values()):.6g} %, more than 100 %"
                yield Problem("draws", says, f"{100 * sum(shares.values()):.6g} %", "at most 100 %")


class Person(Record):
    seat: Name
    """Seat of the vehicle."""
    mass: Weight = 75.0
    """Mass of the person [common practice, no source]."""


class Kit(Record):
    id: Name
    """What is carried."""
    mass: Weight
    """Its mass."""
    at: Point
    """Where it is stowed."""


class Build(Record):
    id: Name
    """Name of the build."""
    title: Text
    """As printed."""
    customer: Text | None = None
    """Who it is for."""
    date: Text | None = None
    """Date printed on papers; none where left out."""
    vehicle: Name
    """Vehicle it is built on."""
    rules: list[Name] = []
    """Rule packs that judge it; the shop's where left out."""
    match: Name | None = None
    """Sister build it must match."""
    stands: Literal["drafted", "quoted", "approved", "in the bay", "inspection", "delivered"] = "drafted"
    """Where the work stands; for the shop's own list, and no part of the digest."""


class BuildDocument(Record):
    rigbook: FormatNumber
    """Format of the document."""
    build: Build
    """What is built."""
    clauses: list[Clause] = []
    """The customer's specification, answered."""
    batteries: list[Bank] = []
    """Banks added to the vehicle's."""
    links: list[Link] = []
    """Conductors between banks."""
    feeds: list[Feed] = []
    """Fused distribution, battery outward."""
    install: list[Install] = []
    """What is fitted."""
    switching: Switching = Field(default_factory=Switching)
    """Switches, signals, functions."""
    states: list[SavedState] = []
    """Named points for tables, screens and the customer page."""
    duty: list[DutyStretch] = []
    """A working day."""
    persons: list[Person] = []
    """Crew."""
    kit: list[Kit] = []
    """Loose equipment."""
    weighed: Weighed | None = None
    """What the scales said of the finished vehicle; stands in place of computed masses."""
    panels: list[Panel] = []
    """Faces with cut-outs: dash plates, console faces, cabinet fronts."""
    mounts: list[JointMount] = []
    """Bolted joints to prove."""
    enclosures: list[Enclosure] = []
    """Cabinets and consoles that things get warm in."""
    shelves: list[Carrier] = []
    """Shelves and drawers and what they carry."""
    lids: list[Lid] = []
    """Boards, doors and lids on gas springs."""
    scene: list[SceneArea] = []
    """Areas on the ground and work planes that work light must reach."""
    markings: list[MarkingArea] = []
    """Reflective areas of the sides."""
    quote: Quote = Field(default_factory=Quote)
    """Options, discount, deposit, validity."""
    inspection: list[InspectionTest] = []
    """Tests beyond those generated."""
    settled: dict[Text, Text] = {}
    """Worked-out values written by `settle`."""
    notes: Text | None = None
    """Free text for the people in the bay."""

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values."""
        yield from twice("install", self.install)
        yield from twice("feeds", self.feeds)
        yield from twice("links", self.links)
        yield from twice("batteries", self.batteries)
        yield from twice("states", self.states)
        yield from twice("kit", self.kit)
        yield from twice("panels", self.panels)
        yield from twice("mounts", self.mounts)
        yield from twice("lids", self.lids)
        yield from twice("enclosures", self.enclosures)
        yield from twice("shelves", self.shelves)
        yield from twice("scene", self.scene)
        yield from twice("markings", self.markings)
        yield from twice("clauses", self.clauses)
        yield from twice("inspection", self.inspection)
