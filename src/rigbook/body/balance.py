"""The point masses of a rig, and what layer-1 statics make of them."""

from __future__ import annotations

from dataclasses import dataclass

from rigbook.body import statics
from rigbook.body.statics import PointLoad
from rigbook.documents.schema.vehicle import Vehicle
from rigbook.rig.model import PointMass, Rig

ADDED = ("equipment", "battery", "wire")
"""What is built in for good, and so counts against the added-weight threshold."""
CREW = ("person", "kit")
"""What may stay at home."""


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


def weights(rig: Rig, *, crew: bool = True) -> tuple[Weight, ...]:
    """The curb vehicle and everything added, in the rig's order; without persons and kit where `crew` is no."""
    added = tuple(_weight(mass) for mass in rig.masses if crew or mass.why not in CREW)
    return (curb_weight(rig), *added)


def loads(rig: Rig, *, crew: bool = True) -> tuple[PointLoad, ...]:
    """The point loads of `weights`."""
    return tuple(weight.load for weight in weights(rig, crew=crew))


def added_kg(rig: Rig) -> float:
    """What is built in for good, kg."""
    return statics.total_mass_kg(weight.load for weight in weights(rig) if weight.why in ADDED)


def left_share(rig: Rig) -> float:
    """Share of all the mass on the left wheels, by the mean track."""
    all_of = loads(rig)
    mass = statics.total_mass_kg(all_of)
    moment = mass * statics.centre_of_mass_m(all_of)[1]
    left, _ = statics.side_masses_kg(mass_kg=mass, moment_kg_m=moment, track_m=mean_track_m(rig.vehicle))
    return left / mass


def tyres_on(rig: Rig, axle: str) -> int:
    """Tyres of an axle: two in front, as entered behind."""
    return 2 if axle == "front" else rig.vehicle.tyres.count_rear


def tyre_capacity_kg(rig: Rig, axle: str) -> float | None:
    """What the tyres of an axle carry, kg; None where the table has no such index or the tyres are doubled.

    Doubled tyres carry less each than the single load index says.
    """
    count = tyres_on(rig, axle)
    if count != 2:
        return None
    try:
        return count * statics.load_index_kg(load_index=rig.vehicle.tyres.load_index)
    except KeyError:
        return None
