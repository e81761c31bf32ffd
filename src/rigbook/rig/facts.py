"""What the compiler asks of the rig: devices with zones, clocks and feeds; feeds with what makes them live."""

from __future__ import annotations

import math
from collections.abc import Mapping

from rigbook.documents.schema.build import BuildDocument
from rigbook.documents.schema.parts import Lightbar
from rigbook.rig.devices import RELAY_KINDS
from rigbook.rig.model import Device, Module
from rigbook.rig.open_model import Need, OpenFeed, Terminal
from rigbook.switching.program import DeviceFacts, FeedFacts, PoseFacts

OWN_TIME = "self-flashing"


def whole_mm(value_m: float) -> int:
    """Metres as whole millimetres, halves up."""
    return math.floor(value_m * 1000.0 + 0.5)


def split_output(output: str) -> tuple[str, int]:
    """`control.3` as module and number."""
    module, _, number = output.rpartition(".")
    return module, int(number)


def output_feed(modules: Mapping[str, Module], output: str) -> str | None:
    """The feed behind an output: that of its bank."""
    name, number = split_output(output)
    for bank in modules[name].banks:
        if number in bank.outputs:
            return bank.feed_id
    return None


def provisional_outputs(terminals: Mapping[str, Terminal], modules: Mapping[str, Module]) -> dict[Need, str]:
    """Where an output is still open: one of the first module it may come from, only to know clock and feed."""
    found: dict[Need, str] = {}
    for terminal in terminals.values():
        if terminal.need is None:
            continue
        if terminal.output is not None:
            found[terminal.need] = terminal.output
            continue
        for name in terminal.modules:
            bank = next((bank for bank in modules[name].banks if bank.feed_id is not None), None)
            if bank is not None:
                found[terminal.need] = f"{name}.{bank.outputs[0]}"
                break
    return found


def clock_of(
    device: Device, *, sync: str | None, drive: str | None, needs: tuple[Need, ...], modules: Mapping[str, Module],
    outputs: Mapping[Need, str],
) -> str:  # fmt: skip
    """Name of the clock a device keeps time by.

    Self-flashing heads keep their own or their sync group's; a data-link device its controller's; what
    outputs drive keeps that of the controller of its first output, for a module has its controller's clock.
    """
    if drive == OWN_TIME:
        return f"sync:{sync}" if sync is not None else device.id
    if drive == "data-link" and device.controller is not None:
        return device.controller
    for need in needs:
        if need in outputs:
            return modules[split_output(outputs[need])[0]].clock
    return device.id


def device_feeds(
    device: Device, *, terminals: Mapping[str, Terminal], modules: Mapping[str, Module], outputs: Mapping[Need, str]
) -> tuple[tuple[str, str], ...]:
    """(channel, feed) of every channel that a feed stands behind."""
    found: dict[str, str] = {}
    for terminal in terminals.values():
        if terminal.signal:
            continue
        feed = terminal.feed_id
        if feed is None and terminal.need is not None and terminal.need in outputs:
            feed = output_feed(modules, outputs[terminal.need])
        if feed is None:
            continue
        for owner, channel in terminal.draws:
            if owner == device.id:
                found.setdefault(channel, feed)
    return tuple(found.items())


def make_device_facts(
    *, build: BuildDocument, parts: Mapping[str, object], devices: Mapping[str, Device],
    terminals: Mapping[str, Terminal], modules: Mapping[str, Module], outputs: Mapping[Need, str],
) -> tuple[DeviceFacts, ...]:  # fmt: skip
    """Facts of every device a selector may name: lamps, and whatever draws."""
    syncs = {row.id: row.sync for row in build.install}
    bars = {row.id: parts.get(row.part) for row in build.install}
    by_device: dict[str, list[Terminal]] = {}
    for terminal in terminals.values():
        for owner in dict.fromkeys([terminal.device_id, *(owner for owner, _ in terminal.draws)]):
            by_device.setdefault(owner, []).append(terminal)
    made = []
    for device in devices.values():
        if not device.draws or device.part_kind == "lightbar":
            continue
        own = {terminal.node: terminal for terminal in by_device.get(device.id, ())}
        bar = bars.get(device.row)
        drive = (bar.driven if isinstance(bar, Lightbar) else None) or device.driven
        needs = tuple(t.need for t in own.values() if t.need is not None and t.need[0] == device.id)
        made.append(
            _facts(
                device,
                clock=clock_of(
                    device, sync=syncs.get(device.row), drive=drive, needs=needs, modules=modules, outputs=outputs
                )
                if device.commanded_when is None
                else device.clock,
                feeds=device_feeds(device, terminals=own, modules=modules, outputs=outputs),
            )
        )
    return tuple(made)


def _facts(device: Device, *, clock: str, feeds: tuple[tuple[str, str], ...]) -> DeviceFacts:
    placement = device.placement
    at = placement.at
    kind = device.part_kind
    return DeviceFacts(
        id=device.id,
        row=device.row,
        kind="lamp" if kind == "lamp" else "factory-lamp" if kind == "factory-lamp" else "relay"
        if kind in RELAY_KINDS else "device",
        tags=device.tags,
        zones=placement.closed.zones if kind in ("lamp", "factory-lamp") else frozenset(),
        seen_zones=placement.closed.seen_zones,
        half=placement.half,
        level=placement.level,
        inside=placement.inside,
        at_mm=(whole_mm(at.x_m), whole_mm(at.y_m), whole_mm(at.z_m)),
        colours=device.colours,
        one_colour_at_a_time=device.one_colour_at_a_time,
        states=device.states,
        rest=device.rest,
        clock=clock,
        poses=tuple(
            PoseFacts(pose.when, pose.seen_zones) for pose in placement.poses[1:] if pose.when is not None
        ) if kind in ("lamp", "factory-lamp") else (),
        feeds=feeds,
        commanded_when=device.commanded_when,
        file=device.file,
        line=device.line,
    )  # fmt: skip


def make_feed_facts(feeds: Mapping[str, OpenFeed], devices: Mapping[str, Device]) -> tuple[FeedFacts, ...]:
    """Facts of every feed; a disconnect stays closed and is not driven, so only relays are named."""
    made = []
    for feed in feeds.values():
        relay = devices.get(feed.through) if feed.through else None
        made.append(
            FeedFacts(
                id=feed.id,
                above=feed.parent,
                live_when=feed.live_when,
                through=relay.id if relay is not None and relay.part_kind in RELAY_KINDS else None,
                sheds=feed.sheds,
                file=feed.live_when_at.file if feed.live_when else feed.where.file,
                line=feed.live_when_at.line if feed.live_when else feed.where.line,
                column=feed.live_when_at.column if feed.live_when else feed.where.column,
            )
        )
    return tuple(made)
