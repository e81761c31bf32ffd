"""The point masses of a rig."""

from __future__ import annotations

from dataclasses import replace

import pytest

from rigbook.body import balance, statics
from rigbook.rig.model import Rig
from tests.rig.small import VEHICLE, build_text, worked

LOAD = "persons:\n  - {seat: driver}\nkit:\n  - {id: rope, mass: 12 kg, at: [3 m, 0.2 m, 0.6 m]}\n"


def car(vehicle: str = VEHICLE) -> Rig:
    return worked(build_text(install="  - {id: lamp, part: dual, place: nose}\n", more=LOAD), vehicle=vehicle)


def test_the_curb_stands_where_its_axles_say() -> None:
    rig = car()
    curb = balance.curb_weight(rig)
    front, rear = statics.axle_loads_kg([curb.load], wheelbase_m=2.7)
    assert (front, rear) == pytest.approx((rig.vehicle.curb.front, rig.vehicle.curb.rear))
    assert (curb.load.y_m, curb.load.z_m) == (0.0, 0.64)


def test_a_weighed_left_side_shifts_it() -> None:
    rig = car(VEHICLE.replace("rear: 1420 lb,", "rear: 1420 lb, left: 1800 lb,"))
    curb = balance.curb_weight(rig).load
    left, _ = statics.side_masses_kg(
        mass_kg=curb.mass_kg, moment_kg_m=curb.mass_kg * curb.y_m, track_m=balance.mean_track_m(rig.vehicle)
    )
    assert left == pytest.approx(1800 * 0.45359237)


def test_crew_and_kit_may_stay_at_home_and_do_not_count_as_added() -> None:
    rig = car()
    with_crew, without = balance.weights(rig), balance.weights(rig, "without-crew")
    assert {w.why for w in with_crew} - {w.why for w in without} == {"person", "kit"}
    assert balance.added_kg(rig) == pytest.approx(
        sum(w.load.mass_kg for w in with_crew if w.why in ("equipment", "battery", "wire"))
    )
    assert sum(1 for w in with_crew if w.why == "wire") == 1


def test_left_share_comes_from_the_moment() -> None:
    rig = car()
    loads = balance.loads(rig)
    mass = statics.total_mass_kg(loads)
    y = statics.centre_of_mass_m(loads)[1]
    assert balance.left_share(rig) == pytest.approx(0.5 - y / balance.mean_track_m(rig.vehicle))
    assert mass > 1600


def test_tyres_of_an_axle() -> None:
    rig = car()
    assert balance.tyre_capacity_kg(rig, "front") == 2 * 850
    doubled = rig.vehicle.tyres.model_copy(update={"count_rear": 4})
    other = replace(rig, vehicle=rig.vehicle.model_copy(update={"tyres": doubled}))
    assert balance.tyres_on(other, "rear") == 4
    assert balance.tyre_capacity_kg(other, "rear") is None
    unknown = rig.vehicle.tyres.model_copy(update={"load_index": 20})
    assert (
        balance.tyre_capacity_kg(replace(rig, vehicle=rig.vehicle.model_copy(update={"tyres": unknown})), "front")
        is None
    )
