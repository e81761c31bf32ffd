"""What the vehicle page needs beside the compiled program: where switches sit, what each device draws, saved states."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from rigbook.papers.lampmap import colour_letters
from rigbook.papers.spelling import spelled
from rigbook.rig.model import Rig
from rigbook.switching.states import saved_state


def page_layout(rig: Rig, report: Mapping[str, Any]) -> dict[str, Any]:
    """A plain record for the browser. Indexes are those of the compiled program's variables and devices."""
    return {
        "build": {"id": rig.build.build.id, "title": rig.build.build.title},
        "letters": colour_letters(rig),
        "words": {"colours_seen": spelled("Colours each zone sees", rig.shop.units)},
        "panels": _panels(rig),
        "states": _states(rig, report),
        "feeds": [{"id": f.id, "parent": f.parent, "fuse_a": f.fuse_a, "to": f.to} for f in rig.feeds.values()],
        "draws": list(_draws(rig)),
    }


def _states(rig: Rig, report: Mapping[str, Any]) -> list[dict[str, Any]]:
    """Saved states whole (every variable's value), with what the charging system has left in them."""
    supply = {s["id"]: s for s in report["power"]["supply"]["states"]} if report["power"]["supply"] else {}
    rows = []
    for point in rig.states:
        state = saved_state(rig.program, dict(point.settings))
        values = [v for v in state if isinstance(v, int)]
        if len(values) != len(rig.program.variables):
            continue  # it cannot be, and a finding says so: nothing to offer here
        rows.append({"id": point.id, "title": point.title, "state": values, "supply": _supply(supply.get(point.id))})
    return rows


def _supply(row: Mapping[str, Any] | None) -> str:
    if row is None:
        return ""
    words = f"With the vehicle's own load {row['average_a']:.1f} A"
    return words if row["margin_a"] is None else f"{words}; charging margin {row['margin_a']:+.1f} A, hot."


def _panels(rig: Rig) -> list[dict[str, Any]]:
    """Switches by the face or the data link they reach the controller by, in file order; the rest stand by themselves."""
    variables = {v.name: i for i, v in enumerate(rig.program.variables)}
    groups: dict[str, list[int]] = {}
    for place in rig.switches:
        if place.id in variables and rig.program.variables[variables[place.id]].kind == "switch":
            groups.setdefault(place.panel or place.link or "", []).append(variables[place.id])
    seen = {i for members in groups.values() for i in members}
    rest = [i for i, v in enumerate(rig.program.variables) if v.kind == "switch" and i not in seen]
    if rest:
        groups.setdefault("", []).extend(rest)
    return [{"id": name, "title": _title(rig, name), "switches": members} for name, members in groups.items()]


def _title(rig: Rig, name: str) -> str:
    if not name:
        return "Wired by itself"
    device = rig.devices.get(name)
    return f"{device.title} ({name})" if device else name


def _draws(rig: Rig) -> Iterator[dict[str, Any]]:
    """Every draw that a circuit of the build powers, and what makes it flow.

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
            if draw.circuit_id is not None:
                yield {
                    "device": at,
                    "channel": draw.channel,
                    "when": when,
                    "current_a": draw.current_a,
                    "feed": draw.feed_id,
                }
