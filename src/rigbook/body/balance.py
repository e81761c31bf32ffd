"""The point masses of a rig, and what layer-1 statics make of them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from rigbook.body import statics, tyres, weighing
from rigbook.body.statics import PointLoad
from rigbook.body.weighing import Spread
from rigbook.documents.schema.vehicle import Vehicle
from rigbook.rig.model import PointMass, Rig

ADDED = ("equipment", "battery", "wire")
"""What is built in for good, and so counts against the added-weight threshold."""
CREW = ("person", "kit")
"""What may stay at home."""


@dataclass(frozen=True, slots=True)
class State:
    """One way the vehicle is loaded: what is aboard beside the vehicle as delivered, and how full the tank is."""

    id: str
    title: str
    aboard: tuple[str, ...]
    tank: float | None
    """Fill of the tank; None: as the curb masses were taken."""


STATES: dict[str, State] = {
    state.id: state
    for state in (
        State("laden", "With persons and kit as entered", (*ADDED, *CREW), 1.0),
        State("with-crew", "With persons, without kit", (*ADDED, "person"), 1.0),
        State("without-crew", "Without persons and kit", ADDED, 1.0),
        State("as-delivered", "As delivered, before work began", (), None),
        State("laden-empty-tank", "With persons and kit, tank empty", (*ADDED, *CREW), 0.0),
        State("without-crew-empty-tank", "Without persons and kit, tank empty", ADDED, 0.0),
    )
}
"""Every loading that is worked out. The tank is full but for those that say otherwise."""
LADEN = "laden"


@dataclass(frozen=True, slots=True)
class Weight:
    """A named mass at a point, from the curb figures or a record of the rig."""

    id: str
    load: PointLoad
    why: str
    file: str
    line: int


def mean_track_m(vehicle: Vehicle) -> float:
    """Mean of front and rear track, m."""
    return (vehicle.track.front + vehicle.track.rear) / 2.0


def curb_weight(rig: Rig) -> Weight:
    """The vehicle as delivered, by its axle masses; half on each side where `left` is not given."""
    vehicle = rig.vehicle
    mass = vehicle.curb.front + vehicle.curb.rear
    left = mass / 2.0 if vehicle.curb.left is None else vehicle.curb.left
    moment_y = statics.curb_moment_y_kg_m(mass_kg=mass, left_kg=left, track_m=mean_track_m(vehicle))
    x = vehicle.size.wheelbase * vehicle.curb.rear / mass
    where = vehicle.where_of("curb")
    return Weight("curb", PointLoad(mass, x, moment_y / mass, vehicle.curb.cg_height), "curb", where.file, where.line)


def _weight(mass: PointMass) -> Weight:
    at = mass.at
    return Weight(mass.id, PointLoad(mass.mass_kg, at.x_m, at.y_m, at.z_m), mass.why, mass.file, mass.line)


def _fuel(rig: Rig, fill: float | None) -> tuple[Weight, ...]:
    """Fuel beyond (or short of) what the curb masses hold."""
    fuel = rig.vehicle.fuel
    if fuel is None or fill is None or fill == fuel.curb_at:
        return ()
    mass = statics.fuel_mass_kg(
        volume_m3=fuel.capacity, density_kg_per_m3=fuel.density, fill=fill, fill_at_curb=fuel.curb_at
    )  # fmt: skip
    return (Weight("fuel", PointLoad(mass, *fuel.at), "fuel", fuel.where.file, fuel.where.line),)


def _aboard(rig: Rig, state: State) -> tuple[Weight, ...]:
    """The curb vehicle and everything entered that is aboard, without fuel."""
    return (curb_weight(rig), *(_weight(mass) for mass in rig.masses if mass.why in state.aboard))


def weights(rig: Rig, state: str = LADEN) -> tuple[Weight, ...]:
    """Curb vehicle, everything aboard, and fuel, in the rig's order; masses as weighed where there is a ticket."""
    chosen = STATES[state]
    entered = _aboard(rig, chosen)
    ticket = rig.build.weighed
    if ticket is not None:
        touched = {weight.id for weight in _aboard(rig, STATES[ticket.state])}
        by = spread(rig)
        entered = tuple(replace(w, load=by.of(w.load)) if w.id in touched else w for w in entered)
    return (*entered, *_fuel(rig, chosen.tank))


@dataclass(frozen=True, slots=True)
class Residual:
    """Weighed less computed, in the state that was weighed; `left_kg` is None where sides were not weighed."""

    mass_kg: float
    front_kg: float
    rear_kg: float
    left_kg: float | None


def weighed_moment_y(rig: Rig) -> float | None:
    """Sideways moment in kg m of the vehicle on the scales; None where sides were not weighed."""
    ticket = rig.build.weighed
    assert ticket is not None
    if ticket.wheels is not None:
        wheels, track = ticket.wheels, rig.vehicle.track
        front, rear = wheels.front_right - wheels.front_left, wheels.rear_right - wheels.rear_left
        return (front * track.front + rear * track.rear) / 2.0
    assert ticket.axles is not None
    if ticket.axles.left is None:
        return None
    mass = ticket.axles.front + ticket.axles.rear
    return statics.curb_moment_y_kg_m(mass_kg=mass, left_kg=ticket.axles.left, track_m=mean_track_m(rig.vehicle))


def computed_when_weighed(rig: Rig) -> tuple[Weight, ...]:
    """What was computed for the state and fuel on the ticket."""
    ticket = rig.build.weighed
    assert ticket is not None
    return (*_aboard(rig, STATES[ticket.state]), *_fuel(rig, ticket.fuel))


def residual(rig: Rig) -> Residual:
    """How far the computed masses were off."""
    ticket = rig.build.weighed
    assert ticket is not None
    all_of = [weight.load for weight in computed_when_weighed(rig)]
    front, rear = statics.axle_loads_kg(all_of, wheelbase_m=rig.vehicle.size.wheelbase)
    weighed_front, weighed_rear = ticket.axle_loads
    moment = weighed_moment_y(rig)
    left = None
    if moment is not None:
        track = mean_track_m(rig.vehicle)
        mass = statics.total_mass_kg(all_of)
        was, _ = statics.side_masses_kg(
            mass_kg=mass, moment_kg_m=mass * statics.centre_of_mass_m(all_of)[1], track_m=track
        )
        now, _ = statics.side_masses_kg(mass_kg=weighed_front + weighed_rear, moment_kg_m=moment, track_m=track)
        left = now - was
    total = weighed_front + weighed_rear - front - rear
    return Residual(total, weighed_front - front, weighed_rear - rear, left)


def spread(rig: Rig) -> Spread:
    """How the residual is spread over the curb vehicle and everything that was aboard on the scales."""
    ticket = rig.build.weighed
    assert ticket is not None
    aboard = [weight.load for weight in _aboard(rig, STATES[ticket.state])]
    fuel = [weight.load for weight in _fuel(rig, ticket.fuel)]
    off = residual(rig)
    moment = weighed_moment_y(rig)
    computed_y = sum(load.mass_kg * load.y_m for load in (*aboard, *fuel))
    wheelbase = rig.vehicle.size.wheelbase
    sideways = None if moment is None else moment - computed_y
    by = Spread(off.mass_kg / statics.total_mass_kg(aboard))  # where all stand in one point, which no real build does
    for wanted in (sideways, None):
        try:
            by = weighing.spread_residual(
                aboard, mass_kg=off.mass_kg, moment_x_kg_m=off.rear_kg * wheelbase, moment_y_kg_m=wanted
            )
        except ValueError:
            continue
        break
    height = weighed_height_m(rig)
    return by if height is None else weighing.raise_to(by, loads=aboard, fixed=fuel, height_m=height)


def weighed_height_m(rig: Rig) -> float | None:
    """Height of the centre of gravity from the weighing with one axle lifted; None where there was none."""
    ticket = rig.build.weighed
    if ticket is None or ticket.lifted is None:
        return None
    lifted, wheelbase = ticket.lifted, rig.vehicle.size.wheelbase
    front, rear = ticket.axle_loads
    level = front if lifted.axle == "rear" else rear
    line = statics.axle_line_height_m(
        front_radius_m=lifted.radius_front, rear_radius_m=lifted.radius_rear, x_m=wheelbase * rear / (front + rear),
        wheelbase_m=wheelbase,
    )  # fmt: skip
    return statics.lifted_cg_height_m(
        wheelbase_m=wheelbase, mass_kg=front + rear, rise_m=lifted.rise, gain_kg=lifted.other - level, axle_line_m=line
    )


def loads(rig: Rig, state: str = LADEN) -> tuple[PointLoad, ...]:
    """The point loads of `weights`."""
    return tuple(weight.load for weight in weights(rig, state))


def added_kg(rig: Rig) -> float:
    """What is built in for good, kg, as entered."""
    return statics.total_mass_kg(weight.load for weight in _aboard(rig, STATES["without-crew"])[1:])


def left_share(rig: Rig, state: str = LADEN) -> float:
    """Share of all the mass on the left wheels, by the mean track."""
    all_of = loads(rig, state)
    mass = statics.total_mass_kg(all_of)
    moment = mass * statics.centre_of_mass_m(all_of)[1]
    left, _ = statics.side_masses_kg(mass_kg=mass, moment_kg_m=moment, track_m=mean_track_m(rig.vehicle))
    return left / mass


def wheel_loads_kg(rig: Rig, state: str = LADEN) -> dict[str, float]:
    """Load under each wheel: the sideways moment shared by the axles as they share the mass.

    A level vehicle on four wheels does not tell how its axles share that moment: it is assumed, but for the
    wheels on a ticket, from which the change to another state is counted.
    """
    wheelbase = rig.vehicle.size.wheelbase
    made = _shared(loads(rig, state), rig)
    ticket = rig.build.weighed
    if ticket is not None and ticket.wheels is not None:
        then = {w.id: w for w in weights(rig, ticket.state) if w.id != "fuel"}
        there = _shared([w.load for w in (*then.values(), *_fuel(rig, ticket.fuel))], rig)
        for wheel, was in there.items():
            made[wheel] += getattr(ticket.wheels, wheel.replace("-", "_")) - was
    assert wheelbase > 0
    return made


def _shared(all_of: Iterable[PointLoad], rig: Rig) -> dict[str, float]:
    found = tuple(all_of)
    front, rear = statics.axle_loads_kg(found, wheelbase_m=rig.vehicle.size.wheelbase)
    moment = sum(load.mass_kg * load.y_m for load in found)
    made = {}
    for axle, load, track in (("front", front, rig.vehicle.track.front), ("rear", rear, rig.vehicle.track.rear)):
        left, right = statics.side_masses_kg(mass_kg=load, moment_kg_m=moment * load / (front + rear), track_m=track)
        made[f"{axle}-left"], made[f"{axle}-right"] = left, right
    return made


def tyres_on(rig: Rig, axle: str) -> int:
    """Tyres of an axle: two in front, as entered behind."""
    return 2 if axle == "front" else rig.vehicle.tyres.count_rear


def tyre_capacity_kg(rig: Rig, axle: str) -> float | None:
    """What the tyres of an axle carry, kg; None where no table or entry says.

    Doubled tyres carry less each than the single load index says, so they need their own.
    """
    count = tyres_on(rig, axle)
    entered = rig.vehicle.tyres
    index = entered.load_index if count == 2 else entered.load_index_dual
    if index is None:
        return None
    try:
        each = statics.load_index_kg(load_index=index)
    except KeyError:
        return None
    return count * (tyres.passenger_tyre_on_truck_kg(load_kg=each) if entered.passenger_car else each)


def tyre_pressure_kpa(rig: Rig, axle: str) -> float | None:
    """Pressure the laden axle asks for, kPa; None where it is not entered or the tyres carry too much."""
    full, capacity = rig.vehicle.tyres.pressure, tyre_capacity_kg(rig, axle)
    if full is None or capacity is None:
        return None
    front, rear = statics.axle_loads_kg(loads(rig), wheelbase_m=rig.vehicle.size.wheelbase)
    load = front if axle == "front" else rear
    if not 0 <= load <= capacity:
        return None
    return tyres.pressure_kpa(load_kg=load, rated_load_kg=capacity, rated_pressure_kpa=full / 1000.0)
