"""Lines of decision lists in plain words, as few and as short as a proof allows.

For each colour or state of a device the functions that name it form a list: the first line that holds decides. Lines
that never decide, and parts of conditions that make no difference in any reachable state, whatever signal is lost, are
left out (`rigbook.proofs.minimise`). Where no solver is installed the lists stand as the program has them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from importlib.util import find_spec
from typing import TYPE_CHECKING

from rigbook.papers.pieces import DASH
from rigbook.proofs.minimise import Line as ProvedLine
from rigbook.proofs.minimise import atoms, lines_of
from rigbook.proofs.reading import losable, variables_of
from rigbook.switching.plain_words import words_of
from rigbook.switching.program import Content, Device, Timeline
from rigbook.switching.timeline import is_steady, normal, shifted

if TYPE_CHECKING:
    from rigbook.papers.chapter import Desk
    from rigbook.proofs.symbolic import Solver

OFF = "off"
Does = tuple[str, str, int | None, bool]
"""What a line does: in words, its intensity, where its pattern starts, and whether dims touch it."""


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a decision list: the first that holds decides."""

    when: str
    does: str
    intensity: str
    phase_ms: int | None
    function: str
    if_lost: str
    functions: tuple[int, ...] = ()
    if_unknown: bool = False


class Lists:
    """The lists of one build: each distinct one proved once. Counts lines and conditions before and after."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self._solver: Solver | None = None
        if find_spec("pysat") is not None:
            from rigbook.proofs.symbolic import Solver as Engine

            self._solver = Engine(desk.rig.program)
        self.proved = self._solver is not None
        self._known: dict[tuple[tuple[tuple[int, Does], ...], Does], tuple[ProvedLine, ...]] = {}

    def of(self, device: Device, channel: str) -> tuple[tuple[ProvedLine, ...], Does]:
        """The list of a colour or state, and what it does at rest."""
        program = self._desk.rig.program
        rest = (*channel_words(self._desk, program.contents[device.rest], channel), False)
        entries = []
        for entry in device.entries:
            content = program.contents[entry.content]
            does = (
                rest
                if entry.kind == "cut"
                else (*channel_words(self._desk, content, channel), _dims(device, entry.kind, content))
            )
            entries.append((entry.function, OFF_DOES if does[0] == OFF else does))
        rest = OFF_DOES if rest[0] == OFF else rest
        key = (tuple(entries), rest)
        if key not in self._known:
            lines = lines_of(program, entries)
            if self._solver is not None:
                from rigbook.proofs.minimise import minimal

                lines = minimal(self._solver, lines, rest)
            self._known[key] = lines
        return self._known[key], rest

    def spared(self) -> tuple[int, int, int, int]:
        """Lines and conditions of all distinct lists asked for: as the program has them, and as they stand."""
        program = self._desk.rig.program
        before = [line for entries, _rest in self._known for line in lines_of(program, entries)]
        after = [line for lines in self._known.values() for line in lines]
        return len(before), len(after), sum(atoms(x.when) for x in before), sum(atoms(x.when) for x in after)


OFF_DOES: Does = (OFF, DASH, None, False)


def _dims(device: Device, kind: str, content: Content) -> bool:
    return bool(device.dims) and kind == "show" and not content.undimmed


def decision_lines(desk: Desk, device: Device, channel: str) -> tuple[tuple[Line, ...], str]:
    """The decision list of one colour or state, and what it does at rest."""
    program = desk.rig.program
    found, rest = desk.lists.of(device, channel)
    can_be_lost = frozenset(losable(program))
    lines = []
    for line in found:
        does = line.does
        assert isinstance(does, tuple)
        words, intensity, phase_ms, _dimmed = does
        lost = "on" if line.if_unknown else OFF
        lines.append(
            Line(
                words_of(program, line.when),
                words,
                intensity,
                phase_ms,
                "; ".join(program.functions[f].name for f in line.functions),
                lost if variables_of(program, line.when) & can_be_lost else DASH,
                line.functions,
                line.if_unknown,
            )
        )
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
