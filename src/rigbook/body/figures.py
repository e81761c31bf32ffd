"""The entry of the body engine: masses, axle loads, balance, stability."""

from __future__ import annotations

from rigbook.body import balance, statics
from rigbook.body.result import Axle, BodyResult, Centre, LoadCase
from rigbook.rig.model import Rig, RigNote


def work_out(rig: Rig) -> BodyResult:
    """Masses and balance of a decided rig, as it stands laden with everything entered. Pure."""
    vehicle = rig.vehicle
    all_of = balance.loads(rig)
    mass = statics.total_mass_kg(all_of)
    x, y, z = statics.centre_of_mass_m(all_of)
    added, threshold = balance.added_kg(rig), statics.added_weight_threshold_kg(gvwr_kg=vehicle.ratings.gvwr)
    track = balance.mean_track_m(vehicle)
    return BodyResult(
        axles=_axles(rig),
        mass_kg=mass,
        rating_kg=vehicle.ratings.gvwr,
        payload_remaining_kg=vehicle.ratings.gvwr - mass,
        left_share=balance.left_share(rig),
        cg=Centre(x, y, z),
        stability_factor=statics.static_stability_factor(track_m=track, height_m=z),
        curb_stability_factor=statics.static_stability_factor(track_m=track, height_m=vehicle.curb.cg_height),
        added_kg=added,
        added_threshold_kg=threshold,
        added_beyond_threshold=added > threshold,
        cases=(
            _case(rig, "laden", "With persons and kit as entered", crew=True),
            _case(rig, "without-crew", "Without persons and kit", crew=False),
        ),
        notes=_notes(rig),
    )


def _axles(rig: Rig) -> tuple[Axle, ...]:
    ratings = rig.vehicle.ratings
    front, rear = statics.axle_loads_kg(balance.loads(rig), wheelbase_m=rig.vehicle.size.wheelbase)
    return (
        Axle("front", front, ratings.gawr_front, ratings.gawr_front - front, balance.tyre_capacity_kg(rig, "front")),
        Axle("rear", rear, ratings.gawr_rear, ratings.gawr_rear - rear, balance.tyre_capacity_kg(rig, "rear")),
    )


def _case(rig: Rig, case_id: str, title: str, *, crew: bool) -> LoadCase:
    all_of = balance.loads(rig, crew=crew)
    front, rear = statics.axle_loads_kg(all_of, wheelbase_m=rig.vehicle.size.wheelbase)
    mass = statics.total_mass_kg(all_of)
    return LoadCase(case_id, title, mass, front, rear, front / mass)


def _notes(rig: Rig) -> tuple[RigNote, ...]:
    vehicle = rig.vehicle
    notes = []
    if vehicle.curb.left is None:
        where = vehicle.where_of("curb")
        says = "the curb mass on the left wheels is not entered: half is taken to be on each side"
        notes.append(RigNote("balance-assumed", vehicle.id, "note", says, where.file, where.line))
    for axle in ("front", "rear"):
        if balance.tyre_capacity_kg(rig, axle) is None:
            where = vehicle.where_of("tyres")
            doubled = balance.tyres_on(rig, axle) != 2
            why = "doubled tyres carry less than their single index" if doubled else "the table has no such load index"
            says = f"what the {axle} tyres carry is not worked out: {why}"
            notes.append(RigNote("tyres-not-worked-out", f"{axle}-axle", "note", says, where.file, where.line))
    return tuple(notes)
