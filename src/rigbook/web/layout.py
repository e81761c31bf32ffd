"""What the vehicle page needs beside the compiled program: where switches sit, what each device draws, saved states."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from rigbook.papers.lampmap import colour_letters
from rigbook.papers.screen_panels import saved_values, switches_by_panel
from rigbook.papers.spelling import spelled
from rigbook.power.supply import output_a
from rigbook.rig.model import Rig
from rigbook.switching.serialise import expression_to_json


def page_layout(rig: Rig, report: Mapping[str, Any]) -> dict[str, Any]:
    """A plain record for the browser. Indexes are those of the compiled program's variables and devices."""
    return {
        "build": {"id": rig.build.build.id, "title": rig.build.build.title},
        "letters": colour_letters(rig),
        "words": {"colours_seen": spelled("Colours each zone sees", rig.shop.units)},
        "panels": switches_by_panel(rig),
        "states": _states(rig, report),
        "feeds": [{"id": f.id, "parent": f.parent, "fuse_a": f.fuse_a, "to": f.to} for f in rig.feeds.values()],
        "draws": list(_draws(rig)),
        "charging": _charging(rig),
        "found": [f["id"] for f in report["power"]["feeds"]],
    }


def _states(rig: Rig, report: Mapping[str, Any]) -> list[dict[str, Any]]:
    """Saved states whole (every variable's value), with what the charging system has left in them."""
    supply = {s["id"]: s for s in report["power"]["supply"]["states"]} if report["power"]["supply"] else {}
    rows = []
    for point in rig.states:
        values = saved_values(rig, point)
        if values is None:
            continue  # it cannot be, and a finding says so: nothing to offer here
        found = supply.get(point.id)
        known = {key: found[key] for key in ("average_a", "output_a", "margin_a")} if found else None
        rows.append({"id": point.id, "title": point.title, "state": list(values), "supply": known})
    return rows


def _charging(rig: Rig) -> dict[str, Any]:
    """What the charging system and the vehicle's own load are made of: hot output at idle, base loads, when it runs."""
    base = rig.vehicle.base_load
    running = dict(rig.program.roles).get("running_when")
    return {
        "idle_output_a": output_a(rig, engine_rpm=None),
        "running": None if running is None else expression_to_json(running),
        "base": {"engine": base.engine, "headlamps": base.headlamps, "climate": base.climate},
        "key_off_a": base.key_off,
    }


def _draws(rig: Rig) -> Iterator[dict[str, Any]]:
    """Every draw that a circuit of the build powers, and those of factory lamps (`factory`: once a function takes them).

    `when` is `colour` (while the lamp shows it), `state` (while the device is driven into it) or `live` (while its feed
    is live: the first draw of what no state drives).
    """
    index = {d.id: i for i, d in enumerate(rig.program.devices)}
    for device in rig.devices.values():
        at = index.get(device.id)
        others = [d for d in device.draws if d.kind != "colour"]
        rests = at is None or bool(device.colours) or not rig.program.devices[at].states
        flowing = [(d, "colour") for d in device.draws if d.kind == "colour" and at is not None]
        flowing += [(d, "live") for d in others[:1]] if rests else [(d, "state") for d in others]
        for draw, when in flowing:
            factory = draw.circuit_id is None and device.part_kind == "factory-lamp"
            if draw.circuit_id is not None or factory:
                yield {
                    "device": at,
                    "name": device.id,
                    "factory": factory,
                    "channel": draw.channel,
                    "when": when,
                    "current_a": draw.current_a,
                    "feed": draw.feed_id,
                }
