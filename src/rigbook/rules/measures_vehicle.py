"""Measures of mass, balance and water."""

from __future__ import annotations

from collections.abc import Iterator

from rigbook.quantities.units import POUND_KG
from rigbook.rules.measures import Measure, Reading, Results

PERSON_KG = 150 * POUND_KG
"""Allowance for a designated seating position: 150 lb (source: capacity-weight)."""


def axle_load(results: Results) -> Iterator[Reading]:
    """Load on an axle with everything fitted, persons and kit.

    Unit: kg. Formula: moments about the other axle. Source: statics. Limit `rating`: as entered.
    """
    if results.body is None:
        return
    rig = results.rig
    for axle in results.body.axles:
        yield Reading(
            subject=axle.id,
            value=axle.load_kg,
            file=rig.vehicle_file,
            line=rig.vehicle.ratings.where.line or None,
            limits={"rating": axle.rating_kg},
            figure=f"body.axles[{axle.id}].load_kg",
        )


def gross_mass(results: Results) -> Iterator[Reading]:
    """Mass of the vehicle with everything fitted, persons and kit.

    Unit: kg. Formula: sum of masses. Source: statics. Limit `rating`: the gross rating as entered.
    """
    if results.body is None:
        return
    rig = results.rig
    yield Reading(
        subject="vehicle",
        value=results.body.mass_kg,
        file=rig.vehicle_file,
        line=rig.vehicle.ratings.where.line or None,
        limits={"rating": rig.vehicle.ratings.gvwr},
        figure="body.mass_kg",
    )


def payload_remaining(results: Results) -> Iterator[Reading]:
    """What the gross rating leaves, against 150 lb for every seat that has no person in the build.

    Unit: kg. Formula: gross rating - mass. Source: capacity-weight. Limit `seats_left`: 68 kg x seats without person.
    """
    if results.body is None:
        return
    rig = results.rig
    taken = {p.seat for p in rig.build.persons}
    free = [s for s in rig.vehicle.seats if s.id not in taken]
    if not free:
        return
    yield Reading(
        subject="vehicle",
        value=results.body.payload_remaining_kg,
        file=rig.vehicle_file,
        line=rig.vehicle.ratings.where.line or None,
        limits={"seats_left": PERSON_KG * len(free)},
        words={"seats": "1 seat" if len(free) == 1 else f"{len(free)} seats"},
        figure="body.payload_remaining_kg",
    )


def side_difference(results: Results) -> Iterator[Reading]:
    """Difference of the masses on left and right wheels as a share of the whole.

    Unit: share. Formula: |2 x left share - 1|. Source: statics.
    """
    if results.body is None:
        return
    rig = results.rig
    yield Reading(
        subject="vehicle",
        value=abs(2 * results.body.left_share - 1),
        file=rig.vehicle_file,
        line=rig.vehicle.curb.where.line or None,
        words={"heavier": "left" if results.body.left_share > 0.5 else "right"},
        figure="body.left_share",
    )


def added_mass(results: Results) -> Iterator[Reading]:
    """Mass of equipment, batteries and wire added to the vehicle.

    Unit: kg. Formula: sum of the parts. Source: the catalogue. Limit `threshold`: the lesser of 1.5 % of the gross
    rating or 100 lb (fr-72-68442).
    """
    if results.body is None:
        return
    rig = results.rig
    yield Reading(
        subject="vehicle",
        value=results.body.added_kg,
        file=rig.build_file,
        line=rig.build.build.where.line or None,
        limits={"threshold": results.body.added_threshold_kg},
        figure="body.added_kg",
    )


def height_of_unsealed(results: Results) -> Iterator[Reading]:
    """Height of a part that is not sealed, on a vehicle that names a wading line.

    Unit: m. Formula: z of its place less half its height. Source: the build. Limit `wading_line`: as entered.
    """
    rig = results.rig
    line = rig.vehicle.wading_line
    if line is None:
        return
    for device in rig.devices.values():
        if device.part_id is None or device.inside_of is not None or getattr(rig.parts[device.part_id], "sealed", True):
            continue
        if not device.draws and not hasattr(rig.parts[device.part_id], "limit"):
            continue  # water harms what is electric
        yield Reading(
            subject=device.id,
            value=device.placement.at.z_m - device.size_m[2] / 2,
            file=device.file,
            line=device.line,
            limits={"wading_line": line},
        )


MEASURES: tuple[Measure, ...] = (
    Measure(name="axle_load", per="axle", unit="kg", take=axle_load, limits=("rating",)),
    Measure(name="gross_mass", per="whole", unit="kg", take=gross_mass, limits=("rating",)),
    Measure(
        name="payload_remaining",
        per="whole",
        unit="kg",
        take=payload_remaining,
        limits=("seats_left",),
        words=("seats",),
    ),
    Measure(name="side_difference", per="whole", unit="share", take=side_difference, words=("heavier",)),
    Measure(name="added_mass", per="whole", unit="kg", take=added_mass, limits=("threshold",)),
    Measure(name="height_of_unsealed", per="device", unit="m", take=height_of_unsealed, limits=("wading_line",)),
)
