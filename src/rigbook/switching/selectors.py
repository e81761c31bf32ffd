"""Selectors: from names, tags and words to devices. Doors closed."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from rigbook.documents.schema.base import Placed, Where
from rigbook.switching.language import (
    RESERVED,
    SELECTOR_WORDS,
    ZONES,
    LanguageError,
    SelectorStep,
    nearest,
    parse_selector,
)
from rigbook.switching.program import DeviceFacts
from rigbook.switching.trouble import Trouble


@dataclass(frozen=True)
class Selectors:
    """What can be selected, by name; sets of device indexes."""

    devices: tuple[DeviceFacts, ...]
    by_name: dict[str, frozenset[int]]

    def select(self, steps: Sequence[SelectorStep]) -> frozenset[int]:
        """The devices a selector names. Raises LanguageError at an unknown name, or where nothing is selected."""
        found: frozenset[int] = frozenset()
        for step in steps:
            named = self._named(step)
            if step.how == "start":
                found = named
            elif step.how == "and":
                found &= named
            else:
                found -= named
        if not found:
            shown = "".join({"start": "", "and": " & ", "without": " - "}[s.how] + s.name for s in steps)
            raise LanguageError(steps[0].position, f"the selector {shown} selects nothing", found=shown)
        return found

    def _named(self, step: SelectorStep) -> frozenset[int]:
        if step.name in SELECTOR_WORDS:
            return self._word(step.name)
        found = self.by_name.get(step.name)
        if found is None:
            says = f"no device and no tag is called {step.name}"
            if step.name.endswith("-"):
                says += "; ` - ` needs a blank on each side"
            raise LanguageError(
                step.position,
                says,
                found=step.name,
                expected="an installed id, a tag or a zone word",
                nearest=nearest(step.name, [*self.by_name, *SELECTOR_WORDS]),
            )
        return found

    def _word(self, word: str) -> frozenset[int]:
        if word in ZONES:
            return self._where(lambda d: word in d.zones)
        if word == "inside":
            return self._where(lambda d: d.inside)
        if word in ("upper", "lower"):
            return self._where(lambda d: d.level == word)
        return self._where(lambda d: d.half is not None and f"{d.half}-half" == word)

    def _where(self, holds: Callable[[DeviceFacts], bool]) -> frozenset[int]:
        return frozenset(i for i, d in enumerate(self.devices) if holds(d))

    def read(self, placed: Placed, trouble: Trouble) -> frozenset[int] | None:
        """One selector text, or None with an error entered at its place."""
        return trouble.guarded(placed, lambda: self.select(parse_selector(placed.text)))

    def read_all(self, placed: Placed | Iterable[Placed], trouble: Trouble) -> frozenset[int] | None:
        """A selector or the union of a list of them; None where any of them is wrong."""
        found: frozenset[int] = frozenset()
        whole = True
        for one in [placed] if isinstance(placed, Placed) else placed:
            selected = self.read(one, trouble)
            if selected is None:
                whole = False
            else:
                found |= selected
        return found if whole else None


def selectors_of(devices: Sequence[DeviceFacts], trouble: Trouble) -> Selectors:
    """Index devices by id, row and tag; a name used for two things is an error at the device."""
    by_name: dict[str, set[int]] = {}
    tags: set[str] = set()
    ids: set[str] = set()
    for index, device in enumerate(devices):
        where = Where(device.file, device.line, 1 if device.line else 0)
        if device.id in ids:
            trouble.at(where, f"{device.id} is installed twice", found=device.id)
        ids.add(device.id)
        tags |= device.tags
        for name in {device.id, device.row or device.id, *device.tags}:
            if name in RESERVED:
                trouble.at(where, f"{name} is a word of the language and cannot be an id or a tag", found=name)
            by_name.setdefault(name, set()).add(index)
    both = tags & (ids | {d.row for d in devices})
    for index, device in enumerate(devices):
        clash = sorted(both & {device.id, device.row})
        if clash and (index == 0 or devices[index - 1].row != device.row):
            where = Where(device.file, device.line, 1 if device.line else 0)
            trouble.at(where, f"{clash[0]} is an installed id and a tag; one name may not be both", found=clash[0])
    return Selectors(tuple(devices), {name: frozenset(found) for name, found in by_name.items()})
