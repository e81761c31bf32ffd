"""Colours of the lamp parts that are fitted, judged by every edition of boundaries."""

from __future__ import annotations

from rigbook.light.colour import editions, judge_colour, temperature_k
from rigbook.light.result import PartColour
from rigbook.rig.model import Rig


def part_colours(rig: Rig) -> tuple[PartColour, ...] | None:
    """Every colour of a fitted lamp part that states its chromaticity, in the order of first use; None where none does."""
    found: dict[str, PartColour] = {}
    for device in rig.devices.values():
        part = rig.parts.get(device.part_id or "")
        for colour in device.colours:
            entry = part.colours.get(colour) if part is not None else None
            if entry is None or entry.chromaticity is None:
                continue
            x, y = entry.chromaticity
            verdicts = {e.id: judge_colour(edition=e, colour=colour, x=x, y=y) for e in editions()}
            name = f"{device.part_id}.{colour}"
            found[name] = PartColour(
                id=name,
                colour=colour,
                x=x,
                y=y,
                inside=tuple(key for key, verdict in verdicts.items() if verdict == "inside"),
                outside=tuple(key for key, verdict in verdicts.items() if verdict == "outside"),
                temperature_k=temperature_k(x=x, y=y) if colour == "white" else None,
            )
    return tuple(found.values()) or None
