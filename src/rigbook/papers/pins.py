"""Pin-outs, and the input list."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from rigbook.papers.chapter import Desk, amperes, rating
from rigbook.papers.harness import Cut
from rigbook.papers.pieces import DASH, Piece, column, group, heading, paragraph, small, table
from rigbook.papers.wire_ends import cavity_of
from rigbook.rig.model import InputUse, Module, Rig
from rigbook.switching.plain_words import depends_on, name_of
from rigbook.switching.program import Program, Variable


@dataclass(frozen=True, slots=True)
class Pin:
    """One cavity: what is in it, or that it is plugged. Currents None where there are none."""

    connector: str
    cavity: str
    label: str
    gauge: str
    colour: str
    purpose: str
    direction: str
    active: str
    limit_a: float | None
    expected_a: float | None
    unused: bool


@dataclass(frozen=True, slots=True)
class PinOut:
    """A connector of a device: which, seen from where, and its cavities."""

    device: str
    connector: str
    view: str
    named: bool
    pins: tuple[Pin, ...]


def pin_outs(desk: Desk) -> list[PinOut]:
    """Every connector of every device whose part names one, and of every module."""
    found = []
    seen: set[str] = set()
    for device in desk.rig.devices.values():
        part: Any = desk.rig.parts.get(device.part_id or "")
        if part is None or device.row in seen or device.inside_of is not None:
            continue
        if part.connectors:
            found += [_named(desk, device.id, c) for c in part.connectors]
        elif device.id in desk.rig.modules:
            found.append(_unnamed(desk, desk.rig.modules[device.id]))
        else:
            continue
        seen.add(device.row)
    return found


def _named(desk: Desk, device: str, connector: Any) -> PinOut:
    view = "mating side" if connector.view == "mating" else "wire side"
    mate: Any = desk.rig.parts.get(connector.part or "")
    listed = {str(c.id): c.for_ for c in connector.cavities}
    ids = list(listed)
    if mate is not None:
        ids += [str(n) for n in range(1, mate.cavities + 1) if str(n) not in listed]
    title = f"{connector.id} ({mate.title})" if mate is not None else connector.id
    return PinOut(device, title, view, True, tuple(_pin(desk, device, connector.id, i, listed.get(i, "")) for i in ids))


def _unnamed(desk: Desk, module: Module) -> PinOut:
    """A module whose part names no connector: its terminals by what they carry."""
    what = [
        "power",
        "return",
        *(f"output {n}" for n in range(1, module.outputs + 1)),
        *(f"input {n}" for n in range(1, module.inputs + 1)),
    ]
    pins = tuple(_pin(desk, module.id, "as marked", w, w) for w in what)
    return PinOut(module.id, "terminals as marked on the part", "as marked", False, pins)


def _pin(desk: Desk, device: str, connector: str, cavity: str, carries: str) -> Pin:
    kind, _, number = carries.partition(" ")
    rig = desk.rig
    module = rig.modules.get(device)
    if kind == "output" and module is not None and number.isdigit():
        return _output(desk, module, connector, cavity, int(number))
    if kind == "input" and module is not None and number.isdigit():
        return _input(desk, module, connector, cavity, int(number))
    node = f"{device}:{carries}"
    cut = _at(desk, node) if carries else None
    signal = _signal_lead(desk, node, connector, cavity, carries) if carries and cut is None else None
    if signal is not None:
        return signal
    if cut is None:
        return Pin(connector, cavity, DASH, DASH, DASH, carries or "not used", DASH, DASH, None, None, True)
    way = "out" if carries == "return" else "in"
    active = "ground" if carries == "return" else "battery"
    return Pin(
        connector,
        cavity,
        _label(cut, node),
        str(cut.segment.conductor.gauge),
        cut.colour,
        carries,
        way,
        active,
        cut.fuse_a,
        cut.normal_a,
        False,
    )


def _at(desk: Desk, node: str) -> Cut | None:
    return next((c for c in desk.harness.cuts if node in (c.segment.from_point, c.segment.to_point)), None)


def _label(cut: Cut, node: str) -> str:
    return cut.label.source.text if cut.segment.from_point == node else cut.label.load.text


def _output(desk: Desk, module: Module, connector: str, cavity: str, number: int) -> Pin:
    node = f"{module.id}.{number}"
    cut, circuit = _at(desk, node), desk.rig.circuits.get(node)
    if cut is None or circuit is None:
        return Pin(
            connector, cavity, DASH, DASH, DASH, f"output {number}, spare", "out", DASH, module.limit_a, None, True
        )
    purpose = ", ".join(dict.fromkeys(m.terminal.replace(":", " ") for m in circuit.members))
    active = "battery" if module.side == "high" else "ground"
    limit = circuit.limit_a if circuit.limit_a is not None else module.limit_a
    return Pin(
        connector,
        cavity,
        _label(cut, node),
        str(cut.segment.conductor.gauge),
        cut.colour,
        purpose,
        "out",
        active,
        limit,
        desk.normal("circuit", node),
        False,
    )


def _input(desk: Desk, module: Module, connector: str, cavity: str, number: int) -> Pin:
    used = next((u for u in desk.rig.inputs if u.module_id == module.id and u.input == number), None)
    if used is None:
        return Pin(connector, cavity, DASH, DASH, DASH, f"input {number}, spare", "in", DASH, None, None, True)
    variable = next((v for v in desk.rig.program.variables if v.name == used.subject), None)
    purpose = used.subject + (f" {used.position}" if used.position else "")
    active = active_of(desk, variable)[0] if variable else DASH
    lead = next(c for c in desk.leads if c.lead.id == f"{module.id}.in{number}")
    return Pin(
        connector,
        cavity,
        lead.labels[1],
        str(lead.gauge),
        ", ".join(lead.colours),
        purpose,
        "in",
        active,
        None,
        None,
        False,
    )


def _signal_lead(desk: Desk, node: str, connector: str, cavity: str, carries: str) -> Pin | None:
    """A cavity that a data link, speaker, antenna or sync lead ends in."""
    for cut in desk.leads:
        for end, label in zip((cut.start, cut.end), cut.labels, strict=True):
            if end.node == node or (carries.startswith("data") and end.node == f"{node.partition(':')[0]}:data"):
                gauge = "cable" if cut.gauge is None else str(cut.gauge)
                return Pin(
                    connector, cavity, label, gauge, ", ".join(cut.colours) or DASH, carries, "both", DASH, None, None, False
                )  # fmt: skip
    return None


def pin_chapter(desk: Desk) -> list[Piece]:
    """The chapter: a table with a group for every connector."""
    outs = pin_outs(desk)
    if not outs:
        return [heading("Pin-outs"), paragraph("No part names a connector, and there is no module.")]
    rows: list[Sequence[str] | dict[str, str]] = []
    for out in outs:
        rows.append(
            group(
                f"{out.device}, {out.connector}: seen from the {out.view}"
                if out.named
                else f"{out.device}: {out.connector}"
            )
        )
        rows += [
            [
                p.cavity, p.label, p.gauge, p.colour, p.purpose, p.direction, p.active, rating(p.limit_a), amperes(p.expected_a),
                "plug" if p.unused else "",
            ]
            for p in out.pins
        ]  # fmt: skip
    columns = [
        column("Cavity"), column("Label"), column("Gauge"), column(desk.words("Colour")), column("Purpose", share=1), column("In/out"),
        column("Active"), column("Limit A", number=True), column("Expected A", number=True), column("Unused"),
    ]  # fmt: skip
    return [
        heading("Pin-outs"),
        table(caption="Connectors, cavity by cavity", columns=columns, rows=rows, size=8),
        small(
            "Expected A is the highest average over the saved states. Where the catalogue names no connector, terminals go by what they carry."
        ),
    ]


# --- inputs ---------------------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Input:
    """One signal or wired switch that the program listens to."""

    signal: str
    source: str
    active: str
    volts_true: str
    volts_false: str
    settles_ms: int | None
    if_lost: str
    functions: tuple[str, ...]


def active_of(desk: Desk, variable: Variable) -> tuple[str, str, str]:
    """What makes it true, and what a meter reads true and false: wires by their `active`, else as common practice has it."""
    signals = [*desk.rig.vehicle.signals, *desk.rig.build.switching.signals]
    signal = next((s for s in signals if s.id == variable.name), None)
    active = signal.active if signal is not None else None
    battery, nought = ("above 9 V", "below 2 V") if desk.rig.vehicle.system == "12 V" else ("above 18 V", "below 4 V")
    mark = "" if active else "*"
    if active == "battery":
        return "battery", battery, nought
    return f"ground{mark}", nought + mark, battery + mark


def inputs_of(desk: Desk) -> list[Input]:
    """Signals in the order of the program, then switches that are wired."""
    rig, program = desk.rig, desk.rig.program
    uses: dict[str, list[InputUse]] = {}
    for use in rig.inputs:
        uses.setdefault(use.subject, []).append(use)
    found = []
    for index, v in enumerate(program.variables):
        wired = uses.get(v.name, [])
        if v.kind not in ("signal", "switch") or (v.kind == "switch" and not wired):
            continue
        functions = tuple(f.name for f in program.functions if index in depends_on(program, f.when))
        bus, measured = v.source == "data-bus", bool(v.measures)
        active, true, false = (DASH, DASH, DASH) if bus or measured else active_of(desk, v)
        if measured and v.threshold is not None:
            t = v.threshold
            true, false = f"{t.side} {t.at:g} V for {t.for_ms / 1000:g} s", f"clears at {t.clears:g} V"
        if bus:
            lost = "unknown: see programming sheet"
        elif v.broken_reads is not None:
            lost = f"a broken wire reads {v.values[v.broken_reads]}"
        else:
            lost = f"a broken wire reads {v.values[v.rest]}" if v.kind == "switch" else DASH
        settles = None if bus or measured else v.settles_ms
        found.append(Input(name_of(v), _source(desk, v, wired), active, true, false, settles, lost, functions))
    return found


def _source(desk: Desk, v: Variable, wired: Sequence[InputUse]) -> str:
    if wired:
        return "; ".join(_input_words(desk.rig, u) for u in wired)
    if v.measures:
        return f"measured: {v.measures}"
    if v.source == "data-bus":
        signals = [*desk.rig.vehicle.signals, *desk.rig.build.switching.signals]
        named = next((s.from_ for s in signals if s.id == v.name), None)
        return f"data bus, {named}" if named else "data bus"
    return f"{v.source or 'wire'}, no input named"


def _input_words(rig: Rig, use: InputUse) -> str:
    device = rig.devices.get(use.module_id)
    part: Any = rig.parts.get(device.part_id or "") if device else None
    found = cavity_of(part, f"input {use.input}") if part is not None else None
    where = f"{use.module_id} {found[0].id}, cavity {found[1].id}" if found else f"{use.module_id} input {use.input}"
    return where + (f" ({use.position})" if use.position else "")


def input_chapter(desk: Desk) -> list[Piece]:
    """The input list."""
    found = inputs_of(desk)
    if not found:
        return [heading("Inputs"), paragraph("The program listens to no signal and no wired switch.")]
    rows = [
        [
            i.signal,
            i.source,
            i.active,
            i.volts_true,
            i.volts_false,
            DASH if i.settles_ms is None else str(i.settles_ms),
            i.if_lost,
            "; ".join(i.functions) or "none",
            "",
            "",
        ]
        for i in found
    ]
    columns = [
        column("Signal"), column("Source"), column("Active"), column("True"), column("False"), column("Settle ms", number=True), column("If lost"),
        column("Functions that use it", share=1.2), column("Verified how", least_mm=20), column("Result", least_mm=16),
    ]  # fmt: skip
    return [
        heading("Inputs"),
        table(caption="Signals and wired switches", columns=columns, rows=rows, size=7.5, form=True),
        small(
            "* Not stated in the text: ground active and these voltages are common practice, no source. Measure them on the vehicle."
        ),
    ]


def switched_functions(program: Program, index: int) -> list[str]:
    """Names of the functions that depend on a variable."""
    return [f.name for f in program.functions if index in depends_on(program, f.when)]
