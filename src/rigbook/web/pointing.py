"""Where a finding points: the row of a table, the lamps on the drawing."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from typing import Any
from urllib.parse import quote

from rigbook.rig.model import Rig

_SPLIT = re.compile(r"[\s:>,]+")


@dataclass(frozen=True, slots=True)
class Pointer:
    """The page with the row, and the devices the drawing marks; empty where there is none."""

    table: str
    devices: tuple[str, ...]


def pointer(rig: Rig, finding: Mapping[str, Any], drawn: Collection[str]) -> Pointer:
    """Where a finding of this rig points; of its devices those that the drawing shows.

    Args:
        rig: the vehicle.
        finding: a finding as `check --json` prints it.
        drawn: devices that stand on the drawing.
    """
    found = _pointer(rig, finding)
    return Pointer(found.table, tuple(d for d in found.devices if d in drawn))


def _pointer(rig: Rig, finding: Mapping[str, Any]) -> Pointer:
    build = rig.build.build.id
    rows: dict[str, list[str]] = {}
    for device in rig.devices.values():
        rows.setdefault(device.row or device.id, []).append(device.id)
    sections = {
        "feeds": {f.id for f in rig.build.feeds},
        "links": {link.id for link in rig.build.links},
        "batteries": {b.id for b in rig.build.batteries},
        "states": {s.id for s in rig.build.states},
        "clauses": {c.id for c in rig.build.clauses},
    }
    installed = {row.id for row in rig.build.install}
    functions = {f.name for f in rig.build.switching.functions} | {r.name for r in rig.build.switching.require}
    subject = str(finding["subject"])
    if subject in functions:
        return Pointer(f"/builds/{quote(build)}/switching", ())
    for word in _words(subject):
        device_id = rig.devices.get(word)
        row = device_id.row if device_id is not None else word
        if row in installed:
            marked = (word,) if device_id is not None and row != word else tuple(rows.get(row, ()))
            return Pointer(f"/builds/{quote(build)}/fit?row={quote(row)}", marked)
        if device_id is not None:
            return Pointer("", (word,))
        for section, names in sections.items():
            if word in names:
                return Pointer(f"/builds/{quote(build)}/fit?section={section}&row={quote(word)}", ())
    return Pointer("", ())


def _words(subject: str) -> Iterator[str]:
    """The subject itself, its words, and each word without what follows a point: `control.3` stands on `control`."""
    seen: dict[str, None] = {subject: None}
    for word in _SPLIT.split(subject):
        while word:
            seen.setdefault(word, None)
            word = word.rpartition(".")[0]
    yield from seen
