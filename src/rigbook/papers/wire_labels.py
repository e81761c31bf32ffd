"""The text of every wire's label, by the shop's scheme: short, unique, one for either end.

A wire is a conductor the shop cuts: everything but a device's own lead. It belongs to a circuit (else to the feed or the
link it is part of). Where a circuit has several wires out, they take the letters A, B, C ...; its returns are R, R2,
R3 ...: `control.3.A-1` is the first wire of output 3 at its source end, `control.3.R-2` its return at the ground stud.
End 1 is where the current comes from, end 2 where it goes to.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

from rigbook.rig.model import Rig, Segment

LETTERS = "ABCDEFGHJKLMNPQSTUVWXYZ"
"""Letters of wires: without I and O, which read as digits, and without R, which is the return."""


def point_words(point: str) -> str:
    """An electrical node as a person at the harness names it.

    >>> point_words("feed:main"), point_words("grille:blue/joint"), point_words("control.3")
    ('fuse of main', 'grille blue, joint of its lead', 'control.3')
    """
    head, _, tail = point.partition(":")
    known = {"feed": f"fuse of {tail}", "block": f"bus of {tail}", "ground": f"ground {tail}"}
    if head in known and tail:
        return known[head]
    if head.startswith("battery."):
        return f"battery {head.removeprefix('battery.')}" + (f" {tail}" if tail else "")
    words = point.removesuffix("/joint").replace(":", " ")
    return words + (", joint of its lead" if point.endswith("/joint") else "")


@dataclass(frozen=True, slots=True)
class WireEnd:
    """One end of a wire: what its label says, the electrical node it ends at, and the node at its other end."""

    text: str
    end: Literal[1, 2]
    at: str
    other: str

    @property
    def here(self) -> str:
        """Where it ends, in words."""
        return point_words(self.at)

    @property
    def there(self) -> str:
        """Where its other end is, in words."""
        return point_words(self.other)


@dataclass(frozen=True, slots=True)
class WireLabels:
    """A wire with its running number, its circuit, and the labels of its two ends."""

    number: int
    circuit: str
    feed: str
    segment: Segment
    source: WireEnd
    load: WireEnd

    @property
    def ends(self) -> tuple[WireEnd, WireEnd]:
        """Both ends, source first."""
        return self.source, self.load


def owners(rig: Rig) -> dict[str, tuple[str, str]]:
    """Circuit (or feed, or link) and feed of every wire, in the order of the circuits; leads are left out.

    A wire that several circuits share belongs to the first of them.
    """
    found: dict[str, tuple[str, str]] = {}

    def take(name: str, circuit: str, feed: str) -> None:
        if rig.segments[name].role != "lead":
            found.setdefault(name, (circuit, feed))

    for feed in rig.feeds.values():
        if feed.segment is not None:
            take(feed.segment, feed.id, feed.id)
    for circuit in rig.circuits.values():
        for member in circuit.members:
            for name in (*member.feed_path, *member.return_path):
                take(name, circuit.id, circuit.feed_id or "")
    for link in rig.links.values():
        for name in link.segments:
            take(name, link.id, "")
    for name in rig.segments:
        take(name, name, "")
    return found


def wire_labels(rig: Rig, colours: Mapping[str, str] | None = None) -> tuple[WireLabels, ...]:
    """Every wire with the labels of both ends, in the order of the circuits; no text stands twice.

    `colours` gives the insulation colour by segment, for schemes that print it.
    """
    owned = owners(rig)
    names = _names(rig, owned)
    taken: set[str] = set()
    found = []
    for number, (segment_id, (circuit, feed)) in enumerate(owned.items(), 1):
        segment = rig.segments[segment_id]
        fields = {
            "circuit": names[segment_id], "feed": feed, "from": segment.from_point, "to": segment.to_point,
            "gauge": str(segment.conductor.gauge), "colour": (colours or {}).get(segment_id, ""),
            "build": rig.build.build.id, "number": f"{number:03d}",
        }  # fmt: skip
        source = _unique(rig.shop.labels.scheme, fields | {"end": "1"}, taken)
        load = _unique(rig.shop.labels.scheme, fields | {"end": "2"}, taken)
        found.append(
            WireLabels(
                number, circuit, feed, segment,
                WireEnd(source, 1, segment.from_point, segment.to_point),
                WireEnd(load, 2, segment.to_point, segment.from_point),
            )
        )  # fmt: skip
    return tuple(found)


def _names(rig: Rig, owned: Mapping[str, tuple[str, str]]) -> dict[str, str]:
    """The circuit with the letter of the wire, where the circuit has more than one."""
    groups: dict[tuple[str, bool], list[str]] = {}
    for segment_id, (circuit, _) in owned.items():
        groups.setdefault((circuit, rig.segments[segment_id].role == "return"), []).append(segment_id)
    names: dict[str, str] = {}
    for (circuit, returns), members in groups.items():
        letters = _returns() if returns else _letters(alone=len(members) == 1)
        for segment_id, letter in zip(members, letters, strict=False):
            names[segment_id] = f"{circuit}.{letter}" if letter else circuit
    return names


def _returns() -> Iterator[str]:
    number = 1
    while True:
        yield "R" if number == 1 else f"R{number}"
        number += 1


def _letters(*, alone: bool) -> Iterator[str]:
    """A, B, ... Z, A2, B2, ...; nothing for the only wire of a circuit."""
    if alone:
        yield ""
        return
    turn = 1
    while True:
        for letter in LETTERS:
            yield letter if turn == 1 else f"{letter}{turn}"
        turn += 1


def _unique(scheme: str, fields: Mapping[str, str], taken: set[str]) -> str:
    """The scheme filled in; a text that stands already gets a number behind it."""
    text = scheme
    for name, value in fields.items():
        text = text.replace("{" + name + "}", value)
    text = text.strip() or fields["number"]
    found, count = text, 1
    while found in taken:
        count += 1
        found = f"{text}~{count}"
    taken.add(found)
    return found
