"""What a wire ends in: the device, connector and cavity at the end, and the terminal of the catalogue that fits it.

Where a part names its connectors, its cavities are used. Where it names none, the terminal is chosen from the catalogue
by gauge and by what stands there: a ring for studs and posts, a blade for fuse blocks and relays, a sealed splice for
the lead a lamp comes with, a pin for everything else [common practice, no source].
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal

from rigbook.quantities.gauge import Gauge
from rigbook.rig.model import Rig

Form = Literal["pin", "ring", "blade", "splice"]
NONE = "none"
RING_KINDS = frozenset({"bus-bar", "contactor", "isolator", "disconnect", "breaker", "battery", "dc-dc", "charger"})
BLADE_KINDS = frozenset({"relay", "fuse-block", "buzzer"})
LEAD_KINDS = frozenset({"lamp", "lightbar", "fan", "camera", "charge-display", "siren-speaker", "speaker"})


@dataclass(frozen=True, slots=True)
class WireEnd:
    """One end of a wire as the bay needs it. `chosen`: the terminal was chosen by gauge, not named by the part."""

    node: str
    device: str
    connector: str
    cavity: str
    terminal: str
    seal: str
    chosen: bool


def terminal_for(rig: Rig, form: Form, gauge: Gauge) -> str | None:
    """The catalogue's terminal of a form that takes a gauge: the narrowest range, then the first in the catalogue."""
    fits = [
        p
        for p in rig.parts.values()
        if p.kind == "terminal" and p.form == form and not p.id.startswith("terminal-sealed") and _takes(p, gauge)
    ]
    return min(fits, key=lambda p: (_span(p), p.id)).id if fits else None


def _takes(part: Any, gauge: Gauge) -> bool:
    low, high = part.gauges
    return bool(low <= gauge <= high)


def _span(part: Any) -> float:
    low, high = part.gauges
    return float(high.area_mm2 - low.area_mm2)


def end_of(rig: Rig, node: str, gauge: Gauge) -> WireEnd:
    """The end at an electrical node (the names of `rigbook.rig.model`)."""
    head, _, tail = node.partition(":")
    if head == "ground":
        return _ring(rig, node, f"ground stud {tail}", "stud", DASH_CAVITY, gauge)
    if head == "block":
        return _ring(rig, node, tail, "bus", "stud", gauge)
    if head == "feed":
        return _feed_start(rig, node, tail, gauge)
    if node.startswith("battery.") and node.split(".", 1)[1] in rig.banks:
        return _ring(rig, node, f"battery {node.split('.', 1)[1]}", "post", "positive", gauge)
    if not tail:
        module, _, number = node.rpartition(".")
        return device_end(rig, node, module, f"output {number}", gauge)
    name, _, joint = tail.partition("/")
    return device_end(rig, node, head, name, gauge, joint=bool(joint))


DASH_CAVITY = "–"


def _ring(rig: Rig, node: str, device: str, connector: str, cavity: str, gauge: Gauge) -> WireEnd:
    return WireEnd(node, device, connector, cavity, terminal_for(rig, "ring", gauge) or NONE, NONE, True)


def _feed_start(rig: Rig, node: str, feed_id: str, gauge: Gauge) -> WireEnd:
    feed = rig.feeds[feed_id]
    if feed.block_id is None:
        return _ring(rig, node, f"battery {feed.bank_id}", f"fuse {feed.fuse_a:g} A at the post", "load side", gauge)
    terminal = terminal_for(rig, "blade", gauge) or terminal_for(rig, "ring", gauge) or NONE
    return WireEnd(node, feed.block_id, "fuse block", f"position {feed.block_position}", terminal, NONE, True)


def device_end(rig: Rig, node: str, device_id: str, name: str, gauge: Gauge, *, joint: bool = False) -> WireEnd:
    """The end on a device: at what of it carries `name`; `joint`: where its own lead begins."""
    device = rig.devices.get(device_id)
    part: Any = rig.parts.get(device.part_id) if device is not None and device.part_id else None
    if part is None:
        return WireEnd(node, device_id, DASH_CAVITY, name, terminal_for(rig, "ring", gauge) or NONE, NONE, True)
    found = cavity_of(part, name)
    if found is not None:
        connector, cavity = found
        return _in_connector(rig, node, device_id, connector, cavity, gauge)
    if joint:
        lead = next((x for x in part.leads if _carries(x.for_, name)), None)
        words = f"{lead.colour}{'/' + lead.stripe if lead.stripe else ''} {lead.gauge}" if lead else name
        return WireEnd(
            node,
            device_id,
            f"own lead {name}",
            words,
            terminal_for(rig, "splice", gauge) or NONE,
            "in the splice",
            True,
        )
    if part.kind in LEAD_KINDS:
        return WireEnd(
            node, device_id, "own lead", name, terminal_for(rig, "splice", gauge) or NONE, "in the splice", True
        )
    form: Form = "ring" if part.kind in RING_KINDS else "blade" if part.kind in BLADE_KINDS else "pin"
    terminal = terminal_for(rig, form, gauge) or terminal_for(rig, "ring", gauge) or NONE
    return WireEnd(node, device_id, "terminal", name, terminal, NONE, True)


def cavity_of(part: Any, name: str) -> tuple[Any, Any] | None:
    """The connector and cavity of a part that carry something (`output 3`, `blue`, `power`, `return`)."""
    for connector in part.connectors:
        for cavity in connector.cavities:
            if _carries(cavity.for_, name):
                return connector, cavity
    return None


def _carries(what: str, name: str) -> bool:
    return what.lower().replace("ground", "return") == name.lower()


def _in_connector(rig: Rig, node: str, device_id: str, connector: Any, cavity: Any, gauge: Gauge) -> WireEnd:
    mate: Any = rig.parts.get(connector.part) if connector.part else None
    named = getattr(mate, "terminal", None)
    chosen = named is None or not _takes(rig.parts[named], gauge)
    terminal = terminal_for(rig, "pin", gauge) or terminal_for(rig, "ring", gauge) or NONE if chosen else named
    seal = "wire seal" if mate is not None and mate.sealed else NONE
    words = f"{connector.id} ({mate.id})" if mate is not None else connector.id
    return WireEnd(node, device_id, words, str(cavity.id), str(terminal), seal, chosen)
