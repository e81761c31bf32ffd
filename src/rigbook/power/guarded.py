"""Every conductor and what protects it: not overloaded, and every short behind it cleared before it is damaged.

A conductor is judged by each fuse, breaker or output whose current may flow through it; a link by the fuses at both its
ends. The least current there can be is that of a short at the farthest device behind it, out and back; a fuse that
clears that one before the conductor has taken its heat clears every greater one too (see `fuses.least_cleared_a`).
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

from rigbook.power import drops, fuses, protection
from rigbook.power.conductors import practice_max_fuse_a
from rigbook.rig.model import Circuit, Link, Member, Rig, Segment

Kind = Literal["fuse", "breaker", "output"]


@dataclass(frozen=True, slots=True)
class Guarded:
    """A conductor and the guard that is worst for it.

    carries_a: corrected ampacity, of a device's own lead the practice row. fault_a: least short behind it through that
    guard; cleared_from_a: least the guard surely clears in time (None: none); clears_s: longest time it takes, None
    where it may never open. An output switches a short off by itself, so its conductors are judged by what its devices
    draw. Verdicts: `overloaded` where more may flow for long than the conductor carries; `clears` every short in time,
    None where the batteries' resistance is not known; `protected`: neither overloaded nor left to a short.
    """

    id: str
    conductor: str
    guard: str
    kind: Kind
    guard_a: float
    carries_a: float | None
    fault_a: float | None
    cleared_from_a: float | None
    clears_s: float | None
    withstands_s: float | None
    overloaded: bool
    clears: bool | None
    protected: bool | None


@dataclass(frozen=True, slots=True)
class _Guard:
    """A fuse, breaker or output with the least short behind a conductor through it."""

    id: str
    kind: Kind
    rating_a: float
    fault_a: float | None


def guarded(rig: Rig) -> tuple[Guarded, ...]:
    """Every conductor that carries load, in the order of the rig."""
    guards = guards_of(rig)
    return tuple(
        worst_of(rig, rig.segments[name], guards[name])
        for name in rig.segments
        if name in guards and rig.segments[name].role != "signal"
    )


def guarded_one(rig: Rig, name: str) -> Guarded:
    """One conductor. KeyError where nothing guards it."""
    return worst_of(rig, rig.segments[name], guards_of(rig)[name])


def worst_of(rig: Rig, segment: Segment, guards: Iterable[_Guard]) -> Guarded:
    """The conductor with the guard that is worst for it: unprotected before unknown before protected, then largest."""
    every = [_judged(rig, segment, guard) for guard in guards]
    return min(
        every, key=lambda each: (each.protected is not False, each.protected is not None, -each.guard_a, each.guard)
    )


# --- guards -------------------------------------------------------------------------------------------------


def guards_of(rig: Rig) -> Mapping[str, tuple[_Guard, ...]]:
    """For each conductor what guards it."""
    found: dict[str, list[_Guard]] = {}
    for feed in rig.feeds.values():
        if feed.segment is not None:
            line = _line_guard(rig, feed.id)
            found.setdefault(feed.segment, []).append(line)
    for circuit in rig.circuits.values():
        for name, guard in _circuit_guards(rig, circuit):
            found.setdefault(name, []).append(guard)
    for link in rig.links.values():
        for name, guard in _link_guards(rig, link):
            found.setdefault(name, []).append(guard)
    return {name: tuple(dict.fromkeys(guards)) for name, guards in found.items()}


def _fuse_kind(rig: Rig, feed_id: str) -> Kind:
    return "breaker" if rig.feeds[feed_id].breaker is not None else "fuse"


def _source(rig: Rig, feed_id: str) -> tuple[float, float] | None:
    """Rest voltage of the bank above a feed, and ohms up to behind the feed's fuse; None where not known."""
    ohm = protection.above_ohm(rig, feed_id)
    bank = rig.banks.get(rig.feeds[feed_id].bank_id or "")
    return None if ohm is None or bank is None else (protection.rest_v(rig, bank), ohm)


def _line_guard(rig: Rig, feed_id: str) -> _Guard:
    feed = rig.feeds[feed_id]
    source = _source(rig, feed_id)
    fault = None
    if source is not None and feed.segment is not None:
        ohm = drops.segment_drop(rig.segments[feed.segment]).resistance_ohm
        fault = fuses.fault_a(source_v=source[0], resistance_ohm=source[1] + ohm)
    return _Guard(feed_id, _fuse_kind(rig, feed_id), feed.fuse_a, fault)


def _circuit_guards(rig: Rig, circuit: Circuit) -> Iterator[tuple[str, _Guard]]:
    """The circuit's fuse with the least short behind each of its conductors, or its output."""
    if circuit.kind == "output":
        guard = _Guard(circuit.id, "output", circuit.limit_a or 0.0, None)
        for name in _paths(circuit.members):
            yield name, guard
        return
    source = _source(rig, circuit.id)
    least: dict[str, float | None] = {}
    for member in circuit.members:
        if member.signal:
            continue
        fault = None if source is None else _far_end_a(rig, member, *source)
        for name in (*member.feed_path, *member.return_path):
            known = least.get(name, fault)
            least[name] = fault if known is None or fault is None else min(known, fault)
    for name, fault in least.items():
        yield name, _Guard(circuit.id, _fuse_kind(rig, circuit.id), float(circuit.fuse_a or 0.0), fault)


def _paths(members: Iterable[Member]) -> dict[str, None]:
    return dict.fromkeys(n for m in members if not m.signal for n in (*m.feed_path, *m.return_path))


def _far_end_a(rig: Rig, member: Member, volts: float, above_ohm: float) -> float:
    """Short at a device's terminals, its own leads included, back by its return and stud."""
    ohm = math.fsum(
        drops.segment_drop(rig.segments[name]).resistance_ohm for name in (*member.feed_path, *member.return_path)
    )  # fmt: skip
    stud = rig.studs.get(member.ground or "")
    total = above_ohm + ohm + (0.0 if stud is None else stud.resistance_ohm)
    return fuses.fault_a(source_v=volts, resistance_ohm=total)


def _link_guards(rig: Rig, link: Link) -> Iterator[tuple[str, _Guard]]:
    """Both fuses of a link guard all its conductors: closed, it is live from both ends."""
    parts = [rig.segments[name] for name in link.segments]
    for end, bank_id, fuse_a in (
        ("start", link.from_bank, link.start_fuse_a), ("end", link.to_bank, link.end_fuse_a),
    ):  # fmt: skip
        bank = rig.banks[bank_id]
        inside = protection.bank_ohm(rig, bank)
        way = parts if end == "start" else parts[::-1]
        ohm = inside
        for segment in way:
            fault = None
            if ohm is not None:
                ohm += drops.segment_drop(segment).resistance_ohm
                fault = fuses.fault_a(source_v=protection.rest_v(rig, bank), resistance_ohm=ohm)
            yield segment.id, _Guard(f"{link.id}.{end}", "fuse", fuse_a, fault)


# --- verdict ---------------------------------------------------------------------------------------------------


def _judged(rig: Rig, segment: Segment, guard: _Guard) -> Guarded:
    lead = segment.role == "lead"
    carries = practice_max_fuse_a(gauge=segment.conductor.gauge) if lead else drops.ampacity_a(segment)
    passes = segment.heating_a if guard.kind == "output" else guard.rating_a
    over = carries is None or passes > carries * (1 + 1e-9)
    known = guard.kind == "output" or guard.fault_a is not None
    least = clears_s = withstands_s = None
    clears: bool | None = True if guard.kind == "output" else None
    if guard.fault_a is not None:
        heat = protection.heat_a2s(segment)
        kind = fuse_class_of(rig, guard.id, guard.rating_a)
        found = fuses.least_cleared_a(fuse_class=kind, rating_a=guard.rating_a, heat_a2s=heat)
        least = None if math.isinf(found) else found
        clears_s = fuses.slowest_s(fuse_class=kind, percent=100 * guard.fault_a / guard.rating_a)
        withstands_s = heat / guard.fault_a**2
        clears = guard.fault_a >= found
    protected = False if over or clears is False else True if known else None
    return Guarded(
        segment.id, str(segment.conductor.gauge), guard.id, guard.kind, guard.rating_a, carries, guard.fault_a, least,
        clears_s, withstands_s, over, clears, protected,
    )  # fmt: skip


def fuse_class_of(rig: Rig, guard_id: str, rating_a: float) -> str:
    """Class of a guard's gates: of a feed's fuse or breaker, or of a fuse at one end of a link."""
    form = protection.form_of(rig, guard_id if guard_id in rig.feeds else None, rating_a)
    return fuses.form_row(form=form, rating_a=rating_a)["class"]
