"""The harness build sheet: every wire to cut, with both ends, so that nobody need ask.

Colours are chosen from stock by rule [common practice, no source]: returns black; what feeds a block, a module or a
device red; a wire to a lamp the colour of its light where stock has it; else the stock's other colours in turn by the
output's number. Bundles are the wires that take the same way; looms are chosen by the areas they pass.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from rigbook.papers import leads_sheet
from rigbook.papers.chapter import ROUND_UP_M, Desk, amperes, rating
from rigbook.papers.pieces import DASH, Piece, caution, column, heading, paragraph, small, table
from rigbook.papers.wire_ends import WireEnd, end_of
from rigbook.papers.wire_labels import WireLabels, wire_labels
from rigbook.quantities.show import convert
from rigbook.rig.model import Rig, Segment

NOT_IN_STOCK = "not in stock"
ROUGH_AREAS = ("engine", "outside", "under", "roof", "wheel")
FILL = 1.2
"""Diameter of a bundle: 1.2 times the root of the sum of its wires' squares [common practice, no source]."""


@dataclass(frozen=True, slots=True)
class Cut:
    """One wire to cut. Lengths in metres, `length_m` rounded up as printed; `normal_a` None without saved states."""

    label: WireLabels
    segment: Segment
    colour: str
    stripe: str
    start: WireEnd
    end: WireEnd
    splice: str
    length_m: float
    bundle: str
    loom: str
    fuse: str
    fuse_a: float | None
    normal_a: float | None


@dataclass(frozen=True, slots=True)
class Bundle:
    """Wires that take the same way: nodes passed, areas, number of wires, diameter over them and what covers them."""

    id: str
    nodes: tuple[str, ...]
    areas: tuple[str, ...]
    wires: int
    diameter_m: float
    loom: str
    hottest_c: float


@dataclass(frozen=True, slots=True)
class Splice:
    """Wires that meet before a device: its name, where, and the labels that meet."""

    id: str
    at: str
    labels: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Harness:
    """All of it."""

    cuts: tuple[Cut, ...]
    bundles: tuple[Bundle, ...]
    splices: tuple[Splice, ...]


def harness_of(desk: Desk) -> Harness:
    """Every wire of a build, in the order of its circuits."""
    rig = desk.rig
    colours = {name: _colour(rig, s) for name, s in rig.segments.items() if s.role != "lead"}
    labels = wire_labels(rig, colours)
    bundles = _bundles(rig, [one.segment for one in labels])
    splices = _splices(labels)
    at_node = {s.at: s.id for s in splices}
    cuts = []
    for one in labels:
        segment = one.segment
        bundle = bundles[_way(segment)]
        gauge = segment.conductor.gauge
        met = [at_node[n] for n in (segment.from_point, segment.to_point) if n in at_node]
        fuse, fuse_a = _fuse(rig, one)
        cuts.append(
            Cut(
                one, segment, colours[segment.id], "none", end_of(rig, segment.from_point, gauge),
                end_of(rig, segment.to_point, gauge), ", ".join(met) or "none", rounded_up(desk, segment.length_m),
                bundle.id, bundle.loom, fuse, fuse_a, _normal(desk, one),
            )
        )  # fmt: skip
    return Harness(tuple(cuts), tuple(bundles.values()), splices)


def rounded_up(desk: Desk, length_m: float) -> float:
    """A length to cut, rounded up to the step of the shop's unit."""
    unit, step = ROUND_UP_M[desk.units]
    return math.ceil(round(convert(length_m, "length", unit) / step, 6)) * step


# --- colour -------------------------------------------------------------------------------------------------------------


def _colour(rig: Rig, segment: Segment) -> str:
    stock = next((w.colours for w in rig.shop.wires if w.part == segment.conductor.part_id), None) or [
        c for w in rig.shop.wires if w.gauge == segment.conductor.gauge for c in w.colours
    ]
    if not stock:
        return NOT_IN_STOCK
    if segment.role == "return":
        return "black" if "black" in stock else stock[0]
    own = {"amber": "yellow"}
    channel = segment.to_point.partition(":")[2].partition("/")[0]
    wanted = channel if channel in stock else own.get(channel, "")
    if wanted in stock and wanted not in ("black",):
        return wanted
    module, _, number = segment.from_point.rpartition(".")
    if module in rig.modules or segment.role == "signal":
        others = [c for c in stock if c not in ("red", "black")] or [c for c in stock if c != "black"] or stock
        return others[(int(number) - 1) % len(others) if number.isdigit() else 0]
    return "red" if "red" in stock else stock[0]


# --- ways, bundles, looms ---------------------------------------------------------------------------------------------------


def _way(segment: Segment) -> tuple[str, ...]:
    nodes = segment.route
    return min(nodes, tuple(reversed(nodes)))


def _bundles(rig: Rig, segments: Sequence[Segment]) -> dict[tuple[str, ...], Bundle]:
    groups: dict[tuple[str, ...], list[Segment]] = {}
    for segment in segments:
        groups.setdefault(_way(segment), []).append(segment)
    found = {}
    for number, (way, members) in enumerate(groups.items(), 1):
        areas = tuple(dict.fromkeys(a for s in members for a in s.areas))
        squares = math.fsum(_outside_m(rig, s) ** 2 for s in members)
        diameter = FILL * math.sqrt(squares) if len(members) > 1 else math.sqrt(squares)
        hottest = max(s.hottest_c for s in members)
        found[way] = Bundle(f"B{number:02d}", way, areas, len(members), diameter, _loom(areas), hottest)
    return found


def _outside_m(rig: Rig, segment: Segment) -> float:
    part = rig.parts.get(segment.conductor.part_id or "")
    if part is not None and part.kind == "wire":
        return float(part.outside_diameter)
    return 2 * math.sqrt(segment.conductor.gauge.area_mm2 / math.pi) / 1000 * 1.6


def _loom(areas: Sequence[str]) -> str:
    rough = any(word in area for area in areas for word in ROUGH_AREAS)
    return "split tube, sealed ends" if rough else "fleece tape"


def _splices(labels: Sequence[WireLabels]) -> tuple[Splice, ...]:
    """Nodes where two or more wires meet: a fuse position, an output or a device takes one terminal. Studs, posts and
    buses take any number."""
    at: dict[str, list[str]] = {}
    for one in labels:
        for end in one.ends:
            node = end.at
            if not node.startswith(("ground:", "block:", "battery.")):
                at.setdefault(node, []).append(end.text)
    met = [(node, texts) for node, texts in at.items() if len(texts) > 1]
    return tuple(Splice(f"S{n:02d}", node, tuple(texts)) for n, (node, texts) in enumerate(met, 1))


# --- what protects it and what flows ------------------------------------------------------------------------------------------


def _fuse(rig: Rig, one: WireLabels) -> tuple[str, float | None]:
    circuit = rig.circuits.get(one.circuit)
    if circuit is not None and circuit.kind == "output":
        return f"output {rating(circuit.limit_a)} A", None
    feed = rig.feeds.get(one.circuit) or rig.feeds.get(one.feed)
    if feed is not None:
        return f"{rating(feed.fuse_a)} A", feed.fuse_a
    link = rig.links.get(one.circuit)
    if link is not None:
        first = one.segment.id == link.segments[0]
        amps = link.start_fuse_a if first else link.end_fuse_a
        return f"{rating(amps)} A at the battery", amps
    return DASH, None


def _normal(desk: Desk, one: WireLabels) -> float | None:
    rig, segment = desk.rig, one.segment
    if segment.role == "return":
        holders = [d.id for d in rig.devices.values() if any(w.return_point == segment.from_point for w in d.draws)]
        flows = [desk.normal("device", d) for d in holders]
        known = [f for f in flows if f is not None]
        return math.fsum(known) if known else None
    if segment.role == "signal":
        return 0.0
    if one.circuit in rig.circuits and rig.circuits[one.circuit].kind == "output":
        return desk.normal("circuit", one.circuit)
    if one.circuit in rig.feeds:
        return desk.normal("feed", one.circuit)
    return None


# --- as a chapter -----------------------------------------------------------------------------------------------------------------


def end_words(end: WireEnd) -> str:
    """An end on paper: the device, and below it connector, cavity, terminal and seal."""
    where = f"{end.connector}, {end.cavity}" if end.cavity != DASH else end.connector
    seal = "" if end.seal == "none" else f", {end.seal}"
    return f"{end.device}\n{where}\n{end.terminal}{seal}"


def pieces(desk: Desk) -> list[Piece]:
    """The chapter: rules, wires by circuit, bundles, splices."""
    made = desk.harness
    if not made.cuts:
        return [heading("Harness build sheet"), paragraph("Nothing is wired.")]
    unit = ROUND_UP_M[desk.units][0]
    loop = desk.length(desk.rig.shop.service_loop)
    intro = (
        f"Cut lengths hold a service loop of {loop} {unit} at either end and are rounded up. End 1 is where the current comes from. "
        "Normal A is the highest average over the saved states; 0.00 where none of them uses it. No wire in stock has a stripe. "
        "Marked *: terminals chosen from the catalogue by gauge, colours from stock by rule, wires and fuses by load, looms by area."
    )
    return [
        heading("Harness build sheet"),
        caution(
            "Build and pull-test the harness on the bench. Measure insulation on the bare harness only, never with electronics connected. Disconnect every battery before fitting it."
        ),
        paragraph(desk.words(intro)),
        _wires(desk, made, unit),
        *leads_sheet.pieces(desk),
        *_bundle_pieces(desk, made),
    ]


def _wires(desk: Desk, made: Harness, unit: str) -> Piece:
    rows = []
    for cut in made.cuts:
        conductor = cut.segment.conductor
        rows.append(
            [
                cut.label.circuit, f"{cut.label.source.text}\n{cut.label.load.text}", f"{cut.colour}*\n{conductor.gauge}{'*' if conductor.how == 'auto' else ''}\n{conductor.insulation_c:g} C",
                starred(cut.start), starred(cut.end), cut.splice, f"{cut.length_m:g}", f"{cut.bundle}\n{cut.loom}*", _fuse_marked(desk, cut),
                amperes(cut.normal_a), "", "",
            ]
        )  # fmt: skip
    columns = [
        column("Circuit"), column("Labels, end 1 and end 2"), column(desk.words("Colour, gauge, insulation")),
        column("From: device; connector, cavity; terminal, seal", share=1), column("To: device; connector, cavity; terminal, seal", share=1),
        column("Splice"), column(f"Cut {unit}", number=True), column("Bundle, loom"), column("Fuse"), column("Normal A", number=True),
        column("Built by", least_mm=14), column("Pull-tested by", least_mm=14),
    ]  # fmt: skip
    return table(caption="Wires to cut, by circuit", columns=columns, rows=rows, size=7.0, form=True)


def _fuse_marked(desk: Desk, cut: Cut) -> str:
    chosen = cut.fuse_a is not None and any(
        desk.fuse_mark(name) for name in (cut.label.circuit, cut.label.feed, f"{cut.label.circuit}:start")
    )
    return cut.fuse + ("*" if chosen else "")


def starred(end: WireEnd) -> str:
    """An end on paper, with a mark where its terminal was chosen from the catalogue."""
    return end_words(replace(end, terminal=end.terminal + ("*" if end.chosen and end.terminal != "none" else "")))


def _bundle_pieces(desk: Desk, made: Harness) -> list[Piece]:
    unit = "in" if desk.us else "mm"
    scale = "in" if desk.us else "mm"
    rows = [
        [
            b.id, " – ".join(b.nodes) or "at the device", ", ".join(b.areas) or DASH, str(b.wires),
            f"{convert(b.diameter_m, 'length', unit):.2f}*" if desk.us else f"{convert(b.diameter_m, 'length', unit):.0f}*", f"{b.loom}*",
            f"{b.hottest_c:g}",
        ]
        for b in made.bundles
    ]  # fmt: skip
    columns = [
        column("Bundle"), column("Way", share=1.4), column("Areas", share=0.8), column("Wires", number=True),
        column(f"Over wires {scale}", number=True), column("Loom"), column("Hottest C", number=True),
    ]  # fmt: skip
    found = [table(caption="Bundles: wires that take the same way", columns=columns, rows=rows, size=8)]
    if made.splices:
        rows = [[s.id, s.at, ", ".join(s.labels)] for s in made.splices]
        columns = [column("Splice"), column("At"), column("Wire ends that meet", share=1)]
        found.append(table(caption="Splices", columns=columns, rows=rows, size=8))
    found.append(
        small(
            f"Wires over a bundle: {FILL:g} times the root of the sum of squares of their diameters, common practice, no source."
        )
    )
    return found


def labels_by_point(made: Harness) -> Mapping[str, Cut]:
    """The first wire that ends at each electrical node."""
    found: dict[str, Cut] = {}
    for cut in made.cuts:
        found.setdefault(cut.segment.from_point, cut)
        found.setdefault(cut.segment.to_point, cut)
    return found
