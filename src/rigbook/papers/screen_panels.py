"""Where switches sit, and saved states whole: what every screen with switches to press needs beside the program."""

from __future__ import annotations

from typing import Any

from rigbook.rig.model import Rig, SavedPoint
from rigbook.switching.states import saved_state


def saved_values(rig: Rig, point: SavedPoint) -> tuple[int, ...] | None:
    """Every variable's value in a saved state; None where it cannot be, and a finding says so."""
    values = tuple(v for v in saved_state(rig.program, dict(point.settings)) if isinstance(v, int))
    return values if len(values) == len(rig.program.variables) else None


def switches_by_panel(rig: Rig) -> list[dict[str, Any]]:
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
