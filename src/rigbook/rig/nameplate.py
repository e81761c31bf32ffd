"""The name-plate sum: every device at its highest entered draw."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping

from rigbook.rig.model import Device, Draw


def draws_peak_a(draws: Iterable[Draw], *, one_colour_at_a_time: bool) -> float:
    """The most some draws of one device come to, in amperes.

    Colours add up, or the largest counts where the lamp shows one at a time; states exclude each other.
    """
    colours: list[float] = []
    states: list[float] = []
    for draw in draws:
        (colours if draw.kind == "colour" else states).append(draw.current_a)
    lit = max(colours, default=0.0) if one_colour_at_a_time else math.fsum(colours)
    return lit + max(states, default=0.0)


def nameplate_a(devices: Mapping[str, Device], wanted: Iterable[tuple[str, str]]) -> float:
    """Name-plate sum in amperes of some (device, channel), each device at its highest among them."""
    channels: dict[str, set[str]] = {}
    for device_id, channel in wanted:
        channels.setdefault(device_id, set()).add(channel)
    return math.fsum(
        draws_peak_a(
            (draw for draw in devices[device_id].draws if draw.channel in names),
            one_colour_at_a_time=devices[device_id].one_colour_at_a_time,
        )
        for device_id, names in channels.items()
    )
