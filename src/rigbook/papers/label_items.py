"""What is labelled: both ends of every wire, every circuit, every module and block; the last carry a QR code."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from typing import Literal

from rigbook.papers.wire_labels import wire_labels
from rigbook.quantities.show import format_number
from rigbook.rig.model import Circuit, Rig

BLOCK_KINDS = ("fuse-block", "bus-bar", "breaker", "disconnect")
LONGEST_CODE = 64
"""A code of more characters would be too fine for a small label: it then holds a key that the sheet of labels lists."""


@dataclass(frozen=True, slots=True)
class LabelItem:
    """One label: its text, smaller lines below it, and what its QR code holds (none for wires and circuits).

    `number` counts the wires, circuits and modules, each kind from 1; `end` is 1 or 2 for a wire.
    """

    kind: Literal["wire", "circuit", "module"]
    number: int
    text: str
    lines: tuple[str, ...]
    end: int | None = None
    circuit: str = ""
    at: str = ""
    other: str = ""
    gauge: str = ""
    length_m: float | None = None
    code: str | None = None


def label_items(rig: Rig) -> tuple[LabelItem, ...]:
    """Every label of a rig: wires in the order of their circuits, then circuits, then modules and blocks."""
    return (*_wires(rig), *_circuits(rig), *_modules(rig))


def _wires(rig: Rig) -> list[LabelItem]:
    found = []
    for wire in wire_labels(rig):
        gauge = str(wire.segment.conductor.gauge)
        for end in wire.ends if rig.shop.labels.both_ends else (wire.source,):
            lines = (f"here {end.here}", f"to {end.there}", gauge)
            found.append(
                LabelItem(
                    "wire",
                    wire.number,
                    end.text,
                    lines,
                    end.end,
                    wire.circuit,
                    end.here,
                    end.there,
                    gauge,
                    wire.segment.length_m,
                )
            )
    return found


def _circuits(rig: Rig) -> list[LabelItem]:
    return [
        LabelItem("circuit", number, circuit.id, (_guard(circuit), ", ".join(_fed(circuit))), circuit=circuit.id)
        for number, circuit in enumerate(rig.circuits.values(), 1)
    ]


def _guard(circuit: Circuit) -> str:
    if circuit.fuse_a is not None:
        return f"fuse {format_number(circuit.fuse_a)} A"
    return f"output, at most {format_number(circuit.limit_a)} A" if circuit.limit_a is not None else "output"


def _fed(circuit: Circuit) -> list[str]:
    """What a circuit feeds: device and channel, or the device alone where it has but one."""
    channels: dict[str, list[str]] = {}
    for member in circuit.members:
        for device, channel in member.draws or ((member.device_id, ""),):
            if channel not in channels.setdefault(device, []):
                channels[device].append(channel)
    return [
        " ".join([device, *names]).strip() if circuit.kind == "output" else device for device, names in channels.items()
    ]


def _modules(rig: Rig) -> list[LabelItem]:
    found: list[LabelItem] = []
    for device in rig.devices.values():
        part = rig.parts.get(device.part_id or "")
        if device.id in rig.modules or (part is not None and part.kind in BLOCK_KINDS):
            title = part.title if part is not None else device.title
            found.append(
                LabelItem(
                    "module",
                    len(found) + 1,
                    device.id,
                    (title,),
                    at=device.placement.place or "",
                    code=code_of(rig.build.build.id, device.id),
                )
            )
    return found


def code_of(build: str, device: str) -> str:
    """What the QR code of a module or block holds: build and id, or where that is long a key made from both."""
    whole = f"{build}/{device}"
    return whole if len(whole) <= LONGEST_CODE else f"key/{hashlib.sha256(whole.encode()).hexdigest()[:16]}"
