"""The charging system: what it gives hot at an engine speed, and what the vehicle itself draws."""

from __future__ import annotations

from collections.abc import Iterable

from rigbook.documents.schema.parts import Charger, DcDc
from rigbook.power import alternator
from rigbook.rig.model import Member, Rig, SavedPoint


def output_a(rig: Rig, *, engine_rpm: float | None) -> float | None:
    """Hot output in A at an engine speed, idle where none is given; a DC-DC converter's output at any.

    None where the vehicle states no hot curve or no idle speed.
    """
    charging = rig.vehicle.charging
    if charging.kind == "dc-dc":
        return charging.output
    rpm = charging.idle_rpm if engine_rpm is None else engine_rpm
    if not charging.hot or rpm is None:
        return None
    rotor = alternator.rotor_rpm(engine_rpm=rpm, pulley_ratio=charging.pulley_ratio)
    return alternator.output_a(curve=charging.hot, rotor_rpm=rotor)


def most_output_a(rig: Rig) -> float | None:
    """Greatest hot output in A at any engine speed. None where the vehicle states no hot curve."""
    charging = rig.vehicle.charging
    if charging.kind == "dc-dc":
        return charging.output
    return max((amps for _, amps in charging.hot), default=None)


def state_output_a(rig: Rig, point: SavedPoint, *, running: bool) -> float | None:
    """Output in A in a saved state: hot at its engine speed while the engine runs, else 0 A."""
    return output_a(rig, engine_rpm=point.rpm) if running else 0.0


def base_load_a(rig: Rig, *, running: bool) -> float:
    """What the vehicle itself draws, A: engine, headlamps and climate while it runs, else its key-off current."""
    base = rig.vehicle.base_load
    return base.engine + base.headlamps + base.climate if running else base.key_off


def supplied_a(rig: Rig, members: Iterable[Member]) -> float:
    """What chargers and converters on some members put in, A; 0 where there is none."""
    parts = (rig.parts.get(rig.devices[member.device_id].part_id or "") for member in members if not member.signal)
    return max((part.output for part in parts if isinstance(part, Charger | DcDc)), default=0.0)
