"""What no function shows: parts that are bolted in, held or plugged, to be looked at place by place."""

from __future__ import annotations

from rigbook.rig.model import Device, Rig

AT_ONCE = 12
"""Parts that one step asks to be looked at: what a person keeps in mind, and a row that no page cuts."""


def unshown(rig: Rig) -> dict[str, list[Device]]:
    """Fitted parts that no function drives, by the panel, place or area they are at; places in order of the build.

    Of a row of equal parts the first stands for all. Many at one place come as `cargo, 1 of 2`. Empty where functions show
    everything.
    """
    shown = {device.id for device in rig.program.devices if device.entries}
    shown |= {d.inside_of for d in rig.devices.values() if d.inside_of is not None and d.id in shown}
    found: dict[str, list[Device]] = {}
    rows: set[str] = set()
    for device in rig.devices.values():
        if not device.bought or device.id in shown or device.row in rows:
            continue
        rows.add(device.row)
        where = device.placement.panel or device.placement.place or device.placement.area or "vehicle"
        found.setdefault(where, []).append(device)
    steps: dict[str, list[Device]] = {}
    for where, devices in found.items():
        parts = [devices[start : start + AT_ONCE] for start in range(0, len(devices), AT_ONCE)]
        for number, part in enumerate(parts, 1):
            steps[where if len(parts) == 1 else f"{where}, {number} of {len(parts)}"] = part
    return steps


def words(device: Device) -> str:
    """A part as the form lists it."""
    title = device.title
    if title[1:2].islower():  # not an abbreviation
        title = title[0].lower() + title[1:]
    return f"{device.row} ({title})" if title else device.row
