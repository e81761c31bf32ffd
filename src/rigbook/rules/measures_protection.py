"""Measures of protection: shorts cleared in time, inrush, interrupting rating, fuses above one another, breakers."""

from __future__ import annotations

from collections.abc import Iterator
from types import MappingProxyType

from rigbook.power.drops import ampacity_a
from rigbook.power.guarded import Guarded
from rigbook.power.protection import Protection
from rigbook.power.supply import supplied_a
from rigbook.rules.measures import Measure, Reading, Results


def _each(results: Results) -> Iterator[tuple[Protection, str, int]]:
    if results.power is None:
        return
    rig = results.rig
    for found in results.power.protection:
        place = rig.feeds.get(found.id) or rig.links[found.id.rpartition(".")[0]]
        yield found, place.file, place.line


NEVER_S = 360_000.0
"""A fuse that need not open is counted with 100 h, the longest time a gate prints."""


def short_time_share(results: Results) -> Iterator[Reading]:
    """Time a fuse may take to clear a short at a far end, as a share of the time the wire stands it.

    Unit: share. Formula: clears_s / withstands_s; a fuse that need not open at that current counts with 100 h.
    Source: network, iso-8820-3, adiabatic.
    """
    for found, file, line in _each(results):
        if found.fault_a is None or found.withstands_s is None:
            continue
        clears_s = NEVER_S if found.clears_s is None else found.clears_s
        yield Reading(
            subject=found.id,
            value=clears_s / found.withstands_s,
            file=file,
            line=line,
            words={
                "at": found.fault_at or found.id,
                "fuse": f"{found.fuse_a:g} A",
                "current": f"{found.fault_a:.4g} A",
                "clears": "for ever" if found.clears_s is None else f"{found.clears_s:.3g} s",
                "stands": f"{found.withstands_s:.3g} s",
            },
            figure=f"power.protection[{found.id}].withstands_s",
        )


def prospective_current(results: Results) -> Iterator[Reading]:
    """Current of a short right behind the first fuses at a battery bank.

    Unit: A. Limit `interrupts`: the least that a fuse there breaks. Formula: E / R inside the bank; a bank linked to
    it adds its own. Source: network, iso-8820-3.
    """
    first: dict[str, list[Protection]] = {}
    for found, _, _ in _each(results):
        if found.prospective_a is not None and found.above is None and found.bank is not None:
            first.setdefault(found.bank, []).append(found)
    for bank_id, found_there in first.items():
        bank = results.rig.banks[bank_id]
        known = [each.interrupts_a for each in found_there if each.interrupts_a is not None]
        if not known:
            continue
        least = min(known)
        worst = max(found_there, key=lambda each: each.prospective_a or 0.0)
        weak = [each.id for each in found_there if each.breaks is False]
        yield Reading(
            subject=bank_id,
            value=worst.prospective_a or 0.0,
            file=bank.file,
            line=bank.line,
            limits={"interrupts": least},
            words={"fuses": ", ".join(weak)},
            figure=f"power.protection[{worst.id}].prospective_a",
        )


def inrush_share(results: Results) -> Iterator[Reading]:
    """Heat of everything behind a fuse starting at once, as a share of what the fuse stands for life.

    Unit: share. Formula: (sum of inrush currents)2 x longest time / share of the melting heat for 100 000 pulses.
    Source: fuse-pulses.
    """
    for found, file, line in _each(results):
        if found.inrush_a2s <= 0 or found.inrush_allowed_a2s is None:
            continue
        yield Reading(
            subject=found.id,
            value=found.inrush_a2s / found.inrush_allowed_a2s,
            file=file,
            line=line,
            words={"fuse": f"{found.fuse_a:g} A"},
            figure=f"power.protection[{found.id}].inrush_a2s",
        )


def rating_above(results: Results) -> Iterator[Reading]:
    """Rating of the fuse above a fuse over its own.

    Unit: share. A first filter of selectivity; `selective_to_a` of the figures says how far gates prove it.
    Source: practice-wiring.
    """
    for found, file, line in _each(results):
        if found.rating_ratio is None or found.above is None:
            continue
        yield Reading(
            subject=found.id,
            value=found.rating_ratio,
            file=file,
            line=line,
            words={"above": found.above},
            figure=f"power.protection[{found.id}].rating_ratio",
        )


def selective_share(results: Results) -> Iterator[Reading]:
    """How far the fuses below one are surely selective with it, as a share of the greatest short behind them.

    Unit: share; 1 where the lower opens first at every short. Formula: selective_to_a / prospective_a, least of all
    below. Source: iso-8820-3, fuse-data.
    """
    below: dict[str, list[Protection]] = {}
    for found, _, _ in _each(results):
        if found.above is not None and found.selective_to_a is not None and found.prospective_a:
            below.setdefault(found.above, []).append(found)
    for above, fuses_below in below.items():
        worst = min(fuses_below, key=lambda each: (each.selective_to_a or 0.0) / (each.prospective_a or 1.0))
        feed = results.rig.feeds[above]
        share = (worst.selective_to_a or 0.0) / (worst.prospective_a or 1.0)
        yield Reading(
            subject=above,
            value=share,
            file=feed.file,
            line=feed.line,
            words={
                "below": str(sum(each.selective is False for each in fuses_below)),
                "weakest": worst.id,
                "to": f"{worst.selective_to_a:.4g} A",
                "most": f"{worst.prospective_a:.4g} A",
            },
            figure=f"power.protection[{worst.id}].selective_to_a",
        )


def selective_far_share(results: Results) -> Iterator[Reading]:
    """How far a fuse is surely selective with the one above, as a share of the short at its farthest device.

    Unit: share. Formula: selective_to_a / fault_a. Source: iso-8820-3, fuse-data.
    """
    for found, file, line in _each(results):
        if found.above is None or found.selective_to_a is None or not found.fault_a:
            continue
        yield Reading(
            subject=found.id,
            value=found.selective_to_a / found.fault_a,
            file=file,
            line=line,
            words={"above": found.above, "to": f"{found.selective_to_a:.4g} A", "fault": f"{found.fault_a:.4g} A"},
            figure=f"power.protection[{found.id}].selective_to_a",
        )


def far_source(results: Results) -> Iterator[Reading]:
    """Current that a charger or converter puts into the far end of a lead, which no fuse there limits, against the lead.

    Unit: A. Limit `ampacity`: of the weakest conductor of the lead. The battery's end has its fuse; the far end is
    limited by what the charger gives. Source: practice-wiring, the parts as entered.
    """
    rig = results.rig
    for circuit in rig.circuits.values():
        for member in circuit.members:
            supplied = supplied_a(rig, [member])
            carried = [ampacity_a(rig.segments[s]) for s in member.feed_path if rig.segments[s].role != "lead"]
            if supplied <= 0 or not carried:
                continue
            yield Reading(
                subject=f"{circuit.id}.{member.device_id}",
                value=supplied,
                file=circuit.file,
                line=circuit.line,
                limits={"ampacity": min(a or 0.0 for a in carried)},
                words={"charger": member.device_id, "fuse": f"{circuit.fuse_a or 0.0:g} A"},
            )


def lead_guard(results: Results) -> Iterator[Reading]:
    """Rating of the fuse before a device's own lead, against what practice lets behind it.

    Unit: A. Limit `practice`: the row of the lead's gauge. Source: practice-wiring.
    """
    if results.power is None:
        return
    by_id = {each.id: each for each in results.power.guarded}
    worst: dict[str, Guarded] = {}
    for segment in results.rig.segments.values():
        found = by_id.get(segment.id)
        if segment.role != "lead" or found is None or found.kind == "output":
            continue
        device = segment.to_point.partition(":")[0]
        known = worst.get(device)
        if known is None or (found.carries_a or 0.0) < (known.carries_a or 0.0):
            worst[device] = found
    for device, found in worst.items():
        segment = results.rig.segments[found.id]
        yield Reading(
            subject=device,
            value=found.guard_a,
            file=segment.file,
            line=segment.line,
            limits={"practice": found.carries_a or 0.0},
            words={"guard": found.guard, "wire": found.conductor},
            figure=f"power.guarded[{found.id}].guard_a",
        )


def breaker_resets_itself(results: Results) -> Iterator[Reading]:
    """1 for a breaker that closes again by itself or under power off (types I and II), 0 for one reset by hand.

    Unit: count. Source: breaker-types.
    """
    for device in results.rig.devices.values():
        part = results.rig.parts.get(device.part_id or "")
        if device.part_kind != "breaker" or part is None:
            continue
        yield Reading(
            subject=device.id,
            value=0.0 if part.type == "III" else 1.0,
            file=device.file,
            line=device.line,
            words={"type": part.type},
        )


def fuse_distance(results: Results) -> Iterator[Reading]:
    """Wire between the source and a feed's fuse, as entered: nothing protects it.

    Facts: enclosed (it runs in an enclosure of its own). Unit: m. Source: the build; cfr-33-183-455 for the limit.
    """
    for feed in results.rig.build.feeds:
        yield Reading(
            subject=str(feed.id), value=feed.fuse_after, file=feed.where_of("fuse_after").file,
            line=feed.where_of("fuse_after").line, facts={"enclosed": bool(feed.enclosed)},
        )  # fmt: skip


MEASURES: tuple[Measure, ...] = (
    Measure(
        name="short_time_share", per="circuit", unit="share", take=short_time_share,
        words=("at", "fuse", "current", "clears", "stands"),
    ),
    Measure(
        name="prospective_current", per="feed", unit="A", take=prospective_current, limits=("interrupts",),
        words=("fuses",),
    ),
    Measure(name="inrush_share", per="circuit", unit="share", take=inrush_share, words=("fuse",)),
    Measure(
        name="fuse_distance", per="feed", unit="m", take=fuse_distance, facts=MappingProxyType({"enclosed": None})
    ),
    Measure(
        name="selective_share", per="feed", unit="share", take=selective_share,
        words=("below", "weakest", "to", "most"),
    ),
    Measure(
        name="selective_far_share", per="feed", unit="share", take=selective_far_share, words=("above", "to", "fault")
    ),
    Measure(
        name="far_source", per="device", unit="A", take=far_source, limits=("ampacity",), words=("charger", "fuse")
    ),
    Measure(
        name="lead_guard", per="device", unit="A", take=lead_guard, limits=("practice",), words=("guard", "wire")
    ),
    Measure(name="rating_above", per="feed", unit="share", take=rating_above, words=("above",)),
    Measure(name="breaker_resets_itself", per="device", unit="count", take=breaker_resets_itself, words=("type",)),
)  # fmt: skip
