"""Wheels, single things, weigh tickets and the label, worked through by the functions that gave them."""

from __future__ import annotations

import re

from rigbook.body import balance, statics
from rigbook.body.label import capacity_before_kg, label
from rigbook.quantities.working import Input, Working
from rigbook.rig.model import Rig

_WHEEL = re.compile(r"body\.wheels\[((?:front|rear)-(?:left|right))\]\.load_kg")
_ITEM = re.compile(r"body\.items\[(.+)\]\.(mass_kg|front_kg|rear_kg)")


def explain(rig: Rig, figure_id: str) -> Working | None:
    """The working of one of these figures; None where it is none of them."""
    if match := _WHEEL.fullmatch(figure_id):
        return _wheel(rig, figure_id, match.group(1))
    if match := _ITEM.fullmatch(figure_id):
        return _item(rig, figure_id, match.group(1), match.group(2))
    if figure_id.startswith("body.label."):
        return _label(rig, figure_id, figure_id.removeprefix("body.label."))
    if figure_id.startswith("body.weighed.") and rig.build.weighed is not None:
        return _weighed(rig, figure_id, figure_id.removeprefix("body.weighed."))
    return None


def _wheel(rig: Rig, figure_id: str, wheel: str) -> Working:
    ticket = rig.build.weighed
    axle = wheel.split("-")[0]
    all_of = balance.loads(rig)
    front, rear = statics.axle_loads_kg(all_of, wheelbase_m=rig.vehicle.size.wheelbase)
    weighed = ticket is not None and ticket.wheels is not None
    track = rig.vehicle.track.front if axle == "front" else rig.vehicle.track.rear
    return Working(
        figure_id=figure_id, title=f"Load under the {wheel.replace('-', ' ')} wheel, laden",
        formula="R/2 -+ (M R/W) / T, the axles sharing the sideways moment as they share the mass"
        + ("; the wheels on the ticket, and the change from them" if weighed else ""),
        inputs=(
            Input(symbol="R", meaning=f"{axle} axle", value=front if axle == "front" else rear, unit="kg"),
            Input(symbol="M", meaning="sideways moment, right positive", unit="kg m",
                  value=sum(load.mass_kg * load.y_m for load in all_of)),
            Input(symbol="W", meaning="whole mass", value=front + rear, unit="kg"),
            Input(symbol="T", meaning="track", value=track, unit="m"),
        ),
        result=balance.wheel_loads_kg(rig)[wheel], unit="kg", source="statics", sourced="common practice",
    )  # fmt: skip


def _item(rig: Rig, figure_id: str, name: str, key: str) -> Working:
    weight = next((w for w in balance.weights(rig)[1:] if w.id == name), None)
    if weight is None:
        raise KeyError(figure_id)
    where = f"{weight.file}:{weight.line}" if weight.file else ""
    mass = Input(symbol="m", meaning=weight.id, value=weight.load.mass_kg, unit="kg", source=where)
    if key == "mass_kg":
        return Working(
            figure_id=figure_id, title="Mass of one thing", formula="m", inputs=(mass,), result=mass.value, unit="kg"
        )
    wheelbase = rig.vehicle.size.wheelbase
    front, rear = statics.axle_loads_kg([weight.load], wheelbase_m=wheelbase)
    return Working(
        figure_id=figure_id, title=f"What it adds to the {key.removesuffix('_kg')} axle",
        formula="m x / L" if key == "rear_kg" else "m (1 - x / L)",
        inputs=(
            mass,
            Input(symbol="x", meaning="behind the front axle", value=weight.load.x_m, unit="m"),
            Input(symbol="L", meaning="wheelbase", value=wheelbase, unit="m"),
        ),
        result=rear if key == "rear_kg" else front, unit="kg", source="statics",
    )  # fmt: skip


def _label(rig: Rig, figure_id: str, key: str) -> Working:
    found = label(rig)
    added = Input(symbol="added", meaning="equipment, batteries and wire", value=found.reduction_kg, unit="kg")
    before = Input(
        symbol="before", meaning="capacity weight before", value=capacity_before_kg(rig), unit="kg",
        source="capacity-weight",
    )  # fmt: skip
    formulas = {
        "reduction_kg": ("What is added for good", "sum of m", (added,), found.reduction_kg),
        "capacity_before_kg": (
            "Capacity weight before: of the placard, else GVWR less the vehicle as delivered", "before", (before,),
            found.capacity_before_kg,
        ),
        "capacity_after_kg": ("Capacity weight left", "before - added", (before, added), found.capacity_after_kg),
    }  # fmt: skip
    if key not in formulas:
        raise KeyError(figure_id)
    title, formula, inputs, result = formulas[key]
    return Working(
        figure_id=figure_id, title=title, formula=formula, inputs=inputs, result=result, unit="kg",
        source="capacity-weight", sourced="published",
    )  # fmt: skip


def _weighed(rig: Rig, figure_id: str, key: str) -> Working:
    ticket = rig.build.weighed
    assert ticket is not None
    where = f"{ticket.where.file}:{ticket.where.line}"
    front, rear = ticket.axle_loads
    scales = (
        Input(symbol="F", meaning="front axle on the scales", value=front, unit="kg", source=where),
        Input(symbol="B", meaning="rear axle on the scales", value=rear, unit="kg", source=where),
    )
    if key in ("height_m", "height_per_scale_kg_m") and ticket.lifted is not None:
        return _height(rig, figure_id, key, scales)
    if key == "mass_kg":
        return Working(
            figure_id=figure_id, title="Mass on the scales", formula="F + B", inputs=scales, result=front + rear,
            unit="kg",
        )  # fmt: skip
    off = balance.residual(rig)
    results = {
        "residual_kg": off.mass_kg, "residual_front_kg": off.front_kg, "residual_rear_kg": off.rear_kg,
        "residual_left_kg": off.left_kg,
    }  # fmt: skip
    if key not in results:
        raise KeyError(figure_id)
    computed = tuple(
        Input(symbol="m", meaning=f"{w.id} at {w.load.x_m:g} m, {w.load.y_m:g} m", value=w.load.mass_kg, unit="kg")
        for w in balance.computed_when_weighed(rig)
    )
    return Working(
        figure_id=figure_id, title="Weighed less computed, in the state on the ticket",
        formula="scales - loads of the masses as entered", inputs=(*scales, *computed), result=results[key], unit="kg",
        source="statics",
    )  # fmt: skip


def _height(rig: Rig, figure_id: str, key: str, scales: tuple[Input, ...]) -> Working:
    ticket, wheelbase = rig.build.weighed, rig.vehicle.size.wheelbase
    assert ticket is not None
    assert ticket.lifted is not None
    lifted, mass = ticket.lifted, sum(ticket.axle_loads)
    height = key == "height_m"
    per = statics.lifted_cg_sensitivity_m_per_kg(wheelbase_m=wheelbase, mass_kg=mass, rise_m=lifted.rise)
    return Working(
        figure_id=figure_id,
        title="Height of the centre of gravity, one axle lifted" if height else "Height for one kg of scale error",
        formula="r + L dF / (W tan)" if height else "L / (W tan)",
        inputs=(
            *scales,
            Input(symbol="L", meaning="wheelbase", value=wheelbase, unit="m"),
            Input(symbol="tan", meaning="slope H / sqrt(L^2 - H^2)",
                  value=statics.lift_slope(wheelbase_m=wheelbase, rise_m=lifted.rise)),
            Input(symbol="H", meaning="rise of the hubs", value=lifted.rise, unit="m"),
            Input(symbol="other", meaning="axle on the ground, other one lifted", value=lifted.other, unit="kg"),
        ),
        result=balance.weighed_height_m(rig) if height else per, unit="m", source="cg-height-lift",
        sourced="published",
    )  # fmt: skip
