"""Vehicle documents: dimensions, masses, charging, batteries, places, routes, signals, factory lamps."""

# ruff: noqa: RUF012 -- records are frozen, and pydantic copies their defaults

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from typing import Literal

from pydantic import Field

from rigbook.documents.schema.base import PlacedText, Problem, Record, above_zero, twice
from rigbook.documents.schema.mounting import SightLine
from rigbook.documents.schema.scalars import (
    Azimuth,
    Count,
    Current,
    Density,
    Extent,
    FormatNumber,
    Length,
    Name,
    Pressure,
    Ratio,
    Resistance,
    Rpm,
    Share,
    Temperature,
    Text,
    Tilt,
    Voltage,
    Volume,
    Weight,
    YesNo,
)
from rigbook.documents.schema.switching import Signal

Point = tuple[Length, Length, Length]
KeepOutWhy = Literal[
    "air bag",
    "crash sensor",
    "radar",
    "ultrasonic",
    "camera",
    "head strike",
    "view",
    "fuel",
    "brake line",
    "high voltage",
    "exhaust",
]


class Size(Record):
    length: Extent
    """Overall length."""
    width: Extent
    """Overall width without mirrors."""
    height: Extent
    """Overall height, empty."""
    wheelbase: Extent
    """Front to rear axle centre."""
    front_overhang: Extent
    """Front axle centre to the foremost point."""

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values."""
        yield from above_zero(self, "length", "width", "height", "wheelbase")
        if self.wheelbase + self.front_overhang > self.length:
            says = "wheelbase and front overhang are longer than the vehicle"
            yield Problem(
                "length", says, f"{self.length:.6g} m", f"at least {self.wheelbase + self.front_overhang:.6g} m"
            )


class Outline(Record):
    body: Literal["van", "pickup", "utility"] = "van"
    """Kind of body, for the drawing."""
    bonnet_length: Extent | None = None
    """Front of the vehicle to the foot of the windscreen."""
    bonnet_height: Extent | None = None
    """Height of the bonnet at the windscreen foot."""
    roof_start: Extent | None = None
    """Foremost point to the front edge of the roof."""
    cab_length: Extent | None = None
    """Foremost point to the back of the cab (pick-up)."""
    bed_height: Extent | None = None
    """Height of the bed rail (pick-up)."""
    ground_clearance: Extent | None = None
    """Lowest body edge above the ground."""
    tyre_diameter: Extent | None = None
    """Outside diameter of a tyre."""


class Track(Record):
    front: Extent
    """Between the tyre centres of the front axle."""
    rear: Extent
    """Between the tyre centres of the rear axle."""

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values."""
        yield from above_zero(self, "front", "rear")


class Ratings(Record):
    gvwr: Weight
    """Gross vehicle weight rating."""
    gawr_front: Weight
    """Gross axle weight rating, front."""
    gawr_rear: Weight
    """Gross axle weight rating, rear."""
    capacity: Weight | None = None
    """Capacity weight on the tyre placard: persons and cargo together."""

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values."""
        for axle in ("gawr_front", "gawr_rear"):
            if getattr(self, axle) > self.gvwr:
                yield Problem(axle, f"{axle} is above the rating of the whole vehicle", "", "at most gvwr")


class Curb(Record):
    front: Weight
    """On the front axle, ready to drive without persons."""
    rear: Weight
    """On the rear axle, ready to drive without persons."""
    left: Weight | None = None
    """On the left wheels; half where left out."""
    cg_height: Extent
    """Height of the centre of gravity."""

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values."""
        yield from above_zero(self, "cg_height")
        if self.left is not None and self.left >= self.front + self.rear:
            yield Problem("left", "the left wheels carry more than the whole vehicle", "", "less than front and rear")


class Tyres(Record):
    size: Text
    """As on the sidewall."""
    load_index: Count
    """Load index of one tyre, single."""
    load_index_dual: Count | None = None
    """Load index of one tyre where two stand side by side."""
    count_rear: Count = 2
    """Tyres on the rear axle."""
    passenger_car: YesNo = False
    """Tyres of passenger cars on a truck, bus or multi-purpose vehicle: they carry less there."""
    pressure: Pressure | None = None
    """Cold pressure at which one tyre carries its index."""

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values."""
        if self.count_rear not in (2, 4):
            yield Problem("count_rear", "a rear axle has 2 or 4 tyres", str(self.count_rear), "2 or 4")


class Seat(Record):
    id: Name
    """Name of the seat."""
    at: Point
    """Where a sitting person's mass acts."""


class Fuel(Record):
    capacity: Volume
    """Tank volume."""
    at: Point
    """Centre of the tank."""
    density: Density
    """Of the fuel."""
    curb_at: Share = 1.0
    """Fill the curb masses were taken at."""


class Charging(Record):
    kind: Literal["alternator", "dc-dc"]
    """Alternator, or a DC-DC converter from a traction battery."""
    cold: list[tuple[Rpm, Current]] = []
    """Output at rotor speed, cold."""
    hot: list[tuple[Rpm, Current]] = []
    """Output at rotor speed, hot."""
    output: Current | None = None
    """Output of a DC-DC converter."""
    pulley_ratio: Ratio = 1.0
    """Rotor turns per engine turn."""
    idle_rpm: Rpm | None = None
    """Engine speed at idle."""
    high_idle_rpm: Rpm | None = None
    """Engine speed at high idle."""
    at: Voltage = 13.8
    """Regulated voltage."""

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values."""
        if self.kind == "alternator":
            for key in ("cold", "hot"):
                yield from self._curve(key, getattr(self, key))
            if self.idle_rpm is None:
                yield Problem("", "an alternator needs the idle speed of the engine", "nothing", "idle_rpm: 700")
        elif self.output is None:
            yield Problem("", "a DC-DC converter needs its output", "nothing", "output: 150 A")
        if self.idle_rpm is not None and self.high_idle_rpm is not None and self.high_idle_rpm < self.idle_rpm:
            yield Problem("high_idle_rpm", "high idle is below idle", f"{self.high_idle_rpm:g}", "at least idle_rpm")

    @staticmethod
    def _curve(key: str, points: list[tuple[float, float]]) -> Iterator[Problem]:
        if not points:
            yield Problem(
                key, f"an alternator needs its {key} output curve", "nothing", "[[1800, 70 A], [6000, 180 A]]"
            )
        for (before, _), (after, _) in itertools.pairwise(points):
            if after <= before:
                yield Problem(
                    key, f"the speeds of the {key} curve do not rise", f"{after:g} after {before:g}", "rising rpm"
                )


class BaseLoad(Record):
    engine: Current
    """While the engine runs."""
    headlamps: Current
    """Headlamps and marker lamps."""
    climate: Current
    """Climate at full."""
    key_off: Current
    """Asleep, key off."""


class Roles(Record):
    parked_when: PlacedText | None = None
    """Condition that means parked."""
    running_when: PlacedText | None = None
    """Condition that means the engine runs."""
    key_on_when: PlacedText | None = None
    """Condition that means key on."""
    shore_when: PlacedText | None = None
    """Condition that means plugged in."""


class Bank(Record):
    id: Name
    """Name of the bank."""
    part: Name
    """Battery part."""
    count: Count = 1
    """Batteries in parallel."""
    at: Point | None = None
    """Where it stands."""
    place: Name | None = None
    """Place where it stands."""
    node: Name | None = None
    """Route node of its post."""
    negative_sensor: YesNo = False
    """A current sensor sits on its negative post."""
    disconnect: Name | None = None
    """Installed switch that takes everything off its post."""

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values."""
        if self.count < 1:
            yield Problem("count", "a bank has at least one battery", str(self.count), "1 or more")
        if self.at is not None and self.place is not None:
            yield Problem("at", f"{self.id} has both a place and coordinates", "place and at", "one of place, at")


class Ground(Record):
    id: Name
    """Name of the stud."""
    at: Point
    """Where it is."""
    node: Name | None = None
    """Route node; the nearest where left out."""
    resistance: Resistance = 0.0
    """From the stud to the battery negative."""


class FactoryLamp(Record):
    id: Name
    """Name of the lamp."""
    at: Point
    """Where it is."""
    facing: Azimuth
    """Azimuth it faces."""
    tilt: Tilt = 0.0
    """Up from the horizon."""
    colour: Name
    """Its colour."""
    current: Current
    """What it draws."""
    commanded_when: PlacedText
    """When the vehicle lights it."""
    tags: list[Name] = []
    """Tags for selectors."""
    level: Literal["upper", "lower"] | None = None
    """Height class."""


class Area(Record):
    id: Name
    """Name of the area."""
    ambient: Temperature
    """Design ambient temperature."""


class Run(Record):
    between: tuple[Name, Name]
    """The two nodes."""
    area: Name
    """Area it runs through."""
    length: Extent | None = None
    """Length along the route; the straight distance where left out."""
    hole: Extent | None = None
    """Diameter of the hole or loom it passes."""

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values."""
        if self.between[0] == self.between[1]:
            yield Problem("between", f"a run from {self.between[0]} to itself", self.between[1], "another node")


class Routes(Record):
    nodes: dict[Name, Point] = {}
    """Named points cables pass."""
    runs: list[Run] = []
    """Ways between nodes."""

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values."""
        for index, run in enumerate(self.runs):
            first, last = (self.nodes.get(name) for name in run.between)
            if run.length is not None and first is not None and last is not None:
                distance = math.dist(first, last)
                if run.length < distance - 5e-4:
                    says = (
                        f"the run between {run.between[0]} and {run.between[1]} is {run.length:.6g} m long, and its nodes "
                        f"are {distance:.4g} m apart"
                    )
                    yield Problem(f"runs/{index}/length", says, f"{run.length:.6g} m", f"at least {distance:.4g} m")


class OpenPose(Record):
    when: PlacedText
    """Condition under which the door is open."""
    at: Point
    """Where the place is then."""
    facing: Azimuth
    """Where it faces then."""
    tilt: Tilt = 0.0
    """Up from the horizon then."""


class Through(Record):
    glass: Share
    """Share of light that passes the glass."""


class Place(Record):
    id: Name
    """Name of the place."""
    at: Point
    """Where it is."""
    facing: Azimuth | Literal["all-round"] | None = None
    """Azimuth it faces, or all-round."""
    tilt: Tilt = 0.0
    """Up from the horizon."""
    node: Name | None = None
    """Route node; the nearest within reach where left out."""
    area: Name | None = None
    """Area; the node's where left out."""
    level: Literal["upper", "lower"] | None = None
    """Height class of a warning lamp."""
    inside: YesNo = False
    """Inside the cabin."""
    zones: list[Literal["front", "right", "rear", "left"]] | None = None
    """Zones it counts for, instead of those of its facing."""
    through: Through | None = None
    """Glass in front of it."""
    open: OpenPose | None = None
    """Second pose of a place on a door."""


class KeepOut(Record):
    id: Name
    """Name of the volume."""
    why: KeepOutWhy
    """What must stay clear."""
    box: tuple[Point, Point]
    """Two opposite corners."""

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values."""
        if any(low == high for low, high in zip(*self.box, strict=True)):
            yield Problem("box", "two corners of the volume lie in one plane", "no volume", "two opposite corners")


class Vehicle(Record):
    id: Name
    """Name of the vehicle."""
    title: Text
    """As printed."""
    system: Literal["12 V", "24 V"] = "12 V"
    """Nominal voltage."""
    size: Size
    """Dimensions."""
    outline: Outline = Field(default_factory=Outline)
    """Shape, for the drawings."""
    track: Track
    """Track widths."""
    ratings: Ratings
    """Weight ratings."""
    curb: Curb
    """Curb masses."""
    tyres: Tyres
    """Tyres."""
    seats: list[Seat] = []
    """Seats."""
    fuel: Fuel | None = None
    """Fuel tank."""
    charging: Charging
    """How it charges."""
    base_load: BaseLoad
    """What the vehicle itself draws."""
    roles: Roles = Field(default_factory=Roles)
    """Which conditions mean parked, running, key on, plugged in."""
    batteries: list[Bank]
    """The vehicle's own banks."""
    grounds: list[Ground] = []
    """Ground studs."""
    signals: list[Signal] = []
    """Signals the vehicle gives."""
    impossible: list[PlacedText] = []
    """Combinations of signals that cannot be."""
    factory_lamps: list[FactoryLamp] = []
    """Lamps the vehicle came with."""
    areas: list[Area] = []
    """Areas with their temperature."""
    reach: Extent = 1.0
    """How far a lead may reach from a node."""
    routes: Routes = Field(default_factory=Routes)
    """The route graph."""
    places: list[Place] = []
    """Named places for equipment."""
    keep_out: list[KeepOut] = []
    """Volumes to keep clear."""
    sight_lines: list[SightLine] = []
    """Lines of sight that stay free."""
    wading_line: Extent | None = None
    """Height up to which the vehicle may stand in water."""
    notes: Text | None = None
    """Free text."""

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values."""
        yield from twice("seats", self.seats)
        yield from twice("batteries", self.batteries)
        yield from twice("grounds", self.grounds)
        yield from twice("signals", self.signals)
        yield from twice("factory_lamps", self.factory_lamps)
        yield from twice("areas", self.areas)
        yield from twice("places", self.places)
        yield from twice("keep_out", self.keep_out)
        yield from twice("sight_lines", self.sight_lines)
        if not self.batteries:
            yield Problem("batteries", "a vehicle has at least one battery", "none", "- {id: starter, part: …}")
        tags = {tag: f"factory_lamps/{i}/tags" for i, lamp in enumerate(self.factory_lamps) for tag in lamp.tags}
        for lamp in self.factory_lamps:
            if lamp.id in tags:
                yield Problem(tags[lamp.id], f"{lamp.id} is both the id of a lamp and a tag", lamp.id, "another tag")


class VehicleDocument(Record):
    rigbook: FormatNumber
    """Format of the document."""
    vehicle: Vehicle
    """The vehicle."""
