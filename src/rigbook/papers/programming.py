"""The programming sheet: what must be entered into the controllers, per output, in plain words.

Outputs that do exactly the same share one decision list. A list is shortened where that changes nothing: entries at its
end that leave the output off are left out when it rests off.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from rigbook.papers.chapter import Desk, rating
from rigbook.papers.drawings import drawing_pieces
from rigbook.papers.pieces import DASH, Piece, caution, column, facts, group, heading, paragraph, small, table
from rigbook.rig.model import Module
from rigbook.switching.plain_words import name_of, value_of, words_of
from rigbook.switching.program import Content, Device, Program, Timeline, Variable
from rigbook.switching.timeline import is_steady, normal, shifted

OFF = "off"


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a decision list: the first that holds decides."""

    when: str
    does: str
    intensity: str
    phase_ms: int | None
    function: str
    if_lost: str


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


def decision_lines(desk: Desk, device: Device, channel: str) -> tuple[tuple[Line, ...], str]:
    """The decision list of one colour or state, and what it does at rest; entries that change nothing left out."""
    program = desk.rig.program
    rest = channel_words(desk, program.contents[device.rest], channel)
    lines = []
    for entry in device.entries:
        function = program.functions[entry.function]
        does, intensity, phase = OFF, DASH, None
        if entry.kind != "cut":
            does, intensity, phase = channel_words(desk, program.contents[entry.content], channel)
        else:
            does, intensity, phase = rest
        lines.append(
            Line(
                words_of(program, function.when),
                does,
                intensity,
                phase,
                function.name,
                "on" if function.if_unknown else OFF,
            )
        )
    while lines and (lines[-1].does, lines[-1].intensity, lines[-1].phase_ms) == rest and lines[-1].if_lost == OFF:
        lines.pop()
    return tuple(lines), rest[0]


def channel_words(desk: Desk, content: Content, channel: str) -> tuple[str, str, int | None]:
    """What a content does with one colour or state: in words, its intensity, and where its pattern starts."""
    if content.commanded:
        return "as the vehicle commands", DASH, None
    if content.state is not None:
        return ("on" if content.state == channel else OFF), DASH, None
    timeline = dict(content.channels).get(channel)
    if timeline is None or not timeline.spans:
        return OFF, DASH, None
    most = max(s.intensity_from for s in timeline.spans)
    name, phase = pattern_of(desk, timeline)
    return name, f"{most * 100:g} %" + (", undimmed" if content.undimmed else ""), phase


def pattern_of(desk: Desk, timeline: Timeline) -> tuple[str, int | None]:
    """The shop's or build's name of a timeline with its start in ms; instants where no pattern gives it."""
    if is_steady(timeline):
        return "steady-burning", None
    most = max(s.intensity_from for s in timeline.spans)
    for name, times in {**desk.rig.shop.patterns, **desk.rig.build.switching.patterns}.items():
        if sum(times) != timeline.period_ms:
            continue
        plain = _of_times(list(times), most)
        for span in timeline.spans:
            if shifted(plain, Fraction(span.start_ms, timeline.period_ms)) == timeline:
                return f"pattern {name}: {_times_words(times)}", span.start_ms
    lit = ", ".join(f"{s.start_ms} to {s.end_ms}" for s in timeline.spans)
    return f"lit from {lit} of every {timeline.period_ms} ms", timeline.spans[0].start_ms


def _of_times(times: list[int], level: float) -> Timeline:
    from rigbook.switching.program import Span

    at, spans = 0, []
    for on, off in zip(times[::2], times[1::2], strict=True):
        spans.append(Span(at, at + on, level, level))
        at += on + off
    return normal(at, spans)


def _times_words(times: Sequence[int]) -> str:
    return ", ".join(f"{on} on {off} off" for on, off in zip(times[::2], times[1::2], strict=True)) + " ms"


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
            ]
        ),
        paragraph(
            "For each output the first line that holds decides; where none holds, it does what stands under at rest. "
            "If a signal is lost and leaves a line unknown, the line does what stands under if lost. Phase is when the pattern starts on the controller's clock."
        ),
    ]
    for module in rig.modules.values():
        found += _module(desk, module)
    found += _names(desk) + _memories(desk) + _timers(desk) + _heads(desk)
    found += [heading("Patterns and timing", level=2), *drawing_pieces("timing", rig, desk.report)]
    return found


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


def _names(desk: Desk) -> list[Piece]:
    program = desk.rig.program
    if not program.conditions:
        return []
    rows = [[name.replace("_", " "), words_of(program, e)] for name, e in program.conditions]
    return [
        table(
            caption="Conditions by name",
            columns=[column("Condition"), column("Holds when", share=1)],
            rows=rows,
            size=8,
        )
    ]


def _memories(desk: Desk) -> list[Piece]:
    program = desk.rig.program
    rows = []
    for v in program.variables:
        if v.kind != "memory":
            continue
        if v.stepping:
            steps = (
                f"steps {', '.join(v.values)}; next on {words_of(program, v.next_on)}"
                if v.next_on is not None
                else ", ".join(v.values)
            )
            cleared = words_of(program, v.first_when) if v.first_when is not None else DASH
            rows.append([name_of(v), steps, f"back to {v.values[0]} while {cleared}", v.values[v.rest]])
        else:
            sets = words_of(program, v.set_when) if v.set_when is not None else DASH
            clears = words_of(program, v.clear_when) if v.clear_when is not None else DASH
            rows.append([name_of(v), f"set when {sets}", f"cleared when {clears}; clear wins", v.values[v.rest]])
    if not rows:
        return []
    columns = [column("Memory"), column("Set", share=1), column("Cleared", share=1), column("At start")]
    return [table(caption="Memories", columns=columns, rows=rows, size=8)]


def _timers(desk: Desk) -> list[Piece]:
    program = desk.rig.program
    rows = []
    for v in program.variables:
        if v.kind == "timer":
            rows.append(
                [
                    name_of(v),
                    v.timer_kind.replace("_", "-"),
                    words_of(program, v.condition) if v.condition is not None else DASH,
                    f"{v.for_ms / 1000:g}",
                    _more(v),
                ]
            )
    if not rows:
        return []
    columns = [
        column("Timer"),
        column("Kind"),
        column("Of", share=1),
        column("For s", number=True),
        column("More", share=0.6),
    ]
    return [table(caption="Timers", columns=columns, rows=rows, size=8)]


def _more(v: Variable) -> str:
    words = []
    if v.at_most_ms is not None:
        words.append(f"at most {v.at_most_ms / 1000:g} s")
    if v.again_after_ms:
        words.append(f"not again within {v.again_after_ms / 1000:g} s")
    return "; ".join(words) or DASH


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
