"""Part documents: the catalogue. Kinds are a closed list with one schema each, told apart by `kind`."""

# ruff: noqa: RUF012 -- records are frozen, and pydantic copies their defaults

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Annotated, Literal, get_args

from pydantic import Field

from rigbook.documents.schema.base import Problem, Record, twice
from rigbook.documents.schema.scalars import (
    Angle,
    Azimuth,
    Charge,
    Count,
    Current,
    Duration,
    Extent,
    Flux,
    Force,
    FormatNumber,
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
    Resistance,
    Share,
    SoundLevel,
    Temperature,
    Text,
    Voltage,
    YesNo,
)

Dimensions = tuple[Extent, Extent, Extent]
LoadLaw = Literal["constant-power", "constant-current", "resistive"]
WATTS_AGREE = 0.05
"""Share by which name-plate watts may differ from volts times amperes, for rounding [common practice, no source]."""


def outputs_in(text: str) -> range | None:
    """The outputs that `3` or `1-8` names; None for a text that names none."""
    match = re.fullmatch(r"([1-9]\d{0,3})(?:\s*-\s*([1-9]\d{0,3}))?", text, re.ASCII)
    if match is None:
        return None
    first, last = int(match.group(1)), int(match.group(2) or match.group(1))
    return range(first, last + 1) if first <= last else None


class Inrush(Record):
    times: Number
    """Times the steady current."""
    for_: Duration = Field(alias="for")
    """How long."""

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values."""
        if self.times < 1:
            yield Problem("times", "an inrush is at least the steady current", f"{self.times:g}", "1 or more")


class Lead(Record):
    name: Text
    """Name of the lead."""
    colour: Name
    """Insulation colour."""
    stripe: Name | None = None
    """Stripe colour."""
    gauge: GaugeText
    """Size."""
    length: Extent
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

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values."""
        yield from twice("cavities", self.cavities)


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
    depth_behind_face: Extent | None = None
    """Room it needs behind a face."""
    cut_out: tuple[Extent, Extent] | None = None
    """Cut-out in a face, width and height."""
    cut_out_corner: Extent = 0.0
    """Radius of the corners of the cut-out; half its width where it is a round hole."""
    bezel: tuple[Extent, Extent] | None = None
    """Width and height of what covers the face around it; those of its size where left out."""
    fixings: list[tuple[Length, Length]] = []
    """Holes for its screws in the face, from the middle of the cut-out: to the right and up."""
    fixing_hole: Extent = 0.0034
    """Diameter of those holes."""
    note: Text | None = None
    """For the people in the bay."""

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values."""
        yield from twice("connectors", self.connectors)
        yield from self._cut()
        if self.id in self.substitutes:
            yield Problem("substitutes", f"{self.id} cannot take its own place", self.id, "another part")

    def _cut(self) -> Iterator[Problem]:
        if self.cut_out is None:
            return
        wide, high = self.bezel or (self.size[1], self.size[2])
        if min(self.cut_out) <= 0:
            yield Problem("cut_out", "a cut-out has a width and a height above zero", "0", "[64 mm, 89 mm]")
        elif self.cut_out[0] > wide + 1e-12 or self.cut_out[1] > high + 1e-12:
            says = "the cut-out is larger than what covers it: one would see past the edge"
            found = f"{1e3 * self.cut_out[0]:g} by {1e3 * self.cut_out[1]:g} mm"
            yield Problem("cut_out", says, found, f"at most {1e3 * wide:g} by {1e3 * high:g} mm")
        elif 2 * self.cut_out_corner > min(self.cut_out) + 1e-12:
            yield Problem("cut_out_corner", "the corners are rounder than the cut-out is wide",
                          f"{1e3 * self.cut_out_corner:g} mm", f"at most {500 * min(self.cut_out):g} mm")  # fmt: skip


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

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values."""
        yield from super().problems_()
        yield from twice("states", self.states)
        if self.works is not None and self.works[0] >= self.works[1]:
            yield Problem("works", "the voltage window is upside down", "low above high", "[10 V, 16 V]")
        names = {state.id for state in self.states} | set(self.draws) | set(self.own_states_())
        if self.rest is not None and self.rest not in names:
            yield Problem("rest", f"{self.id} has no state {self.rest!r}", self.rest, ", ".join(sorted(names)))
        yield from self._watts()

    def own_states_(self) -> tuple[str, ...]:
        """States that the kind itself has."""
        return ()

    def stated_currents_(self) -> dict[str, float]:
        """Currents at full power, by what draws them."""
        return {**self.draws, **{state.id: state.draw for state in self.states}}

    def _watts(self) -> Iterator[Problem]:
        currents = self.stated_currents_()
        if self.power is None or not currents or "at" not in self.model_fields_set:
            return
        most = max(currents.values())
        watts = most * self.at
        if abs(watts - self.power) > max(WATTS_AGREE * self.power, 0.5):
            says = f"{self.power:.6g} W do not agree with {most:.6g} A at {self.at:.6g} V, which are {watts:.4g} W"
            yield Problem("power", says, f"{self.power:.6g} W", f"{watts:.4g} W, or another current or voltage")


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
    chromaticity: tuple[Number, Number] | None = None
    """CIE 1931 x and y of its light."""

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values."""
        if self.chromaticity is not None:
            x, y = self.chromaticity
            if x < 0 or y <= 0 or x + y > 1:
                says = "no light has this chromaticity: x and y are above 0 and together at most 1"
                yield Problem("chromaticity", says, f"[{x:g}, {y:g}]", "[0.3127, 0.3290]")
        if self.beam is not None and not all(0 < width <= 360 for width in self.beam):
            yield Problem("beam", "a beam is above 0 and at most 360 deg wide", "", "[20 deg, 10 deg]")
        if self.beam is not None and self.candela is None:
            yield Problem("beam", "a beam without its peak intensity", "no candela", "candela: … beside it")


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

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values."""
        yield from super().problems_()
        if not self.colours:
            yield Problem("colours", "a lamp has at least one colour", "none", "colours: {blue: {current: 0.9 A}}")

    def stated_currents_(self) -> dict[str, float]:
        """Currents at full power: all colours together where they may be lit together."""
        each = {name: c.current for name, c in self.colours.items() if c.at is None or c.at == self.at}
        if len(each) < len(self.colours):
            return {}
        return each if self.one_colour_at_a_time else {"all colours": sum(each.values())}


class BarModule(Record):
    id: Name
    """Name of the module in the bar."""
    at: tuple[Length, Length, Length]
    """From the middle of the bar: back, right, up."""
    facing: Azimuth
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

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values."""
        yield from super().problems_()
        yield from twice("modules", self.modules)


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

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values."""
        if self.count < 1:
            yield Problem("count", "there is at least one output", str(self.count), "1 or more")


class OutputBank(Record):
    outputs: Text
    """Which, as 1-8."""
    limit: Current
    """Together."""
    id: Name | None = None
    """Name of its power terminal."""

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values."""
        if outputs_in(self.outputs) is None:
            says = f"{self.outputs!r} is no range of outputs"
            yield Problem("outputs", says, self.outputs, "one output as 3, or from and to as 1-8")


def bank_problems(outputs: Outputs, banks: list[OutputBank]) -> Iterator[Problem]:
    """Banks that reach beyond the outputs there are, or share one."""
    taken: dict[int, str] = {}
    for index, bank in enumerate(banks):
        for output in outputs_in(bank.outputs) or ():
            if output > outputs.count:
                says = f"output {output} is beyond the {outputs.count} there are"
                yield Problem(f"banks/{index}/outputs", says, bank.outputs, f"1 to {outputs.count}")
                break
            if output in taken:
                says = f"output {output} is in the banks {taken[output]} and {bank.outputs}"
                yield Problem(f"banks/{index}/outputs", says, bank.outputs, "each output in one bank")
                break
            taken[output] = bank.outputs


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

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values."""
        yield from super().problems_()
        yield from bank_problems(self.outputs, self.banks)


class OutputModule(ElectricBase):
    kind: Literal["output-module"]
    """Module with outputs on a controller's link."""
    outputs: Outputs
    """Its outputs."""
    banks: list[OutputBank] = []
    """Groups of outputs with a common limit."""
    inputs: Inputs = Field(default_factory=lambda: Inputs(count=0))
    """Its inputs."""

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values."""
        yield from super().problems_()
        yield from bank_problems(self.outputs, self.banks)


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

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values."""
        if self.band[0] >= self.band[1]:
            yield Problem("band", "the band is upside down", "low above high", "[150 MHz, 174 MHz]")


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
    length: Extent | None = None
    """Length of the whip."""

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values."""
        yield from super().problems_()
        if self.band[0] >= self.band[1]:
            yield Problem("band", "the band is upside down", "low above high", "[150 MHz, 174 MHz]")


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

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values."""
        yield from super().problems_()
        if self.capacity <= 0:
            yield Problem("capacity", "a battery holds some charge", "0", "92 Ah")
        if self.resistance is not None and self.resistance <= 0:
            says = "no battery is without inside resistance: a short at it would have no end"
            yield Problem("resistance", says, f"{self.resistance:g} ohm", "3 mohm, or left out")
        for index, (hours, amount) in enumerate(sorted(self.rates)):
            if hours <= 0 or amount <= 0:
                yield Problem(f"rates/{index}", "a rate has a time and a charge above 0", "", "[20 h, 105 Ah]")
            elif index and amount < sorted(self.rates)[index - 1][1]:
                yield Problem(
                    "rates", "the charge falls with the time: a slower discharge gives no less", f"{amount:g} Ah",
                    f"at least {sorted(self.rates)[index - 1][1]:g} Ah",
                )  # fmt: skip


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

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values."""
        yield from super().problems_()
        if self.closes_at is not None and self.opens_at is not None and self.closes_at <= self.opens_at:
            says = "an isolator closes above what it opens at, or it would never come to rest"
            yield Problem("closes_at", says, f"{self.closes_at:g} V", f"above {self.opens_at:g} V")


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
    interrupts: Current | None = None
    """Largest short it breaks, as its maker states."""


class Disconnect(PartBase):
    kind: Literal["disconnect"]
    """Battery disconnect switch, by hand or by low voltage."""
    limit: Current
    """Continuous."""
    opens_at: Voltage | None = None
    """Voltage below which it opens by itself."""
    closes_at: Voltage | None = None
    """Voltage above which it closes again."""
    delay: Duration | None = None
    """Before it acts."""

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values."""
        yield from super().problems_()
        if self.opens_at is None and self.closes_at is not None:
            yield Problem("closes_at", "it closes again but never opens by itself", "closes_at", "opens_at beside it")
        if self.opens_at is not None and self.closes_at is not None and self.closes_at < self.opens_at:
            yield Problem(
                "closes_at", "it closes at less than it opens at", f"{self.closes_at:g} V", f"above {self.opens_at:g} V"
            )


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

    def own_states_(self) -> tuple[str, ...]:
        """States that the kind itself has."""
        return ("open", "closed")


class Wire(PartBase):
    kind: Literal["wire"]
    """Wire by the metre; mass of one metre."""
    gauge: GaugeText
    """Size."""
    insulation: Temperature
    """Insulation class."""
    outside_diameter: Extent
    """Over the insulation."""
    resistance_per_metre: Resistance | None = None
    """At 20 C; from the table of its gauge where left out."""

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values."""
        yield from super().problems_()
        if self.resistance_per_metre is not None and self.resistance_per_metre <= 0:
            says = "no wire is without resistance: a loop of it would carry any current"
            yield Problem("resistance_per_metre", says, "0 ohm", "8.3 mohm, or left out for the table's")


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
    form: Literal["pin", "ring", "blade", "splice"] = "pin"
    """Pin of a connector, ring for a stud or post, blade to push on, or splice."""
    gauges: tuple[GaugeText, GaugeText]
    """Thinnest and thickest wire."""
    stud: Text | None = None
    """Stud of a lug."""

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values."""
        yield from super().problems_()
        if self.gauges[1] < self.gauges[0]:
            yield Problem("gauges", "the thickest wire is thinner than the thinnest", "", "[22 AWG, 16 AWG]")


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
    heights: list[Extent] = []
    """Positions of an adjustable shelf."""


class Board(PartBase):
    kind: Literal["board"]
    """Table board or lid."""


class GasSpring(PartBase):
    kind: Literal["gas-spring"]
    """Gas spring."""
    force: Force
    """Extended, at 20 C."""
    stroke: Extent
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
    colour: Literal["white", "yellow", "orange", "green", "red", "blue"] | None = None
    """Colour of the sheeting, as its table names it; fluorescent yellow-green counts as yellow."""
    sheeting: Literal["I", "II", "III"] | None = None
    """Type by ASTM D4956."""
    roll: tuple[Extent, Extent] | None = None
    """Width and length of the roll it is cut from; mass and price of the part are then of one square metre."""

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values."""
        yield from super().problems_()
        if self.roll is not None and min(self.roll) <= 0:
            yield Problem("roll", "a roll has a width and a length", "0", "[1.22 m, 45.7 m]")


class BulkheadFitting(PartBase):
    kind: Literal["bulkhead-fitting"]
    """Fitting through a wall."""
    hole: Extent | None = None
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
    Lamp
    | Lightbar
    | Controller
    | OutputModule
    | SwitchPanel
    | SirenAmplifier
    | SirenSpeaker
    | Speaker
    | Radio
    | Antenna
    | Modem
    | Battery
    | Isolator
    | Contactor
    | Charger
    | DcDc
    | ShoreInlet
    | ChargeDisplay
    | FuseBlock
    | Breaker
    | Disconnect
    | BusBar
    | Relay
    | Wire
    | Connector
    | Terminal
    | Console
    | FaceplateItem
    | Cabinet
    | Drawer
    | Shelf
    | Board
    | GasSpring
    | Fan
    | PortableCharger
    | ComputerDock
    | PushBumper
    | Display
    | Camera
    | Mount
    | Marking
    | BulkheadFitting
    | Buzzer
    | Hardware
    | Request
    | Appliance,
    Field(discriminator="kind"),
]


KINDS: frozenset[str] = frozenset(
    get_args(kind.model_fields["kind"].annotation)[0] for kind in get_args(get_args(PartAny)[0])
)
"""Every kind of part."""


class PartsDocument(Record):
    rigbook: FormatNumber
    """Format of the document."""
    parts: list[PartAny]
    """The parts."""
