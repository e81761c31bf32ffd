"""Masses, axle loads, balance and stability of a two-axle vehicle that stands level. Plain numbers.

Axes: x backward from the front axle centre, y to the driver's right, z up from the road. Rigid, level,
static; left and right per axle are not known from these (they need the roll stiffness or four scales).
Source unless another is named: statics.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from rigbook.quantities.tables import read_table
from rigbook.quantities.units import POUND_KG


@dataclass(frozen=True, slots=True)
class PointLoad:
    """A mass in kg at a point in m; taken-out parts carry a negative mass."""

    mass_kg: float
    x_m: float
    y_m: float
    z_m: float


def total_mass_kg(loads: Iterable[PointLoad]) -> float:
    """Sum of the masses in kg."""
    return math.fsum(load.mass_kg for load in loads)


def centre_of_mass_m(loads: Iterable[PointLoad]) -> tuple[float, float, float]:
    """Centre of mass in m (x, y, z): sum of m x over sum of m. ValueError for no mass."""
    all_of = tuple(loads)
    total = total_mass_kg(all_of)
    if total <= 0:
        raise ValueError("the masses add up to nothing")
    return (
        math.fsum(load.mass_kg * load.x_m for load in all_of) / total,
        math.fsum(load.mass_kg * load.y_m for load in all_of) / total,
        math.fsum(load.mass_kg * load.z_m for load in all_of) / total,
    )


def rear_axle_kg(*, moment_kg_m: float, wheelbase_m: float) -> float:
    """Load of the rear axle in kg: sum of m x over the wheelbase; the rest is the front's. ValueError for 0 m."""
    if wheelbase_m <= 0:
        raise ValueError("the wheelbase must be above 0 m")
    return moment_kg_m / wheelbase_m


def axle_loads_kg(loads: Iterable[PointLoad], *, wheelbase_m: float) -> tuple[float, float]:
    """Front and rear axle load in kg of point masses on level ground."""
    all_of = tuple(loads)
    rear = rear_axle_kg(
        moment_kg_m=math.fsum(load.mass_kg * load.x_m for load in all_of), wheelbase_m=wheelbase_m
    )  # fmt: skip
    return total_mass_kg(all_of) - rear, rear


def side_masses_kg(*, mass_kg: float, moment_kg_m: float, track_m: float) -> tuple[float, float]:
    """Left and right wheel totals in kg of equal tracks: W/2 -+ sum(m y)/T. ValueError for a track of 0 m."""
    if track_m <= 0:
        raise ValueError("the track must be above 0 m")
    right = mass_kg / 2 + moment_kg_m / track_m
    return mass_kg - right, right


def curb_moment_y_kg_m(*, mass_kg: float, left_kg: float, track_m: float) -> float:
    """Sideways moment sum(m y) in kg m of a vehicle weighed left and right: (W/2 - left) x T, right positive."""
    return (mass_kg / 2 - left_kg) * track_m


def longitudinal_transfer_kg(*, mass_kg: float, height_m: float, share_of_g: float, wheelbase_m: float) -> float:
    """Load in kg moved to the rear axle at an acceleration in g: W h a/L; braking is negative."""
    return mass_kg * height_m * share_of_g / wheelbase_m


def static_stability_factor(*, track_m: float, height_m: float) -> float:
    """Mean track over twice the height of the centre of gravity. Source: stability-factor. ValueError for 0 m."""
    if height_m <= 0:
        raise ValueError("the centre of gravity must lie above the road")
    return track_m / (2.0 * height_m)


def tilt_angle_deg(*, half_track_m: float, height_m: float, offset_m: float = 0.0) -> float:
    """Rigid tilt angle in deg at which the low wheels carry all: atan((T/2 - e)/h), e toward the low side.

    Real vehicles tip earlier; common practice takes 10 to 20 % off.
    """
    if height_m <= 0:
        raise ValueError("the centre of gravity must lie above the road")
    return math.degrees(math.atan((half_track_m - offset_m) / height_m))


def rollover_risk(*, stability_factor: float, tips_up: bool = False) -> float:
    """Risk of rolling over in a single-vehicle crash, 0 to 1, by the logistic curve. Source: stability-curve (memory).

    Fitted on light vehicles to 10,000 lb: a before-and-after indicator only. ValueError at or below 0.90.
    """
    if stability_factor <= 0.90:
        raise ValueError("the curve holds above a stability factor of 0.90")
    constant = 2.6968 if tips_up else 2.8891
    return 1.0 / (1.0 + math.exp(constant + 1.1686 * math.log(stability_factor - 0.90)))


def stars(*, risk: float) -> int:
    """Star band of a rollover risk: 5 below 10 %, then 4, 3, 2, and 1 above 40 %. Source: star-bands.

    A risk on an edge takes the lower band (10 % exactly is 4), 40 % exactly is 2.
    """
    if risk > 0.40:
        return 1
    return 5 - sum(risk >= edge for edge in (0.10, 0.20, 0.30))


def added_weight_threshold_kg(*, gvwr_kg: float) -> float:
    """Added mass in kg above which a label must disclose it: the lesser of 1.5 % of GVWR and 100 lb.

    Source: fr-72-68442; between final certification and first retail sale.
    """
    return min(0.015 * gvwr_kg, 100.0 * POUND_KG)


def placard_left(*, capacity: float, added: float) -> float:
    """What a placard's capacity weight comes down to, in its own unit: capacity less the net added mass."""
    return capacity - added


def cargo_left(*, capacity: float, persons: int, person: float) -> float:
    """Cargo left of a capacity weight after persons, all in one unit. Source: load-limit-steps."""
    return capacity - persons * person


def largest_cargo_rating(*, gvwr: float, unladen: float, seats: int, person: float) -> float:
    """Largest rated cargo that GVWR allows: GVWR - unladen - seats x person, one unit. Source: capacity-weight."""
    return gvwr - unladen - seats * person


def fuel_mass_kg(*, volume_m3: float, density_kg_per_m3: float, fill: float, fill_at_curb: float) -> float:
    """Mass in kg of fuel beyond what the curb masses hold; negative where the tank is less full."""
    return volume_m3 * density_kg_per_m3 * (fill - fill_at_curb)


def load_index_kg(*, load_index: int) -> float:
    """Mass in kg a tyre of a load index carries. Source: load-index. KeyError where the table has no row."""
    return float(read_table("load-index").cell(row=str(load_index), column="kg"))


def lift_slope(*, wheelbase_m: float, rise_m: float) -> float:
    """Tangent of the slope of a vehicle with one axle lifted: H/sqrt(L^2 - H^2). Source: cg-height-lift.

    Not H/L: the wheelbase is the slanting side. ValueError where the rise is not below the wheelbase.
    """
    if not 0 < rise_m < wheelbase_m:
        raise ValueError("the rise lies above 0 and below the wheelbase")
    return rise_m / math.sqrt(wheelbase_m**2 - rise_m**2)


def axle_line_height_m(*, front_radius_m: float, rear_radius_m: float, x_m: float, wheelbase_m: float) -> float:
    """Height in m of the line between the hubs below the centre of gravity: r_f + (r_r - r_f) X/L."""
    return front_radius_m + (rear_radius_m - front_radius_m) * x_m / wheelbase_m


def lifted_cg_height_m(
    *, wheelbase_m: float, mass_kg: float, rise_m: float, gain_kg: float, axle_line_m: float
) -> float:  # fmt: skip
    """Height in m of the centre of gravity from lifting one axle: r + L dF/(W tan). Source: cg-height-lift.

    `gain_kg` is the gain on the axle that stays down.
    """
    slope = lift_slope(wheelbase_m=wheelbase_m, rise_m=rise_m)
    return axle_line_m + wheelbase_m * gain_kg / (mass_kg * slope)


def lifted_cg_sensitivity_m_per_kg(*, wheelbase_m: float, mass_kg: float, rise_m: float) -> float:
    """Metres of height per kg of scale error in that method: L/(W tan)."""
    return wheelbase_m / (mass_kg * lift_slope(wheelbase_m=wheelbase_m, rise_m=rise_m))
