"""Leads of the harness that no circuit feeds: inputs, data links, speakers, antennas, heads, sync wires, both ends each.

What a lead is made of is chosen by kind [common practice, no source]: inputs, speakers and sync wires are cut from the
thinnest wire in stock that a single wire may be; data links, antennas and heads come as cables with their plugs.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from rigbook.papers.chapter import ROUND_UP_M, Desk
from rigbook.papers.pieces import DASH, Piece, column, small, table
from rigbook.papers.sheets import Cell, Column, Sheet, rounded
from rigbook.papers.wire_ends import WireEnd, device_end, terminal_for
from rigbook.quantities.gauge import Gauge
from rigbook.rig.leads import Kind, LeadEnd, SignalLead, leads_of
from rigbook.rig.model import Rig

LEAST = Gauge("AWG", 18)
"""Least single wire that is not a device's own lead [common practice, no source]."""
CABLES: Mapping[Kind, str] = MappingProxyType(
    {
        "data link": "data cable with its plugs, as the maker delivers it",
        "antenna": "coaxial cable of the antenna, cut to length at the radio",
        "remote head": "head cable of the radio",
    }
)
UNUSED_COLOURS = ("red", "black")


@dataclass(frozen=True, slots=True)
class LeadCut:
    """A lead as the bay makes it. `length_m` rounded up as printed; None where an end has no place."""

    lead: SignalLead
    labels: tuple[str, str]
    cable: str
    colours: tuple[str, ...]
    gauge: Gauge | None
    start: WireEnd
    end: WireEnd
    length_m: float | None


def lead_cuts(desk: Desk) -> tuple[LeadCut, ...]:
    """Every lead, in the order of `rigbook.rig.leads`."""
    from rigbook.papers.harness import rounded_up

    rig = desk.rig
    found = []
    for number, lead in enumerate(leads_of(rig)):
        wire = None if lead.kind in CABLES else _wire(rig)
        colours = () if wire is None else _colours(rig, lead.kind, wire, number)
        words = CABLES.get(lead.kind, "")
        if wire is not None:
            words = f"{len(colours)} wires {wire}, twisted" if len(colours) > 1 else f"1 wire {wire}"
        name = lead.id.replace(":", ".").replace(" ", "-")
        found.append(
            LeadCut(
                lead, (f"{name}-1", f"{name}-2"), words, colours, wire, _end(rig, lead, lead.start, wire),
                _end(rig, lead, lead.end, wire), None if lead.length_m is None else rounded_up(desk, lead.length_m),
            )
        )  # fmt: skip
    return tuple(found)


def _wire(rig: Rig) -> Gauge:
    """The thinnest stock wire of at least the least single one."""
    stock = [w.gauge for w in rig.shop.wires if w.gauge.area_mm2 >= LEAST.area_mm2 * (1 - 1e-9)]
    return min(stock, key=lambda gauge: gauge.area_mm2, default=LEAST)


def _colours(rig: Rig, kind: Kind, gauge: Gauge, number: int) -> tuple[str, ...]:
    stock = [c for w in rig.shop.wires if w.gauge == gauge for c in w.colours]
    if kind == "speaker":
        return tuple(c if c in stock else "not in stock" for c in UNUSED_COLOURS)
    others = [c for c in stock if c not in UNUSED_COLOURS] or stock
    return (others[number % len(others)],) if others else ("not in stock",)


def _end(rig: Rig, lead: SignalLead, end: LeadEnd, wire: Gauge | None) -> WireEnd:
    node = f"{end.device}:{end.what}"
    if wire is None:
        return WireEnd(node, end.device, end.what, DASH, "plug of the cable", "none", False)
    if end.device in rig.devices:
        return device_end(rig, node, end.device, end.what, wire)
    switch = next((s for s in rig.switches if s.id == end.device.partition(",")[0]), None)
    if switch is not None and switch.panel is not None:
        terminal = terminal_for(rig, "blade", wire) or "none"
        return WireEnd(node, f"switch {end.device}", "terminal", end.what, terminal, "none", True)
    terminal = terminal_for(rig, "splice", wire) or "none"
    return WireEnd(node, end.device, "wire of the vehicle or sensor", end.what, terminal, "in the splice", True)


# --- as a table of the chapter, and as a sheet ----------------------------------------------------------------------


def pieces(desk: Desk) -> list[Piece]:
    """The table for the harness chapter; nothing where there are no such leads."""
    from rigbook.papers.harness import starred

    cuts = desk.leads
    if not cuts:
        return []
    unit = ROUND_UP_M[desk.units][0]
    rows = [
        [
            cut.lead.kind, "\n".join(cut.labels), "\n".join(f"{words}*" for words in (cut.cable, ", ".join(cut.colours)) if words), starred(cut.start),
            starred(cut.end), DASH if cut.length_m is None else f"{cut.length_m:g}", " – ".join(cut.lead.route) or DASH,
            cut.lead.note or DASH, "", "",
        ]
        for cut in cuts
    ]  # fmt: skip
    columns = [
        column("Lead"), column("Labels, end 1 and end 2"), column(desk.words("Cable, colours"), share=0.8),
        column("From: device; connector, cavity; terminal, seal", share=1), column("To: device; connector, cavity; terminal, seal", share=1),
        column(f"Cut {unit}", number=True), column("Way", share=0.9), column("Note", share=0.5), column("Built by", least_mm=14),
        column("Tested by", least_mm=14),
    ]  # fmt: skip
    return [
        table(
            caption="Inputs, data links, speakers, antennas, sync wires",
            columns=columns,
            rows=rows,
            size=7.0,
            form=True,
        ),
        small(
            desk.words(
                "Lengths hold a service loop at either end. Cables marked as delivered are ordered at least so long; keep coaxial cable in wide "
                "bends and away from wires that switch. What leads are made of (*) gives way to the maker's sheet."
            )
        ),
    ]


def leads_table(desk: Desk) -> Sheet:
    """The same as a sheet."""
    unit = ROUND_UP_M[desk.units][0]
    rows: list[tuple[Cell, ...]] = []
    for cut in desk.leads:
        ends: list[Cell] = []
        for end in (cut.start, cut.end):
            ends += [end.device, end.connector, end.cavity, end.terminal, end.seal]
        rows.append(
            (
                cut.lead.id, cut.lead.kind, *cut.labels, cut.cable, ", ".join(cut.colours),
                None if cut.gauge is None else str(cut.gauge), *ends, rounded(cut.length_m), " > ".join(cut.lead.route), cut.lead.note,
                None, None,
            )
        )  # fmt: skip
    ends_of = ("device", "connector", "cavity", "terminal", "seal")
    names: list[str | tuple[str, str]] = [
        "lead", "kind", "label, end 1", "label, end 2", "cable", desk.words("colours"), "gauge", *(f"from: {e}" for e in ends_of),
        *(f"to: {e}" for e in ends_of), ("cut length with service loops", unit), "way", "note", "built by", "tested by",
    ]  # fmt: skip
    columns = tuple(Column(n) if isinstance(n, str) else Column(*n) for n in names)
    return Sheet("leads", "Inputs, data links, speakers, antennas, sync wires", columns, tuple(rows))
