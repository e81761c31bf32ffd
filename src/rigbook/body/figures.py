"""The entry of the body engine: masses, axle loads, balance, stability."""

from __future__ import annotations

from rigbook.body import balance, face_fit, heat, keepouts, lids, mounts, shelves, statics
from rigbook.body.label import label
from rigbook.body.result import Axle, BodyResult, Centre, Item, LoadCase, Recalibrate, WeighedResult, Wheel
from rigbook.rig.model import Rig, RigNote


def work_out(rig: Rig) -> BodyResult:
    """Masses and balance of a decided rig, as it stands laden with everything entered. Pure."""
    vehicle = rig.vehicle
    joints, swings, boards = mounts.work_out(rig), lids.work_out(rig), shelves.work_out(rig)
    faces = face_fit.work_out(rig)
    cases = tuple(load_case(rig, state) for state in balance.STATES if _told(rig, state))
    laden = cases[0]
    added, threshold = balance.added_kg(rig), statics.added_weight_threshold_kg(gvwr_kg=vehicle.ratings.gvwr)
    track = balance.mean_track_m(vehicle)
    return BodyResult(
        axles=_axles(rig, laden),
        mass_kg=laden.mass_kg,
        rating_kg=vehicle.ratings.gvwr,
        payload_remaining_kg=laden.margin_kg,
        left_share=laden.left_share,
        cg=laden.cg,
        stability_factor=laden.stability_factor,
        curb_stability_factor=statics.static_stability_factor(track_m=track, height_m=vehicle.curb.cg_height),
        added_kg=added,
        added_threshold_kg=threshold,
        added_beyond_threshold=added > threshold,
        cases=cases,
        wheels=_wheels(rig),
        items=tuple(item(rig, weight) for weight in balance.weights(rig)[1:]),
        weighed=_weighed(rig),
        label=label(rig),
        mounts=joints,
        lids=swings,
        panels=faces,
        shelves=boards,
        heat=heat.work_out(rig),
        gas=heat.gas(rig),
        recalibrate=tuple(Recalibrate(sensor, why) for sensor, why in keepouts.recalibrate(rig)),
        notes=(
            *_notes(rig, cases),
            *mounts.notes(rig, joints),
            *lids.notes(rig, swings),
            *shelves.notes(rig, boards),
            *face_fit.notes(rig, faces),
            *heat.notes(rig),
            *keepouts.notes(rig),
        ),
    )


def _told(rig: Rig, state: str) -> bool:
    return rig.vehicle.fuel is not None or not state.endswith("-empty-tank")


def load_case(rig: Rig, state: str) -> LoadCase:
    """Everything of one loading."""
    vehicle, ratings = rig.vehicle, rig.vehicle.ratings
    all_of = balance.loads(rig, state)
    front, rear = statics.axle_loads_kg(all_of, wheelbase_m=vehicle.size.wheelbase)
    mass = statics.total_mass_kg(all_of)
    x, y, z = statics.centre_of_mass_m(all_of)
    track = balance.mean_track_m(vehicle)
    factor = statics.static_stability_factor(track_m=track, height_m=z)
    return LoadCase(
        id=state, title=balance.STATES[state].title, mass_kg=mass, margin_kg=ratings.gvwr - mass,
        front_kg=front, front_margin_kg=ratings.gawr_front - front,
        rear_kg=rear, rear_margin_kg=ratings.gawr_rear - rear, front_share=front / mass,
        left_share=balance.left_share(rig, state), cg=Centre(x, y, z), stability_factor=factor,
        tilt_deg=statics.tilt_angle_deg(half_track_m=track / 2, height_m=z, offset_m=abs(y)),
        rollover_share=statics.rollover_risk(stability_factor=factor) if factor > 0.90 else None,
    )  # fmt: skip


def _axles(rig: Rig, laden: LoadCase) -> tuple[Axle, ...]:
    ratings = rig.vehicle.ratings
    made = []
    for axle, load, rating in (
        ("front", laden.front_kg, ratings.gawr_front),
        ("rear", laden.rear_kg, ratings.gawr_rear),
    ):
        tyre = balance.tyre_capacity_kg(rig, axle)
        spare = None if tyre is None else tyre - load
        made.append(Axle(axle, load, rating, rating - load, tyre, spare, balance.tyre_pressure_kpa(rig, axle)))
    return tuple(made)


def _wheels(rig: Rig) -> tuple[Wheel, ...]:
    ticket = rig.build.weighed
    how = "assumed"
    if ticket is not None and ticket.wheels is not None:
        how = "weighed" if ticket.state == balance.LADEN and ticket.fuel == 1.0 else "weighed and changed"
    return tuple(Wheel(name, load, how) for name, load in balance.wheel_loads_kg(rig).items())


def item(rig: Rig, weight: balance.Weight) -> Item:
    """What one thing adds to front and rear axle."""
    front, rear = statics.axle_loads_kg([weight.load], wheelbase_m=rig.vehicle.size.wheelbase)
    return Item(weight.id, weight.load.mass_kg, front, rear)


def _weighed(rig: Rig) -> WeighedResult | None:
    ticket = rig.build.weighed
    if ticket is None:
        return None
    off = balance.residual(rig)
    mass = sum(ticket.axle_loads)
    per = None
    if ticket.lifted is not None:
        per = statics.lifted_cg_sensitivity_m_per_kg(
            wheelbase_m=rig.vehicle.size.wheelbase, mass_kg=mass, rise_m=ticket.lifted.rise
        )
    height = balance.weighed_height_m(rig)
    return WeighedResult(ticket.state, mass, off.mass_kg, off.front_kg, off.rear_kg, off.left_kg, height, per)


def _notes(rig: Rig, cases: tuple[LoadCase, ...]) -> tuple[RigNote, ...]:
    vehicle = rig.vehicle
    notes = []
    if vehicle.curb.left is None:
        where = vehicle.where_of("curb")
        says = "the curb mass on the left wheels is not entered: half is taken to be on each side"
        notes.append(RigNote("balance-assumed", vehicle.id, "note", says, where.file, where.line))
    for axle in ("front", "rear"):
        if balance.tyre_capacity_kg(rig, axle) is None:
            where = vehicle.where_of("tyres")
            doubled = balance.tyres_on(rig, axle) != 2 and vehicle.tyres.load_index_dual is None
            why = "doubled tyres carry less than their single index" if doubled else "the table has no such load index"
            says = f"what the {axle} tyres carry is not worked out: {why}"
            notes.append(RigNote("tyres-not-worked-out", f"{axle}-axle", "note", says, where.file, where.line))
    for case in cases:
        for axle, load in (("front", case.front_kg), ("rear", case.rear_kg)):
            if load <= 0:
                says = (
                    f"{case.title}: the centre of gravity lies beyond the other axle, and the {axle} axle lifts; "
                    "check every place and mass"
                )
                where = rig.build.where
                notes.append(RigNote("axle-lifts", f"{axle}-axle-{case.id}", "fail", says, where.file, where.line))
    return tuple(notes)
