"""Vehicle documents: dimensions, masses, charging, batteries, places, routes, signals, factory lamps."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from rigbook.documents.schema.base import PlacedText, Record
from rigbook.documents.schema.scalars import (
    Angle,
    Count,
    Current,
    Density,
    FormatNumber,
    Length,
    Mass,
    Name,
    Ratio,
    Resistance,
    Rpm,
    Share,
    Temperature,
    Text,
    Voltage,
    Volume,
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
    length: Length
    """Overall length."""
    width: Length
    """Overall width without mirrors."""
    height: Length
    """Overall height, empty."""
    wheelbase: Length
    """Front to rear axle centre."""
    front_overhang: Length
    """Front axle centre to the foremost point."""


class Outline(Record):
    body: Literal["van", "pickup", "utility"] = "van"
    """Kind of body, for the drawing."""
    bonnet_length: Length | None = None
    """Front of the vehicle to the foot of the windscreen."""
    bonnet_height: Length | None = None
    """Height of the bonnet at the windscreen foot."""
    roof_start: Length | None = None
    """Foremost point to the front edge of the roof."""
    cab_length: Length | None = None
    """Foremost point to the back of the cab (pick-up)."""
    bed_height: Length | None = None
    """Height of the bed rail (pick-up)."""
    ground_clearance: Length | None = None
    """Lowest body edge above the ground."""
    tyre_diameter: Length | None = None
    """Outside diameter of a tyre."""


class Track(Record):
    front: Length
    """Between the tyre centres of the front axle."""
    rear: Length
    """Between the tyre centres of the rear axle."""


class Ratings(Record):
    gvwr: Mass
    """Gross vehicle weight rating."""
    gawr_front: Mass
    """Gross axle weight rating, front."""
    gawr_rear: Mass
    """Gross axle weight rating, rear."""


class Curb(Record):
    front: Mass
    """On the front axle, ready to drive without persons."""
    rear: Mass
    """On the rear axle, ready to drive without persons."""
    left: Mass | None = None
    """On the left wheels; half where left out."""
    cg_height: Length
    """Height of the centre of gravity."""


class Tyres(Record):
    size: Text
    """As on the sidewall."""
    load_index: Count
    """Load index of one tyre, single."""
    count_rear: Count = 2
    """Tyres on the rear axle."""


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
    facing: Angle
    """Azimuth it faces."""
    tilt: Angle = 0.0
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
    length: Length | None = None
    """Length along the route; the straight distance where left out."""
    hole: Length | None = None
    """Diameter of the hole or loom it passes."""


class Routes(Record):
    nodes: dict[Name, Point] = {}
    """Named points cables pass."""
    runs: list[Run] = []
    """Ways between nodes."""


class OpenPose(Record):
    when: PlacedText
    """Condition under which the door is open."""
    at: Point
    """Where the place is then."""
    facing: Angle
    """Where it faces then."""
    tilt: Angle = 0.0
    """Up from the horizon then."""


class Through(Record):
    glass: Share
    """Share of light that passes the glass."""


class Place(Record):
    id: Name
    """Name of the place."""
    at: Point
    """Where it is."""
    facing: Angle | Literal["all-round"] | None = None
    """Azimuth it faces, or all-round."""
    tilt: Angle = 0.0
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
    reach: Length = 1.0
    """How far a lead may reach from a node."""
    routes: Routes = Field(default_factory=Routes)
    """The route graph."""
    places: list[Place] = []
    """Named places for equipment."""
    keep_out: list[KeepOut] = []
    """Volumes to keep clear."""
    wading_line: Length | None = None
    """Height up to which the vehicle may stand in water."""
    notes: Text | None = None
    """Free text."""


class VehicleDocument(Record):
    rigbook: FormatNumber
    """Format of the document."""
    vehicle: Vehicle
    """The vehicle."""
