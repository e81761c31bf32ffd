"""Each figure of the body worked through like a hand calculation, by the functions that gave it."""

from __future__ import annotations

import re
from collections.abc import Callable

from rigbook.body import (
    balance,
    explain_faces,
    explain_heat,
    explain_lids,
    explain_mounts,
    explain_shelves,
    explain_weighing,
    statics,
)
from rigbook.quantities.units import POUND_KG
from rigbook.quantities.working import Input, Working
from rigbook.rig.model import Rig

_AXLE = re.compile(
    r"body\.axles\[(front|rear)\]\.(load_kg|rating_kg|margin_kg|tyre_kg|tyre_margin_kg|tyre_pressure_kpa)"
)
_CASE = re.compile(r"body\.cases\[([a-z-]+)\]\.([a-z_.]+)")


def explain(rig: Rig, figure_id: str) -> Working:
    """How a figure of the `body` block was worked out. KeyError for an id the body does not give."""
    if match := _AXLE.fullmatch(figure_id):
        return _axle(rig, figure_id, match.group(1), match.group(2))
    if (match := _CASE.fullmatch(figure_id)) and match.group(1) in balance.STATES:
        return _case(rig, figure_id, match.group(1), match.group(2))
    if found := explain_weighing.explain(rig, figure_id):
        return found
    if found := explain_heat.explain(rig, figure_id):
        return found
    if found := explain_shelves.explain(rig, figure_id):
        return found
    if found := explain_lids.explain(rig, figure_id):
        return found
    if found := explain_mounts.explain(rig, figure_id):
        return found
    if found := explain_faces.explain(rig, figure_id):
        return found
    plain = _PLAIN.get(figure_id)
    if plain is None:
        raise KeyError(figure_id)
    return plain(rig, figure_id)


def _where(file: str, line: int) -> str:
    return f"{file}:{line}" if file else ""


def _vehicle_at(rig: Rig, key: str) -> str:
    where = rig.vehicle.where_of(key)
    return _where(where.file, where.line)


def _entered(rig: Rig, figure_id: str, *, title: str, value: float, key: str, unit: str = "kg") -> Working:
    return Working(
        figure_id=figure_id, title=title, formula="as entered", result=value, unit=unit, source=_vehicle_at(rig, key)
    )


def _mass(rig: Rig, figure_id: str, *, state: str = balance.LADEN) -> Working:
    rows = balance.weights(rig, state)
    return Working(
        figure_id=figure_id, title=f"Mass: {balance.STATES[state].title}",
        formula="W = sum of m",
        inputs=tuple(
            Input(symbol="m", meaning=f"{row.id} ({row.why})", value=row.load.mass_kg, unit="kg",
                  source=_where(row.file, row.line))
            for row in rows
        ),
        result=statics.total_mass_kg(row.load for row in rows), unit="kg", source="statics",
    )  # fmt: skip


def _moment(rig: Rig, axis: str, *, state: str = balance.LADEN) -> Working:
    rows = balance.weights(rig, state)
    arms = [getattr(row.load, f"{axis}_m") for row in rows]
    mass = statics.total_mass_kg(row.load for row in rows)
    centre = statics.centre_of_mass_m(row.load for row in rows)["xyz".index(axis)]
    return Working(
        figure_id="", title=f"Moment of the masses in {axis}", formula=f"M = sum of m {axis}",
        inputs=tuple(
            Input(symbol=f"m {axis}", meaning=f"{row.id}: {row.load.mass_kg:g} kg at {arm:g} m",
                  value=row.load.mass_kg * arm, unit="kg m", source=_where(row.file, row.line))
            for row, arm in zip(rows, arms, strict=True)
        ),
        result=mass * centre, unit="kg m", source="statics",
    )  # fmt: skip


def _wheelbase(rig: Rig) -> Input:
    return Input(
        symbol="L", meaning="wheelbase", value=rig.vehicle.size.wheelbase, unit="m", source=_vehicle_at(rig, "size")
    )


def _track(rig: Rig) -> Input:
    value = balance.mean_track_m(rig.vehicle)
    return Input(
        symbol="T", meaning="mean of front and rear track", value=value, unit="m", source=_vehicle_at(rig, "track")
    )


def _axle_load(rig: Rig, figure_id: str, axle: str, *, state: str = balance.LADEN) -> Working:
    front, rear = statics.axle_loads_kg(balance.loads(rig, state), wheelbase_m=rig.vehicle.size.wheelbase)
    return Working(
        figure_id=figure_id, title=f"Load of the {axle} axle, vehicle level and at rest",
        formula="R = M / L" if axle == "rear" else "R = W - M / L",
        inputs=(_wheelbase(rig),), result=rear if axle == "rear" else front, unit="kg", source="statics",
        steps=(_mass(rig, "", state=state), _moment(rig, "x", state=state)),
    )  # fmt: skip


def _axle(rig: Rig, figure_id: str, axle: str, key: str) -> Working:
    rating = rig.vehicle.ratings.gawr_front if axle == "front" else rig.vehicle.ratings.gawr_rear
    rated = f"Gross axle weight rating, {axle}"
    if key == "load_kg":
        return _axle_load(rig, figure_id, axle)
    if key == "rating_kg":
        return _entered(rig, figure_id, title=rated, value=rating, key="ratings")
    if key == "tyre_kg":
        return _tyres(rig, figure_id, axle)
    if key in ("tyre_margin_kg", "tyre_pressure_kpa"):
        return _tyre_spare(rig, figure_id, axle, key)
    load = _axle_load(rig, "", axle)
    assert isinstance(load.result, float)
    return Working(
        figure_id=figure_id, title=f"Margin of the {axle} axle", formula="margin = rating - R",
        inputs=(Input(symbol="rating", meaning=rated, value=rating, unit="kg", source=_vehicle_at(rig, "ratings")),),
        result=rating - load.result, unit="kg", steps=(load,),
    )  # fmt: skip


def _tyres(rig: Rig, figure_id: str, axle: str) -> Working:
    tyres = rig.vehicle.tyres
    dual = balance.tyres_on(rig, axle) != 2
    index = tyres.load_index_dual if dual else tyres.load_index
    divisor = (Input(symbol="1.10", meaning="divisor of a passenger-car tyre on such a vehicle", value=1.10),)
    return Working(
        figure_id=figure_id, title=f"What the {axle} tyres carry",
        formula="tyres x mass of the load index" + (" / 1.10" if tyres.passenger_car else ""),
        inputs=(
            Input(symbol="tyres", meaning=f"on the {axle} axle", value=balance.tyres_on(rig, axle)),
            Input(symbol="index", meaning="load index, dual" if dual else "load index, single", value=index,
                  source=_vehicle_at(rig, "tyres")),
            *(divisor if tyres.passenger_car else ()),
        ),
        result=balance.tyre_capacity_kg(rig, axle), unit="kg", source="load-index", sourced="published",
    )  # fmt: skip


def _tyre_spare(rig: Rig, figure_id: str, axle: str, key: str) -> Working:
    load, carries = _axle_load(rig, "", axle), _tyres(rig, "", axle)
    assert isinstance(load.result, float)
    if key == "tyre_margin_kg":
        spare = carries.result - load.result if isinstance(carries.result, float | int) else None
        return Working(
            figure_id=figure_id, title=f"Margin of the {axle} tyres", formula="margin = carries - R", result=spare,
            unit="kg", steps=(carries, load),
        )  # fmt: skip
    full = rig.vehicle.tyres.pressure
    return Working(
        figure_id=figure_id, title=f"Cold pressure the laden {axle} axle asks for; never below the placard",
        formula="P (R / carries)^1.25",
        inputs=(
            Input(symbol="P", meaning="pressure at the load index", value=None if full is None else full / 1000,
                  unit="kPa", source=_vehicle_at(rig, "tyres")),
        ),
        result=balance.tyre_pressure_kpa(rig, axle), unit="kPa", source="tyre-pressure", sourced="published",
        steps=(carries, load),
    )  # fmt: skip


def _case(rig: Rig, figure_id: str, state: str, key: str) -> Working:
    ratings = rig.vehicle.ratings
    if key == "mass_kg":
        return _mass(rig, figure_id, state=state)
    if key in ("front_kg", "rear_kg"):
        return _axle_load(rig, figure_id, key.removesuffix("_kg"), state=state)
    if key in ("margin_kg", "front_margin_kg", "rear_margin_kg"):
        axle = key.split("_")[0]
        rating = {"margin": ratings.gvwr, "front": ratings.gawr_front, "rear": ratings.gawr_rear}[axle]
        of = _mass(rig, "", state=state) if axle == "margin" else _axle_load(rig, "", axle, state=state)
        assert isinstance(of.result, float)
        return Working(
            figure_id=figure_id, title="Margin to the rating", formula="margin = rating - R",
            inputs=(Input(symbol="rating", meaning="as entered", value=rating, unit="kg", source=_vehicle_at(rig, "ratings")),),
            result=rating - of.result, unit="kg", steps=(of,),
        )  # fmt: skip
    if key.startswith("cg."):
        return _centre(rig, figure_id, state=state)
    if key == "left_share":
        return _left_share(rig, figure_id, state=state)
    if key in ("stability_factor", "tilt_deg", "rollover_share"):
        return _stands(rig, figure_id, state, key)
    if key != "front_share":
        raise KeyError(figure_id)
    front, mass = _axle_load(rig, "", "front", state=state), _mass(rig, "", state=state)
    assert isinstance(front.result, float)
    assert isinstance(mass.result, float)
    return Working(
        figure_id=figure_id, title="Share of the mass on the front axle", formula="R / W",
        result=front.result / mass.result, unit="fraction", source="statics", steps=(front,),
    )  # fmt: skip


def _stands(rig: Rig, figure_id: str, state: str, key: str) -> Working:
    """Stability factor, tilt and the published curve of one loading."""
    _, y, z = statics.centre_of_mass_m(balance.loads(rig, state))
    track = balance.mean_track_m(rig.vehicle)
    height = Input(symbol="h", meaning="height of the centre of gravity", value=z, unit="m")
    steps = (_centre(rig, "body.cg.z_m", state=state),)
    if key == "stability_factor":
        return Working(
            figure_id=figure_id, title="Static stability factor", formula="T / (2 h)", inputs=(_track(rig), height),
            result=statics.static_stability_factor(track_m=track, height_m=z), source="stability-factor",
            sourced="published", steps=steps,
        )  # fmt: skip
    if key == "tilt_deg":
        beside = Input(symbol="e", meaning="centre of gravity beside the middle", value=abs(y), unit="m")
        return Working(
            figure_id=figure_id, title="Rigid tilt toward the side that tips first; real vehicles tip earlier",
            formula="atan((T/2 - e) / h)", inputs=(_track(rig), height, beside),
            result=statics.tilt_angle_deg(half_track_m=track / 2, height_m=z, offset_m=abs(y)), unit="deg",
            source="stability-factor", sourced="published", steps=steps,
        )  # fmt: skip
    factor = _stands(rig, "", state, "stability_factor")
    assert isinstance(factor.result, float)
    return Working(
        figure_id=figure_id, title="Risk of rolling over in a single-vehicle crash, as a before-and-after indicator",
        formula="1 / (1 + exp(2.8891 + 1.1686 ln(SSF - 0.90)))",
        result=statics.rollover_risk(stability_factor=factor.result) if factor.result > 0.90 else None,
        unit="fraction", source="stability-curve", sourced="memory", steps=(factor,),
    )  # fmt: skip


def _payload(rig: Rig, figure_id: str) -> Working:
    mass = _mass(rig, "")
    assert isinstance(mass.result, float)
    gvwr = rig.vehicle.ratings.gvwr
    return Working(
        figure_id=figure_id, title="Payload that remains", formula="GVWR - W",
        inputs=(Input(symbol="GVWR", meaning="gross vehicle weight rating", value=gvwr, unit="kg",
                      source=_vehicle_at(rig, "ratings")),),
        result=gvwr - mass.result, unit="kg", steps=(mass,),
    )  # fmt: skip


def _centre(rig: Rig, figure_id: str, *, state: str = balance.LADEN) -> Working:
    axis = figure_id.removesuffix("_m")[-1]
    return Working(
        figure_id=figure_id, title=f"Centre of gravity, {axis}", formula=f"{axis.upper()} = M / W",
        result=statics.centre_of_mass_m(balance.loads(rig, state))["xyz".index(axis)], unit="m", source="statics",
        steps=(_mass(rig, "", state=state), _moment(rig, axis, state=state)),
    )  # fmt: skip


def _left_share(rig: Rig, figure_id: str, *, state: str = balance.LADEN) -> Working:
    return Working(
        figure_id=figure_id, title="Share of the mass on the left wheels",
        formula="(W/2 - M/T) / W, tracks taken as equal", inputs=(_track(rig),),
        result=balance.left_share(rig, state), unit="fraction", source="statics",
        steps=(_mass(rig, "", state=state), _moment(rig, "y", state=state)),
    )  # fmt: skip


def _stability(rig: Rig, figure_id: str) -> Working:
    curb = "curb" in figure_id
    height = rig.vehicle.curb.cg_height if curb else statics.centre_of_mass_m(balance.loads(rig))[2]
    return Working(
        figure_id=figure_id,
        title=f"Static stability factor, {'as delivered' if curb else 'with everything entered'}",
        formula="T / (2 h)",
        inputs=(_track(rig), Input(symbol="h", meaning="height of the centre of gravity", value=height, unit="m")),
        result=statics.static_stability_factor(track_m=balance.mean_track_m(rig.vehicle), height_m=height),
        source="stability-factor", sourced="published", steps=() if curb else (_centre(rig, "body.cg.z_m"),),
    )  # fmt: skip


def _added(rig: Rig, figure_id: str) -> Working:
    rows = [row for row in balance.weights(rig) if row.why in balance.ADDED]
    return Working(
        figure_id=figure_id, title="Mass built in for good", formula="sum of m of equipment, batteries and wire",
        inputs=tuple(
            Input(symbol="m", meaning=f"{row.id} ({row.why})", value=row.load.mass_kg, unit="kg",
                  source=_where(row.file, row.line))
            for row in rows
        ),
        result=balance.added_kg(rig), unit="kg",
    )  # fmt: skip


def _threshold(rig: Rig, figure_id: str) -> Working:
    gvwr = rig.vehicle.ratings.gvwr
    return Working(
        figure_id=figure_id, title="Added mass above which a label discloses it",
        formula="the lesser of 0.015 GVWR and 100 lb",
        inputs=(
            Input(symbol="GVWR", meaning="gross vehicle weight rating", value=gvwr, unit="kg",
                  source=_vehicle_at(rig, "ratings")),
            Input(symbol="100 lb", meaning="in kilograms", value=100 * POUND_KG, unit="kg"),
        ),
        result=statics.added_weight_threshold_kg(gvwr_kg=gvwr), unit="kg", source="fr-72-68442", sourced="published",
    )  # fmt: skip


def _rating(rig: Rig, figure_id: str) -> Working:
    title = "Gross vehicle weight rating"
    return _entered(rig, figure_id, title=title, value=rig.vehicle.ratings.gvwr, key="ratings")


_PLAIN: dict[str, Callable[[Rig, str], Working]] = {
    "body.mass_kg": _mass,
    "body.rating_kg": _rating,
    "body.payload_remaining_kg": _payload,
    "body.left_share": _left_share,
    "body.cg.x_m": _centre,
    "body.cg.y_m": _centre,
    "body.cg.z_m": _centre,
    "body.stability_factor": _stability,
    "body.curb_stability_factor": _stability,
    "body.added_kg": _added,
    "body.added_threshold_kg": _threshold,
}
