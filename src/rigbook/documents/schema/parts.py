"""Part documents: the catalogue. Kinds are a closed list with one schema each, told apart by `kind`."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field

from rigbook.documents.schema.base import PlacedText, Record
from rigbook.documents.schema.scalars import (
    Angle,
    Charge,
    Count,
    Current,
    Duration,
    FormatNumber,
    Flux,
    Force,
    Frequency,
    GaugeText,
    Intensity,
    Length,
    Mass,
    Minutes,
    Money,
    Name,
    Number,
    Power,
    Ref,
    Resistance,
    Share,
    SoundLevel,
    Temperature,
    Text,
    Voltage,
    YesNo,
)

Dimensions = tuple[Length, Length, Length]
LoadLaw = Literal["constant-power", "constant-current", "resistive"]


class Inrush(Record):
    times: Number
    """Times the steady current."""
    for_: Duration = Field(alias="for")
    """How long."""


class Lead(Record):
    name: Text
    """Name of the lead."""
    colour: Name
    """Insulation colour."""
    stripe: Name | None = None
    """Stripe colour."""
    gauge: GaugeText
    """Size."""
    length: Length
    """As delivered."""
    for_: Text = Field(alias="for")
    """What it carries: a colour, a state, power, return, sense, data …"""


class Cavity(Record):
    id: Text
    """Number or letter of the cavity."""
    for_: Text = Field(alias="for")
    """What it carries: output 3, input 1, power, return, data high …"""


class PartConnector(Record):
    id: Name
    """Name of the connector on the part."""
    part: Name | None = None
    """Mating connector of the catalogue."""
    view: Literal["mating", "wire"] = "wire"
    """Side the cavities are numbered from."""
    cavities: list[Cavity]
    """Its cavities."""


class DrawState(Record):
    id: Name
    """Name of the state."""
    draw: Current
    """What it draws in it."""


class MountHoles(Record):
    holes: Count
    """Number of fasteners."""
    bolt: Text
    """Thread."""
    class_: Text = Field(default="8.8", alias="class")
    """Property class."""


class PartBase(Record):
    id: Name
    """Name of the part."""
    title: Text
    """As printed."""
    mass: Mass
    """Mass of one."""
    size: Dimensions
    """Depth along facing, width, height."""
    cost: Money = 0
    """What we pay."""
    list_price: Money = 0
    """What it lists at; cost and mark-up where 0."""
    labour: Minutes = 0.0
    """Minutes to fit one."""
    supplier: Text | None = None
    """Who delivers it."""
    lead_time: Duration | None = None
    """How long delivery takes."""
    substitutes: list[Name] = []
    """Parts that may take its place."""
    sealed: YesNo = False
    """May stand in water."""
    mount: MountHoles | None = None
    """How it is bolted."""
    leads: list[Lead] = []
    """Its own leads."""
    connectors: list[PartConnector] = []
    """Its connectors."""
    depth_behind_face: Length | None = None
    """Room it needs behind a face."""
    cut_out: tuple[Length, Length] | None = None
    """Cut-out in a face, width and height."""
    note: Text | None = None
    """For the people in the bay."""


class ElectricBase(PartBase):
    draws: dict[Name, Current] = {}
    """Current by draw state; the first is its rest."""
    at: Voltage = 12.8
    """Voltage the currents are stated at."""
    power: Power | None = None
    """Name-plate watts, if stated; must agree with current and voltage."""
    load: LoadLaw = "constant-current"
    """How current follows voltage."""
    works: tuple[Voltage, Voltage] | None = None
    """Voltage window it works in."""
    inrush: Inrush | None = None
    """Current at switch-on."""
    states: list[DrawState] = []
    """States functions may drive it into."""
    rest: Name | None = None
    """State at rest."""
    driven: Literal["wire-per-colour", "select-wire", "self-flashing", "data-link", "wire-per-state"] | None = None
    """How it is told what to do."""


class LampColour(Record):
    current: Current
    """What it draws lit steady."""
    at: Voltage | None = None
    """Voltage the current is stated at; the part's where left out."""
    candela: Intensity | None = None
    """Peak intensity."""
    beam: tuple[Angle, Angle] | None = None
    """Full width at half the peak, horizontal then vertical."""
    lumens: Flux | None = None
    """Total flux."""
    light: Text | None = None
    """Photometric file in light/."""


class Lamp(ElectricBase):
    kind: Literal["lamp"]
    """Lamp."""
    driven: Literal["wire-per-colour", "select-wire", "self-flashing", "data-link"] = "wire-per-colour"
    """How it is told what to do."""
    one_colour_at_a_time: YesNo = False
    """Cannot show two colours together."""
    colours: dict[Name, LampColour]
    """Its colours."""
    dims_by: Literal["switching", "current"] = "switching"
    """How it is dimmed."""


class BarModule(Record):
    id: Name
    """Name of the module in the bar."""
    at: tuple[Length, Length, Length]
    """From the middle of the bar: back, right, up."""
    facing: Angle
    """Azimuth relative to the bar."""
    part: Name
    """Lamp part inside."""
    tags: list[Name] = []
    """Tags beside the bar's."""


class Lightbar(ElectricBase):
    kind: Literal["lightbar"]
    """Lightbar with modules inside."""
    modules: list[BarModule]
    """What is inside."""


class Outputs(Record):
    count: Count
    """How many."""
    limit: Current
    """Each, continuous."""
    side: Literal["high", "low"] = "high"
    """High side or low side."""
    dims: YesNo = False
    """Can dim."""
    reads_current: YesNo = False
    """Reports its current."""


class OutputBank(Record):
    outputs: Text
    """Which, as 1-8."""
    limit: Current
    """Together."""
    id: Name | None = None
    """Name of its power terminal."""


class Inputs(Record):
    count: Count
    """How many."""


class Controller(ElectricBase):
    kind: Literal["controller"]
    """Lighting controller."""
    outputs: Outputs
    """Its outputs."""
    banks: list[OutputBank] = []
    """Groups of outputs with a common limit."""
    inputs: Inputs = Field(default_factory=lambda: Inputs(count=0))
    """Its inputs."""
    ports: Count = 0
    """Ports for modules."""


class OutputModule(ElectricBase):
    kind: Literal["output-module"]
    """Module with outputs on a controller's link."""
    outputs: Outputs
    """Its outputs."""
    banks: list[OutputBank] = []
    """Groups of outputs with a common limit."""
    inputs: Inputs = Field(default_factory=lambda: Inputs(count=0))
    """Its inputs."""


class SwitchPanel(ElectricBase):
    kind: Literal["switch-panel"]
    """Panel of switches."""
    keys: Count
    """Switches it holds."""


class SirenAmplifier(ElectricBase):
    kind: Literal["siren-amplifier"]
    """Siren amplifier."""
    output_power: Power | None = None
    """Into its rated speaker."""


class SirenSpeaker(PartBase):
    kind: Literal["siren-speaker"]
    """Siren speaker."""
    impedance: Resistance | None = None
    """Nominal."""
    level: SoundLevel | None = None
    """At 3 m, at rated power."""


class Speaker(PartBase):
    kind: Literal["speaker"]
    """Radio or cabin speaker."""
    impedance: Resistance | None = None
    """Nominal."""


class RadioAntenna(Record):
    power: Power
    """Transmit power."""
    band: tuple[Frequency, Frequency]
    """Band it uses."""


class Radio(ElectricBase):
    kind: Literal["radio"]
    """Two-way radio."""
    antenna: RadioAntenna
    """What it puts on its antenna."""


class Antenna(PartBase):
    kind: Literal["antenna"]
    """Antenna."""
    band: tuple[Frequency, Frequency]
    """Band it covers."""
    length: Length | None = None
    """Length of the whip."""


class Modem(ElectricBase):
    kind: Literal["modem"]
    """Cellular modem or router."""


class Battery(PartBase):
    kind: Literal["battery"]
    """Battery."""
    chemistry: Literal["agm", "flooded", "gel", "lithium-iron-phosphate"]
    """Chemistry."""
    capacity: Charge
    """At the 20 h rate."""
    reserve: Duration | None = None
    """Reserve capacity, in minutes at 25 A."""
    cranking: Current | None = None
    """Cold cranking amperes."""
    resistance: Resistance | None = None
    """Inside resistance."""
    rates: list[tuple[Duration, Charge]] = []
    """Capacity by discharge time."""


class Isolator(ElectricBase):
    kind: Literal["isolator"]
    """Joins two banks when charging."""
    limit: Current
    """Continuous."""
    closes_at: Voltage | None = None
    """Cut-in."""
    opens_at: Voltage | None = None
    """Cut-out."""
    delay: Duration | None = None
    """Before it acts."""


class Contactor(ElectricBase):
    kind: Literal["contactor"]
    """Heavy relay."""
    limit: Current
    """Continuous."""


class Charger(ElectricBase):
    kind: Literal["charger"]
    """Shore charger."""
    output: Current
    """Together."""
    banks: Count = 1
    """Banks it charges."""
    input: Current | None = None
    """From the shore, at full output."""


class DcDc(ElectricBase):
    kind: Literal["dc-dc"]
    """DC-DC converter."""
    output: Current
    """Continuous."""
    output_voltage: Voltage = 13.8
    """Regulated."""
    efficiency: Share = 0.9
    """At rated output."""


class ShoreInlet(PartBase):
    kind: Literal["shore-inlet"]
    """Shore inlet."""
    limit: Current
    """Of the inlet."""
    voltage: Voltage = 120.0
    """Of the shore."""
    auto_eject: YesNo = False
    """Throws the plug out when the engine cranks."""


class ChargeDisplay(ElectricBase):
    kind: Literal["charge-display"]
    """Shows charge, readable from outside."""


class FuseBlock(PartBase):
    kind: Literal["fuse-block"]
    """Fuse block."""
    positions: Count
    """Fuses it holds."""
    form: Name = "blade"
    """Fuse form."""
    limit: Current
    """Of the whole block."""
    position_limit: Current | None = None
    """Of one position."""
    rows: Count = 2
    """Rows it is drawn in."""


class Breaker(PartBase):
    kind: Literal["breaker"]
    """Circuit breaker."""
    rating: Current
    """Rated current."""
    type: Literal["I", "II", "III"] = "III"
    """Reset type."""


class Disconnect(PartBase):
    kind: Literal["disconnect"]
    """Battery disconnect switch."""
    limit: Current
    """Continuous."""


class BusBar(PartBase):
    kind: Literal["bus-bar"]
    """Bus bar."""
    limit: Current
    """Continuous."""
    studs: Count
    """Studs."""


class Relay(ElectricBase):
    kind: Literal["relay"]
    """Relay; states open and closed."""
    limit: Current
    """Contact, continuous."""


class Wire(PartBase):
    kind: Literal["wire"]
    """Wire by the metre; mass of one metre."""
    gauge: GaugeText
    """Size."""
    insulation: Temperature
    """Insulation class."""
    outside_diameter: Length
    """Over the insulation."""
    resistance_per_metre: Resistance | None = None
    """At 20 C; from the table of its gauge where left out."""


class Connector(PartBase):
    kind: Literal["connector"]
    """Connector housing."""
    cavities: Count
    """How many."""
    terminal: Name | None = None
    """Terminal it takes."""
    limit: Current | None = None
    """Each cavity."""


class Terminal(PartBase):
    kind: Literal["terminal"]
    """Terminal, lug or splice."""
    gauges: tuple[GaugeText, GaugeText]
    """Thinnest and thickest wire."""
    stud: Text | None = None
    """Stud of a lug."""


class Console(PartBase):
    kind: Literal["console"]
    """Console."""


class FaceplateItem(PartBase):
    kind: Literal["faceplate-item"]
    """Cup holder, plate, socket on a face."""


class Cabinet(PartBase):
    kind: Literal["cabinet"]
    """Cabinet."""
    vents: YesNo = False
    """Has openings for air."""


class Drawer(PartBase):
    kind: Literal["drawer"]
    """Drawer."""
    rating: Mass | None = None
    """What it may carry."""


class Shelf(PartBase):
    kind: Literal["shelf"]
    """Shelf."""
    rating: Mass | None = None
    """What it may carry."""
    heights: list[Length] = []
    """Positions of an adjustable shelf."""


class Board(PartBase):
    kind: Literal["board"]
    """Table board or lid."""


class GasSpring(PartBase):
    kind: Literal["gas-spring"]
    """Gas spring."""
    force: Force
    """Extended, at 20 C."""
    stroke: Length
    """Stroke."""
    ratio: Number = 1.2
    """Compressed over extended force."""


class Fan(ElectricBase):
    kind: Literal["fan"]
    """Fan."""
    flow_m3_per_h: Number | None = None
    """Free air flow."""


class PortableCharger(ElectricBase):
    kind: Literal["portable-charger"]
    """Charger for a portable radio or lamp."""


class ComputerDock(ElectricBase):
    kind: Literal["computer-dock"]
    """Dock for a computer."""


class PushBumper(PartBase):
    kind: Literal["push-bumper"]
    """Push bumper."""


class Display(ElectricBase):
    kind: Literal["display"]
    """Screen."""


class Camera(ElectricBase):
    kind: Literal["camera"]
    """Camera."""


class Mount(PartBase):
    kind: Literal["mount"]
    """Bracket or mount."""


class Marking(PartBase):
    kind: Literal["marking"]
    """Reflective marking material."""


class BulkheadFitting(PartBase):
    kind: Literal["bulkhead-fitting"]
    """Fitting through a wall."""
    hole: Length | None = None
    """Clear bore."""


class Buzzer(ElectricBase):
    kind: Literal["buzzer"]
    """Buzzer."""


class Hardware(PartBase):
    kind: Literal["hardware"]
    """Anything that neither draws nor lights."""


class Request(ElectricBase):
    kind: Literal["request"]
    """A request to the vehicle maker's own module with its own interlock: high idle, locks."""


class Appliance(ElectricBase):
    kind: Literal["appliance"]
    """Socket, heater, pump outlet, winch feed, trailer socket: a load that is none of the above."""


PartAny = Annotated[
    Lamp | Lightbar | Controller | OutputModule | SwitchPanel | SirenAmplifier | SirenSpeaker | Speaker | Radio
    | Antenna | Modem | Battery | Isolator | Contactor | Charger | DcDc | ShoreInlet | ChargeDisplay | FuseBlock
    | Breaker | Disconnect | BusBar | Relay | Wire | Connector | Terminal | Console | FaceplateItem | Cabinet
    | Drawer | Shelf | Board | GasSpring | Fan | PortableCharger | ComputerDock | PushBumper | Display | Camera
    | Mount | Marking | BulkheadFitting | Buzzer | Hardware | Request | Appliance,
    Field(discriminator="kind"),
]


class PartsDocument(Record):
    rigbook: FormatNumber
    """Format of the document."""
    parts: list[PartAny]
    """The parts."""
