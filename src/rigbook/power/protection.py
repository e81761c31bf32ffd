"""Protection of every conductor: the fuse above it, the short at its far end, the fuses above one another.

A short is taken at the end of the conductors a fuse protects, with the source at rest voltage behind its inside
resistance, conductors as warm as their load makes them. Both only lower the current, the side on which a fuse is slow.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from rigbook.power import conductors, drops, fuses
from rigbook.power.loads import feeds_above
from rigbook.quantities.tables import read_table
from rigbook.rig.model import Bank, Draw, Link, Rig, Segment

REST_CELL_V = 2.1
"""A lead-acid cell at rest and full: 12.6 V of six cells (source: battery-rest)."""
LITHIUM_REST_V = 13.1
"""Four lithium iron phosphate cells at half charge, 13.11 V (source: bpx-lfp)."""
BREAKER = "breaker"
"""Form of a feed that a breaker protects."""
CROSS_LINKED_C, SHORT_C, SHORT_PVC_C = 125.0, 250.0, 160.0
"""Final temperatures of a short: cross-linked insulation from the 125 C class up, else PVC (source: adiabatic)."""


@dataclass(frozen=True, slots=True)
class Short:
    """A short at the end of some conductors: current in A, and the heat in A2s the weakest of them takes."""

    at: str
    loop_ohm: float
    current_a: float
    weakest: Segment
    heat_a2s: float


@dataclass(frozen=True, slots=True)
class Protection:
    """A fuse and what it protects. `clears_s` None: it may never open at that current.

    prospective_a: short right behind the fuse; fault_a: least short at a far end; cleared_from_a: least current it surely
    clears before the wire is damaged; selective_to_a: largest current up to which it surely opens before the one above.
    Verdicts, None where something is not known: `breaks` the greatest short, `clears` every far-end short before the wire
    is damaged, `holds_inrush`, is `selective` with the one above at every short there can be behind it.
    """

    id: str
    bank: str | None
    form: str
    fuse_class: str
    fuse_a: float
    ambient_c: float | None
    rerated_a: float | None
    prospective_a: float | None
    interrupts_a: float | None
    fault_at: str | None
    fault_a: float | None
    clears_s: float | None
    withstands_s: float | None
    cleared_from_a: float | None
    inrush_a2s: float
    inrush_allowed_a2s: float | None
    above: str | None
    rating_ratio: float | None
    selective_to_a: float | None
    breaks: bool | None = None
    clears: bool | None = None
    holds_inrush: bool | None = None
    selective: bool | None = None


# --- source ------------------------------------------------------------------------------------------------


def rest_v(rig: Rig, bank: Bank) -> float:
    """Voltage of a bank at rest, in V."""
    cells = 12 if rig.vehicle.system == "24 V" else 6
    if rig.parts[bank.part_id].chemistry == "lithium-iron-phosphate":
        return LITHIUM_REST_V * cells / 6
    return REST_CELL_V * cells


def bank_ohm(rig: Rig, bank: Bank) -> float | None:
    """Inside resistance of a bank, batteries in parallel; None where the part states none."""
    ohm: float | None = rig.parts[bank.part_id].resistance
    return None if ohm is None else ohm / bank.count


def form_of(rig: Rig, feed_id: str | None, rating_a: float) -> str:
    """Form of a fuse: its block's, else the first the shop stocks that rating in, else blade up to 40 A, then strip;
    `breaker` where one stands in its place."""
    feed = rig.feeds.get(feed_id or "")
    if feed is not None and feed.breaker is not None:
        return BREAKER
    if feed is not None and feed.block_id is not None:
        part = rig.parts.get(rig.devices[feed.block_id].part_id or "")
        form = getattr(part, "form", None)
        if form in _known_forms():
            return str(form)
    for stock in rig.shop.fuses:
        if stock.form in _known_forms() and any(math.isclose(rating_a, rating) for rating in stock.ratings):
            return stock.form
    return "blade" if rating_a <= 40.0 else "strip"


def interrupts_a(
    rig: Rig, *, form: str, rating_a: float, at_battery: bool, feed_id: str | None = None
) -> tuple[float | None, str]:  # fmt: skip
    """What a fuse breaks in A, and where the shop's stock says so; empty where it is the form's printed figure.
    A breaker breaks what its part states, None where it states nothing.

    Of two lines of stock with one form and rating a battery takes the stronger, the rest of the vehicle the first.
    """
    feed = rig.feeds.get(feed_id or "")
    if feed is not None and feed.breaker is not None:
        part = rig.parts[rig.devices[feed.breaker].part_id or ""]
        return part.interrupts, f"{part.where.file}:{part.where.line}"
    entered = [
        (stock.interrupts, f"{stock.where.file}:{stock.where.line}")
        for stock in rig.shop.fuses
        if stock.form == form and stock.interrupts is not None
        and any(math.isclose(rating_a, rating) for rating in stock.ratings)
    ]  # fmt: skip
    if entered:
        return max(entered, key=lambda each: each[0]) if at_battery else entered[0]
    return float(fuses.form_row(form=form, rating_a=rating_a)["interrupts_a"]), ""


def _known_forms() -> frozenset[str]:
    return frozenset(row["form"] for row in read_table(fuses.FORMS).records() if row["form"] != BREAKER)


def _ambient_c(rig: Rig, feed_id: str) -> float | None:
    feed = rig.feeds[feed_id]
    area = rig.devices[feed.block_id].placement.area if feed.block_id else None
    if feed.block_id is None and feed.bank_id is not None:
        area = rig.banks[feed.bank_id].area
    return next((each.ambient for each in rig.vehicle.areas if each.id == area), None)


# --- shorts --------------------------------------------------------------------------------------------------


def heat_a2s(segment: Segment) -> float:
    """Heat in A2s a conductor takes from its temperature at name-plate load to that of a short: k2 S2."""
    start_c = drops.segment_drop(segment).conductor_c
    end_c = SHORT_C if segment.conductor.insulation_c >= CROSS_LINKED_C else SHORT_PVC_C
    k = conductors.adiabatic_k(start_c=min(start_c, end_c), end_c=end_c)
    return (k * conductors.conductor_area_mm2(gauge=segment.conductor.gauge)) ** 2


def _short(at: str, above_ohm: float, path: Iterable[Segment], volts: float, more_ohm: float = 0.0) -> Short | None:
    parts = [segment for segment in path if segment.role != "lead"]
    if not parts:
        return None
    loop = above_ohm + more_ohm + math.fsum(drops.segment_drop(segment).resistance_ohm for segment in parts)
    weakest = min(parts, key=heat_a2s)
    return Short(at, loop, fuses.fault_a(source_v=volts, resistance_ohm=loop), weakest, heat_a2s(weakest))


def above_ohm(rig: Rig, feed_id: str) -> float | None:
    """Resistance in ohm from inside the battery to right behind a fuse; None where the battery states none."""
    feed = rig.feeds[feed_id]
    bank = rig.banks.get(feed.bank_id or "")
    inside = None if bank is None else bank_ohm(rig, bank)
    if inside is None:
        return None
    total = inside
    parent = rig.feeds.get(feed.parent or "")
    while parent is not None:
        if parent.segment is not None:
            total += drops.segment_drop(rig.segments[parent.segment]).resistance_ohm
        parent = rig.feeds.get(parent.parent or "")
    return total


def shorts(rig: Rig, feed_id: str) -> Iterator[Short]:
    """A short at the end of a feed's line to the chassis, and one at each device of its own circuit, out and back."""
    feed = rig.feeds[feed_id]
    ohm = above_ohm(rig, feed_id)
    bank = rig.banks.get(feed.bank_id or "")
    if ohm is None or bank is None:
        return
    volts = rest_v(rig, bank)
    if feed.segment is not None:
        segment = rig.segments[feed.segment]
        found = _short(segment.to_point, ohm, [segment], volts)
        if found is not None:
            yield found
    circuit = rig.circuits.get(feed_id)
    for member in () if circuit is None else circuit.members:
        if member.signal:
            continue
        path = [rig.segments[name] for name in (*member.feed_path, *member.return_path)]
        stud = rig.studs.get(member.ground or "")
        found = _short(member.terminal, ohm, path, volts, 0.0 if stud is None else stud.resistance_ohm)
        if found is not None:
            yield found


def worst_short(found: Iterable[Short], *, fuse_class: str, fuse_a: float) -> Short | None:
    """The short that is farthest from being cleared in time: least current over what the fuse needs."""

    def share(short: Short) -> float:
        return short.current_a / fuses.least_cleared_a(
            fuse_class=fuse_class, rating_a=fuse_a, heat_a2s=short.heat_a2s
        )  # fmt: skip

    return min(found, key=share, default=None)


# --- inrush and selectivity --------------------------------------------------------------------------------


def inrush(rig: Rig, feed_id: str) -> tuple[float, float]:
    """Current in A and time in s with every device behind a feed starting at once, each at its largest draw.

    Devices that state no inrush stand aside; the longest time counts for all.
    """
    largest: dict[str, Draw] = {}
    for device in rig.devices.values():
        for draw in device.draws:
            if draw.inrush_times is None or draw.inrush_s is None or feed_id not in feeds_above(rig, draw):
                continue
            known = largest.get(device.id)
            if known is None or draw.current_a * draw.inrush_times > known.current_a * (known.inrush_times or 0.0):
                largest[device.id] = draw
    amps = math.fsum(draw.current_a * (draw.inrush_times or 0.0) for draw in largest.values())
    return amps, max((draw.inrush_s or 0.0 for draw in largest.values()), default=0.0)


def melts_a2s(fuse_class: str, rating_a: float) -> float:
    """Heat in A2s that a fuse surely takes before it melts at more than its last printed gate: the typical melting heat
    where one is printed, else half of what its fast edge takes at that gate [common practice, no source]."""
    found = fuses.melting_a2s(fuse_class=fuse_class, rating_a=rating_a)
    if found is not None:
        return found[0]
    last = fuses.last_fast_gate(fuse_class=fuse_class)
    return 0.5 * last[1] * (last[0] / 100 * rating_a) ** 2


def selective_to_a(
    *, fuse_class: str, fuse_a: float, above_class: str, above_a: float, most_a: float,
    above_melts_a2s: float | None = None,
) -> float:  # fmt: skip
    """Largest current in A, up to `most_a`, to which a fuse surely opens before the one above it; 0 for none.

    At every current from where the lower must open, the fastest time of the upper exceeds the slowest of the lower.
    Beyond the upper's last printed gate both open faster than gates tell, and heat decides: what the lower lets through
    is less than what melts the upper (`melts_a2s`; None: nothing is claimed there).
    Currents are looked at in steps of 1 %, and at every printed gate of both.
    """
    first = fuses.breakpoints(fuse_class=fuse_class)
    start = next(p for p in first if fuses.slowest_s(fuse_class=fuse_class, percent=p) is not None) / 100 * fuse_a
    currents = {start, most_a}
    currents |= {p / 100 * fuse_a for p in first}
    currents |= {p / 100 * above_a for p in fuses.breakpoints(fuse_class=above_class)}
    step = start
    while step < most_a:
        currents.add(step)
        step *= 1.01
    last_a = fuses.breakpoints(fuse_class=above_class)[-1] / 100 * above_a
    reached = 0.0
    for amps in sorted(amps for amps in currents if start <= amps <= most_a):
        slow = fuses.slowest_s(fuse_class=fuse_class, percent=100 * amps / fuse_a)
        fast = fuses.fastest_s(fuse_class=above_class, percent=100 * amps / above_a)
        if slow is None:
            break
        by_heat = amps > last_a and above_melts_a2s is not None and slow * amps * amps < above_melts_a2s
        if fast <= slow and not by_heat:
            break
        reached = amps
    return reached


# --- results ----------------------------------------------------------------------------------------------------


def protections(rig: Rig) -> tuple[Protection, ...]:
    """Every fuse of a vehicle in file order, links last."""
    made = [feed_protection(rig, feed_id) for feed_id in rig.feeds]
    for link in rig.links.values():
        made += [link_protection(rig, link, end) for end in ("start", "end")]
    return tuple(made)


def feed_protection(rig: Rig, feed_id: str) -> Protection:
    """The fuse at the start of a feed."""
    feed = rig.feeds[feed_id]
    ohm, bank = above_ohm(rig, feed_id), rig.banks.get(feed.bank_id or "")
    prospective = None if ohm is None or bank is None else fuses.fault_a(source_v=rest_v(rig, bank), resistance_ohm=ohm)
    amps, seconds = inrush(rig, feed_id)
    parent = rig.feeds.get(feed.parent or "")
    return _protection(
        rig, feed_id, feed.bank_id, form_of(rig, feed_id, feed.fuse_a), feed.fuse_a, _ambient_c(rig, feed_id), prospective,
        tuple(shorts(rig, feed_id)), amps * amps * seconds,
        None if parent is None else (parent.id, form_of(rig, parent.id, parent.fuse_a), parent.fuse_a),
    )  # fmt: skip


def link_protection(rig: Rig, link: Link, end: str) -> Protection:
    """The fuse at one end of a link: the bank at that end feeds it, up to what the link passes through."""
    bank = rig.banks[link.from_bank if end == "start" else link.to_bank]
    fuse_a = link.start_fuse_a if end == "start" else link.end_fuse_a
    inside, volts, found = bank_ohm(rig, bank), rest_v(rig, bank), link_short(rig, link, end)
    ambient = next((each.ambient for each in rig.vehicle.areas if each.id == bank.area), None)
    return _protection(
        rig, f"{link.id}.{end}", bank.id, form_of(rig, None, fuse_a), fuse_a, ambient,
        None if inside is None else fuses.fault_a(source_v=volts, resistance_ohm=inside),
        () if found is None else (found,), 0.0, None,
    )  # fmt: skip


def link_short(rig: Rig, link: Link, end: str) -> Short | None:
    """A short at the far end of the conductor that the fuse at one end of a link protects."""
    bank = rig.banks[link.from_bank if end == "start" else link.to_bank]
    inside = bank_ohm(rig, bank)
    if inside is None:
        return None
    own = rig.segments[link.segments[0 if end == "start" else -1]]
    far = own.to_point if end == "start" else own.from_point
    return _short(far, inside, [own], rest_v(rig, bank))


def _protection(
    rig: Rig, name: str, bank_id: str | None, form: str, fuse_a: float, ambient_c: float | None, prospective_a: float | None,
    found: tuple[Short, ...], inrush_a2s: float, above: tuple[str, str, float] | None,
) -> Protection:  # fmt: skip
    row = fuses.form_row(form=form, rating_a=fuse_a)
    kind = row["class"]
    short = worst_short(found, fuse_class=kind, fuse_a=fuse_a)
    melting = fuses.melting_a2s(fuse_class=kind, rating_a=fuse_a)
    allowed = None if melting is None else fuses.allowed_pulse_a2s(melting_a2s=melting[0])
    interrupts, _ = interrupts_a(rig, form=form, rating_a=fuse_a, at_battery=above is None, feed_id=name)
    least = None if short is None else fuses.least_cleared_a(fuse_class=kind, rating_a=fuse_a, heat_a2s=short.heat_a2s)
    selective = None
    if above is not None and prospective_a is not None:
        above_class = fuses.form_row(form=above[1], rating_a=above[2])["class"]
        selective = selective_to_a(
            fuse_class=kind, fuse_a=fuse_a, above_class=above_class, above_a=above[2], most_a=prospective_a,
            above_melts_a2s=melts_a2s(above_class, above[2]),
        )  # fmt: skip
    return Protection(
        id=name,
        bank=bank_id,
        form=form,
        fuse_class=kind,
        fuse_a=fuse_a,
        ambient_c=ambient_c,
        rerated_a=None if form == BREAKER else _rerated_a(fuse_a, ambient_c),
        prospective_a=prospective_a,
        interrupts_a=interrupts,
        fault_at=None if short is None else short.at,
        fault_a=None if short is None else short.current_a,
        clears_s=None if short is None else fuses.slowest_s(fuse_class=kind, percent=100 * short.current_a / fuse_a),
        withstands_s=None if short is None else short.heat_a2s / short.current_a**2,
        cleared_from_a=None if least is None or math.isinf(least) else least,
        inrush_a2s=inrush_a2s,
        inrush_allowed_a2s=allowed,
        above=None if above is None else above[0],
        rating_ratio=None if above is None else above[2] / fuse_a,
        selective_to_a=selective,
        breaks=None if interrupts is None or prospective_a is None else interrupts >= prospective_a,
        clears=None if short is None else least is not None and short.current_a >= least,
        holds_inrush=None if allowed is None else inrush_a2s <= allowed,
        selective=None if selective is None or prospective_a is None else selective >= prospective_a * (1 - 1e-9),
    )


def _rerated_a(fuse_a: float, ambient_c: float | None) -> float | None:
    if ambient_c is None or ambient_c > fuses.MOST_AMBIENT_C:
        return None
    return fuse_a * fuses.rerating_share(ambient_c=ambient_c)
