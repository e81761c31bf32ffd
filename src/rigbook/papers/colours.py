"""Letters and inks of lamp colours: a letter stands with every colour, so that nothing depends on seeing it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from types import MappingProxyType

LETTERS: Mapping[str, str] = MappingProxyType(
    {"red": "R", "blue": "B", "amber": "A", "white": "W", "green": "G", "yellow": "Y", "infrared": "I"}
)
"""Usual letters; other colours get the first letters of their name that are still free."""

INKS: Mapping[str, str] = MappingProxyType(
    {
        "red": "#d9382c",
        "blue": "#2f6fe0",
        "amber": "#f0a020",
        "white": "#ffffff",
        "green": "#2c9a4b",
        "yellow": "#f2d21b",
        "infrared": "#8a8a8a",
    }
)
"""Fill of a lamp on paper and screen. Any other colour is drawn grey, and its letter tells it."""


def ink(colour: str) -> str:
    """Fill for a colour name."""
    return INKS.get(colour, "#b8b8b8")


def letters(colours: Iterable[str]) -> dict[str, str]:
    """A letter (or two) for every colour, the usual ones first, none twice; equal input gives equal letters.

    >>> letters(["amber", "blue", "aqua"])
    {'amber': 'A', 'blue': 'B', 'aqua': 'AQ'}
    """
    names = list(dict.fromkeys(colours))
    given = {name: LETTERS[name] for name in names if name in LETTERS}
    taken = set(given.values()) | set(LETTERS.values())
    for name in names:
        if name in given:
            continue
        plain = name.replace("-", "").replace("_", "").upper()
        choices = [plain[:n] for n in range(1, len(plain) + 1)] + [f"{plain[:1]}{n}" for n in range(1, len(names) + 2)]
        given[name] = next(c for c in choices if c not in taken)
        taken.add(given[name])
    return {name: given[name] for name in names}
