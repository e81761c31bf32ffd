"""From functions to decision lists: what each function does to which device."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from rigbook.documents.schema.base import Placed, Where
from rigbook.documents.schema.switching import ColourShow, Drive, Function, Show
from rigbook.documents.schema.switching import Sequence as SequenceRecord
from rigbook.switching.declare import whole_ms
from rigbook.switching.language import nearest
from rigbook.switching.patterns import SHIPPED, pattern_timeline, pattern_trouble, sequence_ranks, sequence_timeline
from rigbook.switching.program import Content, DimEntry, Entry, Timeline
from rigbook.switching.selectors import Selectors
from rigbook.switching.timeline import shifted, steady
from rigbook.switching.trouble import Trouble

DARK_CONTENT = 0


@dataclass
class Contents:
    """All contents, each once; number 0 is dark or off."""

    items: list[Content] = field(default_factory=lambda: [Content()])
    index: dict[Content, int] = field(default_factory=lambda: {Content(): 0})

    def number(self, content: Content) -> int:
        """The index of a content, entered if new."""
        at = self.index.get(content)
        if at is None:
            at = self.index[content] = len(self.items)
            self.items.append(content)
        return at


def read_patterns(
    shop: Mapping[str, Sequence[int]], own: Mapping[str, Sequence[int]], where: Where, trouble: Trouble
) -> dict[str, tuple[int, ...]]:
    """Shipped patterns, over them the shop's, over them the build's; a bad one is an error."""
    found = dict(SHIPPED)
    for name, times in [*shop.items(), *own.items()]:
        wrong = pattern_trouble(times)
        if wrong:
            trouble.at(where, f"pattern {name}: {wrong}", found=str(list(times)))
        else:
            found[name] = tuple(times)
    return found


@dataclass
class ListBuilder:
    """Gathers entries and dims of all devices, function by function."""

    selectors: Selectors
    patterns: Mapping[str, tuple[int, ...]]
    rest: Sequence[int]
    contents: Contents
    trouble: Trouble
    entries: list[list[Entry]] = field(default_factory=list)
    dims: list[list[DimEntry]] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.entries = [[] for _ in self.selectors.devices]
        self.dims = [[] for _ in self.selectors.devices]

    def add(self, number: int, function: Function) -> None:
        """Enter everything a function does."""
        named: dict[int, Where] = {}

        def take(devices: Sequence[int], where: Where) -> list[int]:
            fresh = []
            for device in devices:
                if device in named:
                    name = self.selectors.devices[device].id
                    self.trouble.at(where, f"the function {function.name} names {name} twice", found=name)
                else:
                    named[device] = where
                    fresh.append(device)
            return fresh

        for show in function.show:
            taken = self._show(function, show)
            for device in take(sorted(taken), show.where):
                self.entries[device].append(Entry(number, "show", self.contents.number(taken[device])))
        for drive in function.drive:
            driven = self._drive(drive)
            for device in take(sorted(driven), drive.where):
                self.entries[device].append(Entry(number, "drive", self.contents.number(driven[device])))
        if function.cut is not None:
            selected = self.selectors.read_all(function.cut, self.trouble) or frozenset()
            for device in take(sorted(selected), function.where_of("cut")):
                self.entries[device].append(Entry(number, "cut", self.rest[device]))
        for dim in function.dim:
            dimmed = self.selectors.read_all(dim.lamps, self.trouble)
            lamps = [i for i in sorted(dimmed or ()) if self.selectors.devices[i].colours]
            if dimmed is not None and not lamps:
                self.trouble.at(dim.where_of("lamps"), "dim selects no lamp", found=str(dim.lamps))
            if not 0 < dim.to <= 1:
                self.trouble.at(
                    dim.where_of("to"), "intensity lies above 0 and up to 100 %", found=f"{dim.to * 100:g} %"
                )
            for device in take(lamps, dim.where):
                self.dims[device].append(DimEntry(number, dim.to))

    # -- drive

    def _drive(self, drive: Drive) -> dict[int, Content]:
        selected = self.selectors.read(drive.device, self.trouble) or frozenset()
        found: dict[int, Content] = {}
        for index in sorted(selected):
            device = self.selectors.devices[index]
            states = states_of(device.kind, device.states)
            if device.kind in ("lamp", "factory-lamp"):
                self.trouble.at(
                    drive.device.where, f"{device.id} is a lamp: lamps are shown, not driven", found=device.id
                )
            elif drive.state.text not in states:
                says = f"{device.id} has no state {drive.state.text}"
                says += f"; it has {', '.join(states)}" if states else " nor any other"
                self.trouble.at(
                    drive.state.where,
                    says,
                    found=drive.state.text,
                    expected=", ".join(states),
                    nearest=nearest(drive.state.text, states),
                )
            else:
                found[index] = Content(state=drive.state.text)
        return found

    # -- show

    def _show(self, function: Function, show: Show) -> dict[int, Content]:
        shown = self._colours(show)
        selected = self.selectors.read_all(show.lamps, self.trouble)
        if selected is None or not shown:
            return {}
        where = show.where_of("lamps")
        taken = [i for i in sorted(selected) if any(c in self.selectors.devices[i].colours for c in shown)]
        names = " or ".join(shown)
        if not taken:
            known = sorted({c for d in self.selectors.devices for c in d.colours})
            near = "" if shown.keys() & set(known) else nearest(next(iter(shown)), known)
            self.trouble.at(
                where, f"no lamp selected has {names}", found=names, expected=", ".join(known), nearest=near
            )
            return {}
        lacking = [self.selectors.devices[i].id for i in sorted(selected) if i not in taken]
        if lacking:
            says = f"{function.name}: {', '.join(lacking)} {'has' if len(lacking) == 1 else 'have'} no {names} and stay as they are"
            self.trouble.note(where, says, function.name)
        self._absent_colours(function, show, shown, taken)
        channels: dict[int, list[tuple[str, Timeline]]] = {i: [] for i in taken}
        for colour, part in shown.items():
            able = [i for i in taken if colour in self.selectors.devices[i].colours]
            for index, timeline in self._timelines(part, able).items():
                channels[index].append((colour, timeline))
        return {i: Content(channels=tuple(found), undimmed=show.undimmed) for i, found in channels.items()}

    def _absent_colours(
        self, function: Function, show: Show, shown: Mapping[str, Show | ColourShow], taken: Sequence[int]
    ) -> None:
        """Of several colours, one that none of the lamps taken has."""
        for colour in shown:
            if any(colour in self.selectors.devices[i].colours for i in taken):
                continue
            known = sorted({c for d in self.selectors.devices for c in d.colours})
            if colour in known:
                self.trouble.note(
                    show.where_of("colours"), f"{function.name}: no lamp selected has {colour}", function.name
                )
            else:
                self.trouble.at(
                    show.where_of("colours"), f"no lamp has {colour}", found=colour, nearest=nearest(colour, known)
                )

    def _colours(self, show: Show) -> dict[str, Show | ColourShow]:
        beside = [k for k in ("pattern", "phase", "intensity", "sequence") if getattr(show, k) is not None]
        if show.colours is not None:
            if show.colour is not None:
                self.trouble.at(
                    show.where_of("colour"), "colour and colours stand beside each other", expected="one of them"
                )
                return {}
            if beside:
                self.trouble.at(
                    show.where_of(beside[0]), f"with colours, {beside[0]} stands under each colour", found=beside[0]
                )
                return {}
            if not show.colours:
                self.trouble.at(show.where_of("colours"), "colours is empty", expected="COLOUR: {…}")
            return dict(show.colours)
        if show.colour is None:
            self.trouble.at(show.where, "a show needs colour or colours", expected="colour: …")
            return {}
        return {show.colour.text: show}

    def _timelines(self, part: Show | ColourShow, lamps: Sequence[int]) -> dict[int, Timeline]:
        intensity = 1.0 if part.intensity is None else part.intensity
        if not 0 < intensity <= 1:
            self.trouble.at(
                part.where_of("intensity"), "intensity lies above 0 and up to 100 %", found=f"{intensity * 100:g} %"
            )
        phases = self._phases(part, lamps)
        if part.sequence is not None:
            if part.pattern is not None:
                self.trouble.at(
                    part.where_of("pattern"),
                    "pattern beside sequence: a sequence has its own times",
                    found=str(part.pattern),
                )
            base = self._sequence(part.sequence, lamps, intensity)
        elif part.pattern is not None:
            times = self.patterns.get(part.pattern.text)
            if times is None:
                name = part.pattern.text
                self.trouble.at(
                    part.pattern.where, f"no pattern is called {name}", found=name, nearest=nearest(name, self.patterns)
                )
                return {}
            base = {i: pattern_timeline(times, intensity) for i in lamps}
        else:
            base = {i: steady(intensity) for i in lamps}
        return {i: shifted(base[i], phases[i]) for i in lamps}

    def _sequence(self, sequence: SequenceRecord, lamps: Sequence[int], intensity: float) -> dict[int, Timeline]:
        ranks = sequence_ranks(sequence.order, [self.selectors.devices[i].at_mm for i in lamps])
        times = {
            key: whole_ms(getattr(sequence, key), sequence.where_of(key), self.trouble, what=key, least=least)
            for key, least in (("step", 1), ("hold", 1), ("gap", 0))
        }
        count = max(ranks, default=0) + 1
        return {
            i: sequence_timeline(
                sequence.kind,
                rank=rank,
                ranks=count,
                step_ms=times["step"],
                hold_ms=times["hold"],
                gap_ms=times["gap"],
                intensity=intensity,
            )
            for i, rank in zip(lamps, ranks, strict=True)
        }

    def _phases(self, part: Show | ColourShow, lamps: Sequence[int]) -> dict[int, Fraction]:
        where = part.where_of("phase")

        def checked(value: Fraction) -> Fraction:
            exact = Fraction(value)
            if not 0 <= exact < 1:
                self.trouble.at(
                    where, "a phase lies from 0 up to, but not at, 1", found=str(value), expected="0 ≤ phase < 1"
                )
                return Fraction(0)
            return exact

        if part.phase is None:
            return dict.fromkeys(lamps, Fraction(0))
        if not isinstance(part.phase, dict):
            return dict.fromkeys(lamps, checked(part.phase))
        found = dict.fromkeys(lamps, Fraction(0))
        under: dict[int, str] = {}
        for key, value in part.phase.items():
            key_where = getattr(key, "where", where)
            selected = self.selectors.read(Placed(str(key), key_where), self.trouble) or frozenset()
            phase = checked(value)
            for index in sorted(selected & set(lamps)):
                if index in under:
                    name = self.selectors.devices[index].id
                    self.trouble.at(key_where, f"{name} stands under two phases: {under[index]} and {key}", found=name)
                under[index] = str(key)
                found[index] = phase
        return found


def states_of(kind: str, states: tuple[str, ...]) -> tuple[str, ...]:
    """The states of a device; a relay that names none has open and closed."""
    return states or (("open", "closed") if kind == "relay" else ())
