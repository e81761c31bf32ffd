"""Temperatures and battery gas worked through."""

from __future__ import annotations

import re

from rigbook.body import heat
from rigbook.quantities.working import Input, Working
from rigbook.rig.model import Rig

_HEAT = re.compile(r"body\.heat\[([a-z0-9_-]+)\]\.(heat_w|ambient_c|rise_c|inside_c|limit_c|fan_air_m3_per_h)")
_GAS = re.compile(r"body\.gas\[([a-z0-9_-]+)\]\.(air_m3_per_h|opening_m2)")


def explain(rig: Rig, figure_id: str) -> Working | None:
    """The working of a figure of heat or gas; None where it is none."""
    if match := _GAS.fullmatch(figure_id):
        return _gas(rig, figure_id, match.group(1), match.group(2))
    match = _HEAT.fullmatch(figure_id)
    enclosure = next((e for e in rig.build.enclosures if match and e.id == match.group(1)), None)
    if match is None or enclosure is None:
        return None
    found, key = heat.heat_result(rig, enclosure), match.group(2)
    walls, fan, stack = heat.ways_out(rig, enclosure)
    where = f"{enclosure.where.file}:{enclosure.where.line}"
    stretch = next((s for s in rig.build.duty if s.name == found.stretch), None)
    held = [d for d in rig.devices.values() if d.id in enclosure.holds or d.row in enclosure.holds]
    sources = tuple(
        Input(symbol="P", meaning=f"{d.id}, {found.stretch or 'at its most'}", unit="W",
              value=heat.device_w(rig, d, stretch), source=f"{d.file}:{d.line}")
        for d in held
    )  # fmt: skip
    watts = Working(
        figure_id=figure_id if key == "heat_w" else "", title="Watts inside, in the warmest stretch of the duty day",
        formula="sum of P", inputs=sources, result=found.heat_w, unit="W",
    )  # fmt: skip
    around = Input(
        symbol="Ta", meaning="air around it", value=found.ambient_c, unit="C",
        source="practice-sun" if enclosure.sun else "", sourced="common practice" if enclosure.sun else "computed",
    )  # fmt: skip
    if key == "heat_w":
        return watts
    if key == "limit_c":
        return Working(
            figure_id=figure_id, title="Limit of its contents", formula="as entered", result=found.limit_c, unit="C",
            source=where,
        )  # fmt: skip
    if key == "ambient_c":
        return Working(
            figure_id=figure_id, title="Air around it", formula="Ta", inputs=(around,), result=around.value, unit="C"
        )
    if key == "fan_air_m3_per_h":
        return Working(
            figure_id=figure_id, title="Air that would keep it at its limit", formula="3600 P/(rho cp (limit - Ta))",
            inputs=(around, Input(symbol="limit", meaning="as entered", value=found.limit_c, unit="C", source=where)),
            result=found.fan_air_m3_per_h, unit="m3/h", source="fan-flow", sourced="published", steps=(watts,),
        )  # fmt: skip
    ways = (
        Input(symbol="kA", meaning=f"{enclosure.wall}, free faces", value=walls, unit="W/K", source="enclosure-walls",
              sourced="published"),
        Input(symbol="rho cp Q", meaning="fan behind its filter", value=fan, unit="W/K", source="fan-flow",
              sourced="common practice" if fan else "published"),
        Input(symbol="s", meaning="rising air", value=stack, unit="W/K1.5", source="stack-flow",
              sourced="memory" if stack else "computed"),
    )  # fmt: skip
    inside = key == "inside_c"
    return Working(
        figure_id=figure_id, title="Air inside" if inside else "Rise above the air around",
        formula="P = (kA + rho cp Q) dT + s dT^1.5" + ("; Ta + dT" if inside else ""),
        inputs=(*ways, around) if inside else ways, result=found.inside_c if inside else found.rise_c, unit="C",
        source="enclosure-walls", sourced="published", steps=(watts,),
    )  # fmt: skip


def _gas(rig: Rig, figure_id: str, bank: str, key: str) -> Working:
    found = heat.gas_result(rig, bank) if bank in rig.banks else None
    if found is None:
        raise KeyError(figure_id)
    part = rig.parts[rig.banks[bank].part_id]
    air = Working(
        figure_id=figure_id if key == "air_m3_per_h" else "", title=f"Air for the gas of bank {bank} at boost",
        formula="0.05 n I C / 1000",
        inputs=(
            Input(symbol="I", meaning=f"gassing of {part.chemistry}", value=heat.GAS_MA_PER_AH[part.chemistry],
                  unit="mA/Ah", source="battery-gas", sourced="published"),
            Input(symbol="C", meaning="capacity", value=part.capacity * rig.banks[bank].count, unit="Ah"),
        ),
        result=found.air_m3_per_h, unit="m3/h", source="battery-gas", sourced="published",
    )  # fmt: skip
    if key == "air_m3_per_h":
        return air
    return Working(
        figure_id=figure_id, title="Each of two openings for it", formula="28 Q cm2", result=found.opening_m2,
        unit="m2", source="battery-gas", sourced="published", steps=(air,),
    )  # fmt: skip
