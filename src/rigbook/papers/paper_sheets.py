"""The bay's papers as sheets: one column for one thing, numbers in the unit of the header."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import TYPE_CHECKING

from rigbook.papers.chapter import ROUND_UP_M, Desk
from rigbook.papers.drill_sheet import drill_table
from rigbook.papers.fuses_paper import fuse_rows
from rigbook.papers.leads_sheet import leads_table
from rigbook.papers.light_paper import grid_sheet, observers_sheet, warning_sheet
from rigbook.papers.marking_paper import markings_sheet
from rigbook.papers.pins import inputs_of, pin_outs
from rigbook.papers.places_paper import lamp_row
from rigbook.papers.power_paper import bundle_sheet, load_sheet, wire_sheet
from rigbook.papers.programming import outputs_of
from rigbook.papers.scene_paper import areas_sheet, ground_sheet
from rigbook.papers.sheets import Cell, Column, Sheet, rounded
from rigbook.papers.supply_paper import day_curve_sheet, day_sheet, endurance_sheet, supply_sheet
from rigbook.quantities.show import convert
from rigbook.shop.final_inspection import inspection_of
from rigbook.shop.quote import quote_of
from rigbook.shop.switch_table import switch_table

if TYPE_CHECKING:
    from rigbook.assess.assessment import Assessment


def paper_sheet(name: str, assessment: Assessment) -> Sheet:
    """One sheet by name. KeyError for a name that is not in `PAPER_SHEETS`."""
    from rigbook.assess.results_json import to_json

    return PAPER_SHEETS[name](Desk(assessment, to_json(assessment)))


def _columns(*names: str | tuple[str, str]) -> tuple[Column, ...]:
    return tuple(Column(n) if isinstance(n, str) else Column(*n) for n in names)


def _harness(desk: Desk) -> Sheet:
    unit = ROUND_UP_M[desk.units][0]
    loop = rounded(convert(2 * desk.rig.shop.service_loop, "length", unit))
    rows: list[tuple[Cell, ...]] = []
    for c in desk.harness.cuts:
        ends: list[Cell] = []
        for e in (c.start, c.end):
            ends += [e.device, e.connector, e.cavity, e.terminal, e.seal, "by gauge" if e.chosen else "by the part"]
        rows.append(
            (
                c.label.circuit, c.label.source.text, c.label.load.text, c.colour, c.stripe, str(c.segment.conductor.gauge),
                rounded(c.segment.conductor.insulation_c), c.segment.conductor.part_id, *ends, c.splice, rounded(c.length_m), loop,
                " > ".join(c.segment.route), c.bundle, c.loom, c.fuse, rounded(c.normal_a), None, None,
            )
        )  # fmt: skip
    ends_of = ("device", "connector", "cavity", "terminal", "seal", "terminal chosen")
    columns = _columns(
        "circuit", "label, end 1", "label, end 2", desk.words("colour"), "stripe", "gauge", ("insulation", "C"), "wire part",
        *(f"from: {e}" for e in ends_of), *(f"to: {e}" for e in ends_of), "splice", ("cut length with service loops", unit),
        ("service loops in it", unit), "way", "bundle", "loom", "fuse", ("normal", "A"), "built by", "pull-tested by",
    )  # fmt: skip
    return Sheet("harness", "Harness build sheet", columns, tuple(rows))


def _pins(desk: Desk) -> Sheet:
    rows: list[tuple[Cell, ...]] = [
        (
            o.device, o.connector, o.view, p.cavity, p.label, p.gauge, p.colour, p.purpose, p.direction, p.active, rounded(p.limit_a),
            rounded(p.expected_a), "plug" if p.unused else "",
        )
        for o in pin_outs(desk)
        for p in o.pins
    ]  # fmt: skip
    columns = _columns(
        "device", "connector", "view", "cavity", "label", "gauge", desk.words("colour"), "purpose", "in/out", "active state",
        ("limit", "A"), ("expected", "A"), "if unused",
    )  # fmt: skip
    return Sheet("pins", "Pin-outs", columns, tuple(rows))


def _inputs(desk: Desk) -> Sheet:
    rows: list[tuple[Cell, ...]] = [
        (
            i.signal,
            i.source,
            i.active,
            i.volts_true,
            i.volts_false,
            i.settles_ms,
            i.if_lost,
            "; ".join(i.functions),
            None,
            None,
        )
        for i in inputs_of(desk)
    ]
    columns = _columns(
        "signal", "source", "active state", "true", "false", ("settle", "ms"), "if lost", "functions that use it", "verified how", "result"
    )  # fmt: skip
    return Sheet("inputs", "Inputs", columns, tuple(rows))


def _programming(desk: Desk) -> Sheet:
    rows: list[tuple[Cell, ...]] = []
    for module in desk.rig.modules.values():
        for o in outputs_of(desk, module):
            head = (
                module.id,
                o.id,
                o.name,
                rounded(o.limit_a),
                o.clock,
                o.sheds,
                None if o.run_on_ms is None else o.run_on_ms / 1000,
            )
            for n, line in enumerate(o.lines, 1):
                rows.append(
                    (*head, n, line.when, line.does, line.intensity, line.phase_ms, line.if_lost, line.function)
                )
            rows.append((*head, None, "at rest", o.rest, "", None, "", ""))
            rows += [(*head, None, "dimmed", d, "", None, "", "") for d in o.dims]
    columns = _columns(
        "controller", "output", "name", ("limit", "A"), "clock group", "shed step", ("run-on", "s"), "line", "when", "does", "intensity",
        ("phase", "ms"), "if lost", "function",
    )  # fmt: skip
    return Sheet("programming", f"Programming sheet, checksum {desk.program_digest[:16]}", columns, tuple(rows))


def _switches(desk: Desk) -> Sheet:
    rows: list[tuple[Cell, ...]] = []
    for row in switch_table(desk.bench):
        for start, effect in row.effects:
            lost = "; ".join(f"{signal}: {words}" for signal, words in effect.lost)
            rows.append((row.switch, row.label, row.position, start, effect.after, effect.does, lost))
    columns = _columns("switch", "label", "position", "standing start", "after", "does", "when a signal is lost")
    return Sheet("switches", "What each switch does", columns, tuple(rows))


def _fuses(desk: Desk) -> Sheet:
    rows: list[tuple[Cell, ...]] = [
        (
            f.block,
            f.position,
            rounded(f.rating_a),
            f.label,
            f.feeds,
            rounded(f.normal_a),
            rounded(f.worst_rms_a),
            rounded(f.worst_peak_a),
        )
        for f in fuse_rows(desk)
    ]
    columns = _columns(
        "block", "position", ("fuse", "A"), "label", "feeds", ("normal", "A"), ("worst RMS", "A"), ("worst peak", "A")
    )
    return Sheet("fuses", "Fuse map", columns, tuple(rows))


def _lamps(desk: Desk) -> Sheet:
    rows: list[tuple[Cell, ...]] = []
    for device in desk.rig.devices.values():
        if not device.colours:
            continue
        name, colours, zones, level, *_ = lamp_row(desk, device)
        pose = device.placement.poses[0]
        at = (rounded(convert(v, "length", desk.small_unit)) for v in (pose.at.x_m, pose.at.y_m, pose.at.z_m))
        rows.append((name, colours, zones, level, rounded(pose.facing_deg), rounded(pose.tilt_deg), *at))
    unit = desk.small_unit
    columns = _columns(
        "lamp",
        desk.words("colours"),
        "zones",
        "level",
        ("aim", "deg"),
        ("tilt", "deg"),
        ("x", unit),
        ("y", unit),
        ("height", unit),
    )
    return Sheet("lamps", "Lamp map", columns, tuple(rows))


def _axles(desk: Desk) -> Sheet:
    body = desk.report["body"]
    unit = "lb" if desk.us else "kg"

    def mass(kg: float | None) -> float | None:
        return None if kg is None else rounded(convert(kg, "mass", unit))

    rows: list[tuple[Cell, ...]] = [
        (f"{a['id']} axle", mass(a["load_kg"]), mass(a["rating_kg"]), mass(a["margin_kg"]), None)
        for a in body["axles"] or ()
    ]
    if body["mass_kg"] is not None:
        whole, left = body["mass_kg"], body["left_share"]
        rows.append(
            ("whole", mass(whole), mass(desk.rig.vehicle.ratings.gvwr), mass(body["payload_remaining_kg"]), None)
        )
        if left is not None:
            rows += [
                ("left side", mass(left * whole), None, None, None),
                ("right side", mass((1 - left) * whole), None, None, None),
            ]
    rows += [(m.id, mass(m.mass_kg), None, None, None) for m in desk.rig.masses if m.why in ("person", "kit", "fuel")]
    columns = _columns("what", ("worked out", unit), ("rating", unit), ("margin", unit), ("weighed", unit))
    return Sheet("axles", "Weight sheet", columns, tuple(rows))


def _inspection(desk: Desk) -> Sheet:
    rows: list[tuple[Cell, ...]] = [
        (s.number, s.section, s.group, s.step, s.do, s.see, s.expected, None, None, None)
        for s in inspection_of(desk.assessment, desk.bench, desk.walk)
    ]
    columns = _columns(
        "no.", "section", "done together", "step", "do", "see or measure", "expected", "found", "pass", "by"
    )
    return Sheet("inspection", "Final inspection", columns, tuple(rows))


def _quote(desk: Desk) -> Sheet:
    made = quote_of(desk.assessment)
    rows: list[tuple[Cell, ...]] = []
    currency = desk.rig.shop.currency
    if made is not None:
        currency = made.currency
        for group in made.groups:
            rows += [("equipment", group.title, title, count, None) for count, title in group.parts]
            rows += [
                ("does", group.title, f"{name}. {purpose}" if purpose else name, None, None)
                for name, purpose in group.does
            ]
        rows.append(("price", "", "Parts and small material", None, made.parts_cents / 100))
        rows.append(("price", "", desk.words("Labour"), None, made.labour_cents / 100))
        rows += [
            ("option taken" if o.chosen else "option", "", o.title, None, o.price_cents / 100) for o in made.options
        ]
        rows.append(("price", "", "Discount", None, -made.discount_cents / 100))
        rows.append(("price", "", "Total, without tax", None, made.total_cents / 100))
        if made.deposit_cents is not None:
            rows.append(("price", "", "Deposit", None, made.deposit_cents / 100))
    columns = _columns("kind", "group", "what", "quantity", ("amount", currency))
    return Sheet("quote", "Quote", columns, tuple(rows))


PAPER_SHEETS: Mapping[str, Callable[[Desk], Sheet]] = MappingProxyType(
    {
        "quote": _quote, "switches": _switches, "lamps": _lamps, "fuses": _fuses, "loads": load_sheet, "wires": wire_sheet, "bundles": bundle_sheet,
        "supply": supply_sheet, "day": day_sheet, "day-curve": day_curve_sheet, "endurance": endurance_sheet, "harness": _harness, "leads": leads_table, "pins": _pins, "inputs": _inputs,
        "programming": _programming, "warning": warning_sheet, "warning-grid": grid_sheet, "observers": observers_sheet, "areas": areas_sheet, "ground": ground_sheet, "markings": markings_sheet, "axles": _axles, "drill": drill_table, "inspection": _inspection,
    }
)  # fmt: skip
"""The papers as sheets, by name."""
