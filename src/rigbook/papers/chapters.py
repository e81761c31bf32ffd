"""The chapters of the build book, first edition: what is fitted, what it does, what feeds it, what it weighs."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from rigbook.documents.schema.build import Install
from rigbook.documents.schema.switching import ColourShow, Function, Show
from rigbook.papers.chapter import Desk
from rigbook.papers.pieces import DASH, Piece, caution, column, heading, paragraph, small, table
from rigbook.papers.spelling import spelled
from rigbook.quantities.show import UnitSystem, convert, format_number, format_quantity
from rigbook.rig.model import Rig

CAUTIONS = (
    "Every figure in this book is worked out from the text of the build as entered. Measure the vehicle in front of you before you cut, drill or order.",
    "Check local law, the current edition of every standard and the vehicle maker's upfit guide. Colours, modes and sirens need the authority of the place where the vehicle works.",
    "Disconnect every battery at its negative post before wiring. A conductor between two banks is live from both ends.",
    "Keep clear of air bags, their sensors and their sweep; of fuel, brake and high-voltage lines; of radar and cameras. A part in front of a radar or camera calls for its recalibration.",
    "Flashing light can set off seizures in photosensitive people, and a siren harms hearing: say so before testing, and wear hearing protection.",
    "High voltage, braking, steering and restraint systems are for people licensed to work on them.",
)


def cautions(rig: Rig) -> list[Piece]:
    """The cautions page."""
    return [heading("Cautions"), *(caution(spelled(words, rig.shop.units)) for words in CAUTIONS)]


# --- findings --------------------------------------------------------------------------------------------------------


def findings(report: Mapping[str, Any]) -> list[Piece]:
    """What was found, worst first, with rule, place in the text and mark."""
    found = report["findings"]
    pieces = [heading("Findings")]
    if not found:
        return [*pieces, paragraph("Nothing was found. That says what was looked at was in order, no more.")]
    rows = [[f["severity"], f["says"], _place(f), _mark(f)] for f in found]
    columns = [column("Severity"), column("Finding", share=1), column("Text"), column("Mark")]
    return [*pieces, table(caption="Findings, worst first", columns=columns, rows=rows)]


def _place(finding: Mapping[str, Any]) -> str:
    if not finding["file"]:
        return DASH
    return f"{finding['file']}:{finding['line']}" if finding["line"] else str(finding["file"])


def _mark(finding: Mapping[str, Any]) -> str:
    return {"published": "published", "common practice": "common practice", "memory": "from memory"}.get(
        finding["sourced"] or "", DASH
    )


# --- circuits of a row -------------------------------------------------------------------------------------------------


def circuit_ranges(rig: Rig, row: Install) -> str:
    """Circuits of an installed row, neighbouring outputs as one range."""
    own = {d.id for d in rig.devices.values() if d.row == row.id}
    found = [c.id for c in rig.circuits.values() if any(m.device_id in own for m in c.members)]
    return ", ".join(_ranges(found)) or DASH


def _ranges(ids: Sequence[str]) -> list[str]:
    """Neighbouring outputs of one module as one range: control.1, control.2, control.3 is control.1–3."""
    runs: list[tuple[str, int | None, int | None]] = []
    for name in ids:
        stem, _, tail = name.rpartition(".")
        number = int(tail) if stem and tail.isdigit() else None
        if runs and number is not None and runs[-1][0] == stem and runs[-1][2] == number - 1:
            runs[-1] = (stem, runs[-1][1], number)
        else:
            runs.append((stem, number, number) if number is not None else (name, None, None))
    return [s if a is None else f"{s}.{a}" if a == b else f"{s}.{a}–{b}" for s, a, b in runs]


# --- functions -------------------------------------------------------------------------------------------------------


def functions(rig: Rig) -> list[Piece]:
    """The function table: what each function does and when, most important rank first."""
    switching = rig.build.switching
    order = {rank: i for i, rank in enumerate(switching.ranks)}
    rows = []
    for function in sorted(switching.functions, key=lambda f: -order.get(str(f.rank), 0)):
        name = f"{function.name}\n{function.purpose}" if function.purpose else function.name
        rows.append([name, str(function.rank), str(function.when), _does(function), function.if_unknown])
    if not rows:
        return [heading("Functions"), paragraph("No function is written.")]
    columns = [
        column("Function, and what it is for", share=1.1),
        column("Rank"),
        column("Holds when", share=1.1),
        column("Does", share=1.4),
        column("Signal lost"),
    ]
    named = [[name, str(text)] for name, text in switching.conditions.items()]
    pieces = [
        heading("Functions"),
        paragraph(
            "Of the functions that name a device, the one of the highest rank that holds decides it whole; inside a rank the later one."
        ),
        table(caption="Functions, most important rank first", columns=columns, rows=rows),
    ]
    if named:
        pieces.append(
            table(
                caption="Conditions the functions speak of",
                columns=[column("Condition"), column("Holds when", share=1)],
                rows=named,
            )
        )
    return pieces


def _does(function: Function) -> str:
    parts = [_shows(s) for s in function.show]
    parts += [f"{d.device} to {d.state}" for d in function.drive]
    parts += [f"dims {_selector(d.lamps)} to {format_number(d.to * 100)} %" for d in function.dim]
    if function.cut is not None:
        parts.append(f"at rest: {_selector(function.cut)}")
    return "; ".join(parts) or DASH


def _selector(selector: Any) -> str:
    return ", ".join(str(s) for s in selector) if isinstance(selector, list) else str(selector)


def _shows(show: Show) -> str:
    if show.colours:
        shown = " and ".join(f"{name} {_how(c)}" for name, c in show.colours.items())
    else:
        shown = f"{show.colour} {_how(show)}"
    return f"{_selector(show.lamps)}: {shown}"


def _how(show: Show | ColourShow) -> str:
    if show.sequence:
        how = f"{show.sequence.kind} {show.sequence.order.replace('-', ' ')}"
    elif show.pattern:
        how = f"pattern {show.pattern}"
    else:
        how = "steady-burning"
    return how + (f" at {format_number(show.intensity * 100)} %" if show.intensity is not None else "")


# --- circuits --------------------------------------------------------------------------------------------------------


def circuits(desk: Desk) -> list[Piece]:
    """Every circuit with its conductor, fuse, worst currents and drop, each with its mark."""
    rig, found = desk.rig, desk.report["power"]["circuits"]
    if not found:
        return [heading("Circuits"), paragraph("No circuit was worked out.")]
    rows = []
    for c in found:
        devices = ", ".join(dict.fromkeys(_row_of(rig, d["id"]) for d in c["devices"]))
        rows.append(
            [
                c["id"],
                devices or DASH,
                c["conductor"] or DASH,
                _amperes(c["fuse_a"], 1) + (desk.fuse_mark(c["id"]) if c["fuse_a"] is not None else ""),
                _amperes(c["worst_average_a"]),
                _amperes(c["ampacity_a"], 1) + desk.mark(f"power.circuits[{c['id']}].ampacity_a", c["ampacity_a"]),
                _volts(c["drop_v"]) + desk.mark(f"power.circuits[{c['id']}].drop_v", c["drop_v"]),
            ]
        )
    columns = [
        column("Circuit"),
        column("Feeds", share=1),
        column("Wire"),
        column("Fuse A", number=True),
        column("Worst average A", number=True),
        column("Ampacity A", number=True),
        column("Drop V", number=True),
    ]
    return [
        heading("Circuits"),
        table(caption="Circuits, currents and drops", columns=columns, rows=rows),
        small(
            "A dash under Fuse stands for an electronic output, which limits by itself; elsewhere it stands for what was not worked out."
        ),
        *_spared(desk),
    ]


def _spared(desk: Desk) -> list[Piece]:
    """What the exact worst cases spare beside the name-plate sums, where that is a size of fuse or wire."""
    power = desk.assessment.power
    saved = None if power is None else power.saved
    if saved is None:
        return []
    rows = [
        [row.id, _amperes(row.spared_a), _apart(row.fuse_by_nameplate_a, row.fuse_by_worst_a), _apart(row.wire_by_nameplate, row.wire_by_worst)]
        for row in saved.on
        if row.fuse_by_nameplate_a != row.fuse_by_worst_a or row.wire_by_nameplate != row.wire_by_worst
    ]  # fmt: skip
    words = (
        f"Wires and fuses left open are chosen by the greatest currents of every reachable state. At its peak every reachable "
        f"state draws at least {saved.spared_a:.1f} A less than the name-plate sum of all; against sizes by name-plate sums, {saved.fuse_sizes} sizes of fuses, "
        f"{saved.wire_sizes} sizes of wires and {saved.modules} modules are spared, drop and sizes set by hand aside."
    )
    columns = [
        column("Circuit or feed", share=1),
        column("Spared A", number=True),
        column("Fuse A, by name-plate and by worst RMS*"),
        column("Wire, by name-plate and by worst RMS*"),
    ]
    made = [heading("Worst cases beside name-plate sums", level=2), paragraph(words)]
    if rows:
        made.append(table(caption="Sizes that the worst cases spare", columns=columns, rows=rows))
    return made


def _apart(larger: float | str | None, smaller: float | str | None) -> str:
    if larger is None or smaller is None:
        return DASH
    texts = [f"{size:g}" if isinstance(size, float) else size for size in (larger, smaller)]
    return texts[0] if texts[0] == texts[1] else f"{texts[0]}, {texts[1]}"


def _row_of(rig: Rig, device_id: str) -> str:
    device = rig.devices.get(device_id)
    return device.row if device else device_id


def _amperes(value: float | None, decimals: int = 2) -> str:
    return DASH if value is None else f"{value:.{decimals}f}"


def _volts(value: float | None) -> str:
    return DASH if value is None else f"{value:.3f}"


# --- weights ---------------------------------------------------------------------------------------------------------


def weights(rig: Rig, report: Mapping[str, Any]) -> list[Piece]:
    """Axles, whole, balance and centre of gravity, beside room for what the scales say."""
    body, units = report["body"], rig.shop.units
    unit = "lb" if units == "us" else "kg"

    def mass(kg: float | None) -> str:
        return DASH if kg is None else f"{convert(kg, 'mass', unit):.0f}"

    if body["mass_kg"] is None:
        return [heading("Weights"), paragraph("Weights were not worked out.")]
    rows = [[a["id"], mass(a["load_kg"]), mass(a["rating_kg"]), mass(a["margin_kg"]), ""] for a in body["axles"]]
    rating = rig.vehicle.ratings.gvwr
    rows.append(["whole", mass(body["mass_kg"]), mass(rating), mass(body["payload_remaining_kg"]), ""])
    columns = [
        column("Axle", share=1),
        column(f"Worked out {unit}", number=True),
        column(f"Rating {unit}", number=True),
        column(f"Margin {unit}", number=True),
        column(f"Weighed {unit}", share=0.7),
    ]
    left = DASH if body["left_share"] is None else f"{body['left_share'] * 100:.1f} %"
    return [
        heading("Weights"),
        table(caption="Axle loads with crew, kit and fuel as entered", columns=columns, rows=rows),
        small(
            f"{spelled('Centre of gravity', units)}: {_gravity(body['cg'], units)}. Share on the left wheels: {left}."
        ),
        small("Weigh the finished vehicle on scales; this sheet does not replace that."),
    ]


def _gravity(cg: Mapping[str, Any], units: UnitSystem) -> str:
    if None in (cg["x_m"], cg["y_m"], cg["z_m"]):
        return DASH
    side = "right" if cg["y_m"] >= 0 else "left"
    x, y, z = (format_quantity(v, "length", units, digits=3) for v in (cg["x_m"], abs(cg["y_m"]), cg["z_m"]))
    return f"{x} behind the front axle, {y} to the {side} of the middle, {z} above the ground"
