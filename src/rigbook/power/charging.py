"""The charging system against every saved state: engine speed it needs, shedding step by step, start-up, blocks, shore."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from rigbook.documents.schema.parts import BusBar, Charger, FuseBlock, ShoreInlet
from rigbook.power import supply
from rigbook.power.day_result import BlockFigures, ShedStep, ShoreFigures, StartStep, StateNeed
from rigbook.power.duty_case import charger_banks, mean_of
from rigbook.power.loads import StateLoads, feeds_above
from rigbook.power.result import FeedFigures, StateSupply
from rigbook.rig.model import Device, Draw, Rig

BANK_SHARE = 0.1
"""A shore charger gives a tenth of the capacity of its banks beside what stands by [common practice, no source]."""
LEAST_CHARGER_A = 10.0
"""Least output of a charger or conditioner (source: kkk-a-1822e)."""
INLET_SHARE = 0.8
"""Share of a shore branch that a continuous load may take (source: shore-branch)."""
EFFICIENCY, POWER_FACTOR, CHARGE_V = 0.85, 1.0, 14.4
"""Of a charger that does not state what it takes [common practice, no source]."""


# --- engine speed and shedding -------------------------------------------------------------------------------


def rpm_for(*, curve: Sequence[tuple[float, float]], pulley_ratio: float, current_a: float) -> float | None:
    """Least engine speed in rpm at which the curve gives a current; None where it never does. Source: pulley."""
    points = sorted(curve)
    if not points or max(amps for _, amps in points) < current_a:
        return None
    if points[0][1] >= current_a:
        return points[0][0] / pulley_ratio
    for (low_rpm, low_a), (high_rpm, high_a) in pairwise(points):
        if high_a >= current_a:
            rotor = low_rpm + (high_rpm - low_rpm) * (current_a - low_a) / (high_a - low_a)
            return rotor / pulley_ratio
    return None


def shed_amps(rig: Rig, state: StateLoads, step: int) -> float:
    """What stands behind feeds that shed at a step or below, on average in a state, A."""
    found = []
    for each in state.drawn:
        steps = [rig.feeds[name].sheds for name in feeds_above(rig, each.draw)]
        if each.draw.circuit_id is not None and any(s is not None and s <= step for s in steps):
            found.append(mean_of(each.wave))
    return sum(found)


def shed_steps(rig: Rig) -> list[int]:
    """The shed steps that feeds name, in order."""
    return sorted({feed.sheds for feed in rig.feeds.values() if feed.sheds is not None})


def needs(rig: Rig, states: Sequence[StateLoads], supplied: Sequence[StateSupply]) -> tuple[StateNeed, ...]:
    """What every saved state with the engine running asks of the charging system."""
    charging = rig.vehicle.charging
    found = []
    for state, figure in zip(states, supplied, strict=True):
        if not figure.running or figure.margin_a is None or figure.output_a is None:
            continue
        steps: list[ShedStep] = []
        holds: int | None = 0 if figure.margin_a >= 0 else None
        for step in shed_steps(rig) if holds is None else ():
            shed = shed_amps(rig, state, step)
            steps.append(ShedStep(f"step-{step}", step, shed, figure.margin_a + shed))
            if figure.margin_a + shed >= 0:
                holds = step
                break
        high = supply.output_a(rig, engine_rpm=charging.high_idle_rpm) if charging.high_idle_rpm is not None else None
        rpm = None
        if charging.kind == "alternator":
            rpm = rpm_for(curve=charging.hot, pulley_ratio=charging.pulley_ratio, current_a=figure.average_a)
        idle = charging.idle_rpm
        wants = rpm is not None and idle is not None and rpm > idle
        high_margin = None if high is None else high - figure.average_a
        found.append(StateNeed(figure.id, figure.margin_a, rpm, high_margin, wants, holds, tuple(steps)))
    return tuple(found)


# --- start-up ---------------------------------------------------------------------------------------------------


def _delay_s(rig: Rig, draw: Draw) -> float:
    return max((rig.feeds[name].starts_after_s for name in feeds_above(rig, draw)), default=0.0)


def start_up(rig: Rig, states: Sequence[StateLoads]) -> tuple[StartStep, ...]:
    """The feeds as they come after key on, with the average of the saved state that draws most with the engine running."""
    running = [state for state in states if state.running]
    if not running or not any(feed.starts_after_s > 0 for feed in rig.feeds.values()):
        return ()

    def powered(state: StateLoads) -> list[tuple[float, float]]:
        return [(_delay_s(rig, e.draw), mean_of(e.wave)) for e in state.drawn if e.draw.circuit_id is not None]

    most = max((powered(state) for state in running), key=lambda rows: sum(amps for _, amps in rows))
    found = []
    flowing = 0.0
    for after_s in sorted({delay for delay, _ in most} | {f.starts_after_s for f in rig.feeds.values()}):
        added = sum(amps for delay, amps in most if delay == after_s)
        flowing += added
        feeds = tuple(feed.id for feed in rig.feeds.values() if feed.starts_after_s == after_s)
        found.append(StartStep(f"after-{after_s:g}", after_s, feeds, added, flowing))
    return tuple(found)


# --- blocks ------------------------------------------------------------------------------------------------------


def blocks(rig: Rig, feeds: Sequence[FeedFigures]) -> tuple[BlockFigures, ...]:
    """Every fuse block and bus bar that a feed supplies or starts from: what is used and what is left."""
    figures = {feed.id: feed for feed in feeds}
    found = []
    for device in rig.devices.values():
        part = rig.parts.get(device.part_id or "")
        if not isinstance(part, FuseBlock | BusBar):
            continue
        positions = part.positions if isinstance(part, FuseBlock) else part.studs
        supplier = next((feed.id for feed in rig.feeds.values() if feed.to == device.id), None)
        used = sum(feed.block_id == device.id for feed in rig.feeds.values())
        worst = figures[supplier].worst_rms_a if supplier is not None else None
        found.append(
            BlockFigures(
                device.id, supplier, used, positions, (positions - used) / positions if positions else 0.0, worst,
                part.limit, None if worst is None else part.limit - worst,
            )
        )  # fmt: skip
    return tuple(found)


# --- shore -------------------------------------------------------------------------------------------------------


def charger_takes_a(part: Charger, *, shore_v: float) -> float:
    """What a charger takes from the shore at full output, A: as entered, else V I/(eta PF Vac). Source: shore-charger."""
    if part.input is not None:
        return part.input
    return CHARGE_V * part.output / (EFFICIENCY * POWER_FACTOR * shore_v)


def shore(rig: Rig, standby: dict[str, float]) -> tuple[ShoreFigures, ...]:
    """Every shore charger: whether it is large enough for its banks, and its inlet for it.

    standby: what each bank is asked for while plugged in, A.
    """
    found = []
    for device in rig.devices.values():
        part = rig.parts.get(device.part_id or "")
        if not isinstance(part, Charger):
            continue
        banks = charger_banks(rig, device)
        amount = sum(rig.parts[rig.banks[b].part_id].capacity * rig.banks[b].count for b in banks)
        asked = sum(standby.get(b, 0.0) for b in banks)
        inlet = _inlet(rig, device)
        takes = None if inlet is None else charger_takes_a(part, shore_v=inlet.voltage)
        found.append(
            ShoreFigures(
                device.id, device.inlet, banks, part.output, asked,
                max(LEAST_CHARGER_A, asked + BANK_SHARE * amount), takes, None if inlet is None else inlet.limit,
                None if inlet is None else INLET_SHARE * inlet.limit,
            )
        )  # fmt: skip
    return tuple(found)


def _inlet(rig: Rig, device: Device) -> ShoreInlet | None:
    inlet = rig.devices.get(device.inlet or "")
    part = None if inlet is None else rig.parts.get(inlet.part_id or "")
    return part if isinstance(part, ShoreInlet) else None
