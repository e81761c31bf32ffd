"""From installed rows to devices: each lamp of a row, each module of a bar, with what it draws."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from rigbook.documents.schema.build import Install
from rigbook.documents.schema.parts import ElectricBase, Lamp, Lightbar
from rigbook.documents.schema.vehicle import FactoryLamp, Vehicle
from rigbook.rig.model import Device, Draw, Placement, Point
from rigbook.rig.places import as_point
from rigbook.rig.placing import Placing
from rigbook.rig.report import Report

RELAY_KINDS = ("relay", "contactor")
RELAY_STATES = ("open", "closed")


def lamp_draws(*, device_id: str, part: Lamp, holder: str, terminal: str | None = None) -> tuple[Draw, ...]:
    """What a lamp draws in each of its colours; `terminal` where all its colours share one."""
    made = [
        Draw(
            device_id=device_id,
            channel=colour,
            kind="colour",
            current_a=entry.current,
            at_v=entry.at if entry.at is not None else part.at,
            law=part.load,
            works_v=part.works,
            inrush_times=part.inrush.times if part.inrush else None,
            inrush_s=part.inrush.for_ if part.inrush else None,
            dims_by=part.dims_by,
            circuit_id=None,
            terminal=terminal or f"{device_id}:{colour}",
            return_point=f"{holder}:return",
            feed_id=None,
        )
        for colour, entry in part.colours.items()
    ]
    made += state_draws(device_id=device_id, part=part)
    return tuple(made)


def state_draws(*, device_id: str, part: Any) -> list[Draw]:
    """What a part draws in each state it can be driven into, then in each draw state not named among those."""
    if not isinstance(part, ElectricBase):
        return []
    currents: dict[str, tuple[str, float]] = {state.id: ("state", state.draw) for state in part.states}
    for name, current_a in part.draws.items():
        currents.setdefault(name, ("draw", current_a))
    if getattr(part, "kind", "") in RELAY_KINDS:
        currents.setdefault("open", ("state", 0.0))
        currents.setdefault("closed", ("state", max((a for _, a in currents.values()), default=0.0)))
    return [
        Draw(
            device_id=device_id,
            channel=name,
            kind="state" if kind == "state" else "draw",
            current_a=current_a,
            at_v=part.at,
            law=part.load,
            works_v=part.works,
            inrush_times=part.inrush.times if part.inrush else None,
            inrush_s=part.inrush.for_ if part.inrush else None,
            dims_by="switching",
            circuit_id=None,
            terminal=f"{device_id}:power",
            return_point=f"{device_id}:return",
            feed_id=None,
        )
        for name, (kind, current_a) in currents.items()
    ]


def states_of(part: Any, *, by_output: bool) -> tuple[tuple[str, ...], str | None]:
    """States functions may drive a part into, and its rest state (None: off).

    A relay rests open. A part without `rest:` rests in its first draw state where a feed powers it, and
    is off where an output does.
    """
    if not isinstance(part, ElectricBase) or isinstance(part, Lamp | Lightbar):
        return (), None
    names = [state.id for state in part.states] or list(part.draws)
    if getattr(part, "kind", "") in RELAY_KINDS:
        names = [*names, *(state for state in RELAY_STATES if state not in names)]
        return tuple(names), part.rest or "open"
    rest = part.rest
    if rest is None and not by_output and part.draws:
        rest = next(iter(part.draws))
    if rest is not None and rest not in names:
        names.insert(0, rest)
    return tuple(names), rest


class Fitting:
    """Makes the devices of one build; grows while it is worked out, and is thrown away after."""

    def __init__(self, *, parts: Mapping[str, Any], placing: Placing, report: Report) -> None:
        self.parts = parts
        self.placing = placing
        self.report = report
        self.devices: dict[str, Device] = {}

    def install(self, row: Install) -> None:
        """Add the devices of one installed row."""
        part = self.parts.get(row.part)
        if part is None:
            self.report.unknown(row.where_of("part"), "part", row.part, self.parts)
            return
        if row.along is not None:
            if row.along.count < 1:
                self.report.error(row.along.where_of("count"), f"a row has at least one lamp, {row.id} has none")
                return
            for index, placement in enumerate(self.placing.row(row, part), start=1):
                self._add(row, part, f"{row.id}.{index}", index, placement)
            return
        placement_ = self.placing.single(row, part)
        if placement_ is None:
            return
        self._add(row, part, row.id, None, placement_)
        if isinstance(part, Lightbar):
            self._bar(row, part, placement_)

    def _bar(self, row: Install, bar: Lightbar, placement: Placement) -> None:
        for index, module in enumerate(bar.modules, start=1):
            lamp = self.parts.get(module.part)
            if not isinstance(lamp, Lamp):
                kind = "part" if lamp is None else "lamp"
                lamps = [name for name, part in self.parts.items() if isinstance(part, Lamp)]
                self.report.unknown(module.where_of("part"), kind, module.part, lamps)
                continue
            placed = self.placing.in_bar(placement, module)
            self._add(row, lamp, f"{row.id}.{module.id}", index, placed, bar=row.id, tags=tuple(module.tags))

    def _add(
        self,
        row: Install,
        part: Any,
        device_id: str,
        index: int | None,
        placement: Placement,
        *,
        bar: str | None = None,
        tags: tuple[str, ...] = (),
    ) -> None:
        holder = bar or device_id
        if isinstance(part, Lamp):
            draws = lamp_draws(device_id=device_id, part=part, holder=holder)
        else:
            draws = tuple(state_draws(device_id=device_id, part=part))
        states, rest = states_of(part, by_output=row.outputs is not None and row.feed is None)
        self.devices[device_id] = Device(
            id=device_id,
            row=row.id,
            index=index,
            part_id=part.id,
            part_kind=part.kind,
            title=part.title,
            bought=bar is None,
            placement=placement,
            tags=frozenset(row.tags) | frozenset(tags),
            colours=tuple(part.colours) if isinstance(part, Lamp) else (),
            states=states,
            rest=rest,
            one_colour_at_a_time=isinstance(part, Lamp) and part.one_colour_at_a_time,
            driven=getattr(part, "driven", None),
            clock=device_id,
            draws=draws,
            controller=row.controller,
            amplifier=row.amplifier,
            antenna=row.antenna,
            ground=row.ground,
            sense_feed=row.sense_feed,
            size_m=part.size,
            mass_kg=0.0 if bar is not None else part.mass,
            file=row.where.file,
            line=row.where.line,
            head_at=self._head(row),
            serial=row.serial,
            port=row.port,
            inside_of=bar,
            inlet=row.inlet,
            shows=row.shows,
        )

    def _head(self, row: Install) -> Point | None:
        if row.head is None:
            return None
        if row.head.at is not None:
            return as_point(row.head.at)
        if row.head.panel is not None:
            return self.placing.panel(row.head.panel, row.head.where_of("panel"))
        self.report.error(row.head.where, f"the head of {row.id} needs panel or at")
        return None


def factory_device(lamp: FactoryLamp, vehicle: Vehicle, placement: Placement) -> Device:
    """A lamp the vehicle came with: it rests as the vehicle commands, and the vehicle's own wiring feeds it."""
    draw = Draw(
        device_id=lamp.id,
        channel=lamp.colour,
        kind="colour",
        current_a=lamp.current,
        at_v=12.8 if vehicle.system == "12 V" else 25.6,
        law="constant-current",
        works_v=None,
        inrush_times=None,
        inrush_s=None,
        dims_by="switching",
        circuit_id=None,
        terminal=f"{lamp.id}:{lamp.colour}",
        return_point=f"{lamp.id}:return",
        feed_id=None,
    )
    return Device(
        id=lamp.id,
        row=lamp.id,
        index=None,
        part_id=None,
        part_kind="factory-lamp",
        title=f"Factory lamp {lamp.id}",
        bought=False,
        placement=placement,
        tags=frozenset(lamp.tags),
        colours=(lamp.colour,),
        states=(),
        rest=None,
        one_colour_at_a_time=False,
        driven="vehicle",
        clock="vehicle",
        draws=(draw,),
        controller=None,
        amplifier=None,
        antenna=None,
        ground=None,
        sense_feed=None,
        size_m=(0.0, 0.0, 0.0),
        mass_kg=0.0,
        file=lamp.where.file,
        line=lamp.where.line,
        commanded_when=str(lamp.commanded_when),
    )
