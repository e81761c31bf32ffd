"""The programming sheet: what must be entered into the controllers, per output, in plain words.

Outputs that do exactly the same share one decision list, in as few lines as a proof allows (`program_lines`).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from rigbook.papers.chapter import Desk, rating
from rigbook.papers.drawings import drawing_pieces
from rigbook.papers.pieces import DASH, Piece, caution, column, facts, group, heading, paragraph, small, table
from rigbook.papers.program_lines import Line, decision_lines
from rigbook.papers.program_names import named_pieces
from rigbook.rig.model import Module
from rigbook.switching.plain_words import value_of, words_of
from rigbook.switching.program import Device, Program


@dataclass(frozen=True, slots=True)
class OutputSheet:
    """One output: what it carries and its decision list. `run_on_ms` is the longest off-delay it listens to."""

    id: str
    name: str
    limit_a: float | None
    clock: str
    sheds: str
    run_on_ms: int | None
    lines: tuple[Line, ...]
    rest: str
    dims: tuple[str, ...]


def outputs_of(desk: Desk, module: Module) -> list[OutputSheet]:
    """Every output of a module that carries something."""
    index = {d.id: i for i, d in enumerate(desk.rig.program.devices)}
    found = []
    for number in range(1, module.outputs + 1):
        circuit = desk.rig.circuits.get(f"{module.id}.{number}")
        if circuit is None:
            continue
        channels = []
        for member in circuit.members:
            pairs = member.draws or ((member.device_id, member.terminal.partition(":")[2].partition("/")[0]),)
            channels += [p for p in pairs if p[0] in index]
        if not channels:
            names = ", ".join(dict.fromkeys(m.device_id for m in circuit.members))
            found.append(
                OutputSheet(
                    circuit.id, names, circuit.limit_a, module.clock, DASH, None, (), "no function names it", ()
                )
            )
            continue
        device_id, channel = channels[0]
        device = desk.rig.program.devices[index[device_id]]
        lines, rest = decision_lines(desk, device, channel)
        name = ", ".join(f"{d} {c}" for d, c in dict.fromkeys(channels))
        feed = desk.rig.feeds.get(circuit.feed_id or "")
        sheds = DASH if feed is None else "never" if feed.sheds is None else f"step {feed.sheds}"
        dims = tuple(
            f"{desk.rig.program.functions[d.function].name}: to {d.to * 100:g} %, when {words_of(desk.rig.program, desk.rig.program.functions[d.function].when)}"
            for d in device.dims
        )
        limit = circuit.limit_a if circuit.limit_a is not None else module.limit_a
        found.append(
            OutputSheet(
                circuit.id, name, limit, device.clock, sheds, _run_on(desk.rig.program, device), lines, rest, dims
            )
        )
    return found


def _run_on(program: Program, device: Device) -> int | None:
    from rigbook.switching.plain_words import depends_on

    about = {v for e in device.entries for v in depends_on(program, program.functions[e.function].when)}
    delays = [program.variables[v].for_ms for v in about if program.variables[v].timer_kind == "off_delay"]
    return max(delays) if delays else None


# --- as a chapter -----------------------------------------------------------------------------------------------------------------


def pieces(desk: Desk) -> list[Piece]:
    """The chapter: controllers, outputs, conditions, memories, timers, sequences, patterns, self-flashing heads."""
    rig, program = desk.rig, desk.rig.program
    if not rig.modules and not program.functions:
        return [heading("Programming sheet"), paragraph("There is no controller and no function.")]
    modules: list[Piece] = []
    for module in rig.modules.values():
        modules += _module(desk, module)
    found: list[Piece] = [
        heading("Programming sheet"),
        caution(
            "No output may drive engine, transmission, brakes, steering or restraints. High idle and locks are requests to the vehicle maker's own module with its own interlock."
        ),
        facts(
            [
                ("Checksum of the program", desk.program_digest[:16]),
                (
                    "How it is made",
                    "SHA-256 of the program as JSON, first 16 digits; put it on the vehicle beside the controller.",
                ),
                ("Lines", _spared(desk)),
            ]
        ),
        paragraph(
            "Enter the names first (signals, switches, conditions, memories, timers), then the outputs, and prove the whole by the walk of the final inspection."
        ),
        *named_pieces(desk),
        heading("Outputs", level=2),
        paragraph(
            "For each output the first line that holds decides; where none holds, it does what stands under at rest. "
            "What a line does lasts as long as the line decides. Phase is when the pattern starts, counted from the beat that all outputs of one clock share. "
            "If a signal is lost, a line that could be either way does what stands under if lost; a dash: its conditions cannot be lost. "
            "Dimmed: while the condition holds, the intensity is brought down to that figure; of several the lowest counts, and what stands undimmed stays."
        ),
        *modules,
        *_heads(desk),
        heading("Patterns and timing", level=2),
        *drawing_pieces("timing", rig, desk.report),
    ]
    return found


def _spared(desk: Desk) -> str:
    """How far the lists were shortened, and what stands behind it."""
    before, after, longer, shorter = desk.lists.spared()
    if not desk.lists.proved:
        return f"{after} lines as the program has them; they were not shortened, for no solver is installed."
    return (
        f"{after} lines with {shorter} conditions, where the program has {before} with {longer}. Each list was proved to do the same in every "
        "state that can be reached, whatever signals are lost. The proof counts on the switches letting go as listed below: enter that too."
    )


def _module(desk: Desk, module: Module) -> list[Piece]:
    rig = desk.rig
    part = rig.parts[module.part_id]
    device = rig.devices[module.id]
    link = (
        f"port {device.port} of {module.controller}"
        if module.controller and device.port
        else module.controller or "the controller itself"
    )
    sheets = outputs_of(desk, module)
    groups: dict[tuple[object, ...], list[OutputSheet]] = {}
    for one in sheets:
        groups.setdefault((one.lines, one.rest, one.dims, one.clock, one.sheds, one.limit_a, one.run_on_ms), []).append(
            one
        )
    head = facts(
        [
            ("Part", part.title), ("Serial", device.serial or "to be entered"), ("Firmware", "to be entered when programmed"), ("Link", link),
            ("Outputs", f"{len(sheets)} of {module.outputs} used, {rating(module.limit_a)} A each, {module.side} side"),
        ]
    )  # fmt: skip
    rows: list[Sequence[str] | dict[str, str]] = []
    for same in groups.values():
        first = same[0]
        run_on = f"; run-on {first.run_on_ms / 1000:g} s" if first.run_on_ms else ""
        what = ", ".join(f"{s.id.rpartition('.')[2]}: {s.name}" for s in same)
        rows.append(
            group(f"Output {what}; limit {rating(first.limit_a)} A; clock {first.clock}; sheds {first.sheds}{run_on}")
        )
        for number, line in enumerate(first.lines, 1):
            phase = DASH if line.phase_ms is None else str(line.phase_ms)
            rows.append([str(number), line.when, line.does, line.intensity, phase, line.if_lost, line.function])
        rows.append(["", "at rest", first.rest, DASH, DASH, DASH, ""])
        rows += [["", "dimmed", d, DASH, DASH, DASH, ""] for d in first.dims]
    if not sheets:
        return [heading(f"Controller {module.id}", level=2), head, paragraph("No output is used.")]
    columns = [
        column("No.", number=True), column("When", share=1.2), column("Does", share=1), column("Intensity"), column("Phase ms", number=True),
        column("If lost"), column("Function", share=0.7),
    ]  # fmt: skip
    return [
        heading(f"Controller {module.id}", level=2),
        head,
        table(caption=f"Outputs of {module.id}", columns=columns, rows=rows, size=7.5),
    ]


def _heads(desk: Desk) -> list[Piece]:
    """Self-flashing heads, to be set and verified one by one."""
    heads = [d for d in desk.rig.devices.values() if d.driven == "self-flashing"]
    if not heads:
        return [small("There is no self-flashing head in this build: every pattern is the controller's.")]
    sync = {row.id: row.sync for row in desk.rig.build.install}
    rows = [[d.id, "", "", sync.get(d.row) or "none", ""] for d in heads]
    columns = [
        column("Head"),
        column("Pattern no.", least_mm=24),
        column("Phase", least_mm=24),
        column("Sync lead joined to group"),
        column("Verified", least_mm=30),
    ]
    return [table(caption="Self-flashing heads", columns=columns, rows=rows, form=True)]


def standing(program: Program, state: tuple[int, ...]) -> str:
    """Values off rest in words."""
    return (
        ", ".join(value_of(v, state[i]) for i, v in enumerate(program.variables) if state[i] != v.rest)
        or "everything at rest"
    )
