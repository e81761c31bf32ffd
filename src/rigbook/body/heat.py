"""Cabinets and consoles: watts by duty, and the temperature they come to; openings for battery gas."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from rigbook.body import warmth
from rigbook.documents.schema.build import DutyStretch
from rigbook.documents.schema.enclosing import Enclosure
from rigbook.documents.schema.parts import Radio
from rigbook.rig.model import Device, Rig, RigNote

GAS_MA_PER_AH: Mapping[str, float] = MappingProxyType({"flooded": 20.0, "agm": 8.0, "gel": 8.0})
"""Gassing current at boost charge. Source: battery-gas; lithium packs follow their maker."""
INDOORS_C = 25.0


@dataclass(frozen=True, slots=True)
class HeatResult:
    """One enclosure in its warmest stretch of the duty day, long enough to settle."""

    id: str
    stretch: str | None
    heat_w: float
    ambient_c: float
    rise_c: float
    inside_c: float
    limit_c: float
    fan_air_m3_per_h: float | None


@dataclass(frozen=True, slots=True)
class GasResult:
    """Air for the gas of a lead-acid bank at boost, and each of two openings for it."""

    id: str
    air_m3_per_h: float
    opening_m2: float


def device_w(rig: Rig, device: Device, stretch: DutyStretch | None) -> float:
    """Watts a device turns to heat: by its shares in a stretch, at its most where no duty names it.

    What a radio puts on its antenna leaves the vehicle, in the share of time it transmits.
    """
    most = sum(source.watts for source in rig.heat if source.id == device.id)
    named = any(device.id in each.draws or device.row in each.draws for each in rig.build.duty)
    states = [draw for draw in device.draws if draw.kind == "draw"]
    if stretch is None or not named or not states:
        return most
    shares = {**stretch.draws.get(device.row, {}), **stretch.draws.get(device.id, {})}
    rest = 1.0 - sum(shares.values())
    watts = 0.0
    part = rig.parts.get(device.part_id or "")
    for index, draw in enumerate(states):
        share = shares.get(draw.channel, 0.0) + (rest if index == 0 else 0.0)
        watts += share * draw.current_a * draw.at_v
        if isinstance(part, Radio) and draw.current_a == max(d.current_a for d in states):
            watts -= share * part.antenna.power
    return max(0.0, watts)


def heat_w(rig: Rig, enclosure: Enclosure) -> tuple[str | None, float]:
    """The warmest stretch and its watts; the most of everything where no duty is given."""
    held = [d for d in rig.devices.values() if d.id in enclosure.holds or d.row in enclosure.holds]
    stretches: list[DutyStretch | None] = list(rig.build.duty) or [None]
    return max(
        ((s.name if s else None, sum(device_w(rig, d, s) for d in held)) for s in stretches), key=lambda pair: pair[1]
    )


def free_area_m2(rig: Rig, enclosure: Enclosure) -> float:
    """Area of the free faces of the cabinet, by its size."""
    depth, width, height = rig.devices[enclosure.cabinet].size_m
    of = {"front": width * height, "back": width * height, "left": depth * height, "right": depth * height,
          "top": width * depth, "bottom": width * depth}  # fmt: skip
    return sum(of[face] for face in enclosure.faces)


def ambient_c(rig: Rig, enclosure: Enclosure) -> float:
    """Air around it: design ambient of its area; in the sun at least 70 C."""
    area = rig.devices[enclosure.cabinet].placement.area
    own = next((a.ambient for a in rig.vehicle.areas if a.id == area), INDOORS_C)
    return max(own, warmth.SUN_C) if enclosure.sun else own


def fan_m3_s(rig: Rig, enclosure: Enclosure) -> float:
    """Air its fan moves through filter and cables, m3/s."""
    if enclosure.fan is None:
        return 0.0
    flow = rig.parts[rig.devices[enclosure.fan].part_id or ""].flow_m3_per_h or 0.0
    return float(flow) / 3600.0 * enclosure.filter_passes


def ways_out(rig: Rig, enclosure: Enclosure) -> tuple[float, float, float]:
    """Walls W/K, fan W/K, rising air W/K^1.5."""
    walls = warmth.wall_w_m2k(wall=enclosure.wall) * free_area_m2(rig, enclosure)
    fan = warmth.AIR_KG_M3 * warmth.AIR_J_KG_K * fan_m3_s(rig, enclosure)
    stack = 0.0
    if enclosure.vents is not None and enclosure.fan is None:
        vents = enclosure.vents
        stack = warmth.stack_w_per_k15(
            opening_m2=vents.width * vents.height, rise_m=vents.rise, ambient_c=ambient_c(rig, enclosure)
        )
    return walls, fan, stack


def heat_result(rig: Rig, enclosure: Enclosure) -> HeatResult:
    """Everything of one enclosure."""
    stretch, watts = heat_w(rig, enclosure)
    walls, fan, stack = ways_out(rig, enclosure)
    around = ambient_c(rig, enclosure)
    rise = warmth.rise_k(power_w=watts, wall_w_k=walls, fan_w_k=fan, stack=stack)
    spare = enclosure.limit - around
    needed = 3600.0 * warmth.fan_flow_m3_s(power_w=watts, rise_k=spare) if spare > 0 else None
    return HeatResult(enclosure.id, stretch, watts, around, rise, around + rise, enclosure.limit, needed)


def gas_result(rig: Rig, bank_id: str) -> GasResult | None:
    """Air for one bank; None for what does not gas by this rule."""
    bank = rig.banks[bank_id]
    part = rig.parts[bank.part_id]
    current = GAS_MA_PER_AH.get(part.chemistry)
    if current is None:
        return None
    cells = 12 if rig.vehicle.system == "24 V" else 6
    air = warmth.battery_gas_m3_h(cells=cells, gas_ma_per_ah=current, capacity_ah=part.capacity * bank.count)
    return GasResult(bank_id, air, warmth.battery_opening_m2(air_m3_h=air))


def work_out(rig: Rig) -> tuple[HeatResult, ...]:
    """Every enclosure of the build."""
    return tuple(heat_result(rig, enclosure) for enclosure in rig.build.enclosures)


def gas(rig: Rig) -> tuple[GasResult, ...]:
    """Every lead-acid bank that was added."""
    return tuple(
        found for name, bank in rig.banks.items() if not bank.own and (found := gas_result(rig, name)) is not None
    )


def notes(rig: Rig) -> tuple[RigNote, ...]:
    """Temperatures that rest on an estimate."""
    made = []
    for enclosure in rig.build.enclosures:
        if enclosure.sun:
            says = f"{enclosure.id} in the sun: air of {warmth.SUN_C:g} C around it is an estimate; measure it on a hot day"
            where = enclosure.where
            made.append(RigNote("sun-estimated", enclosure.id, "note", says, where.file, where.line))
    return tuple(made)
