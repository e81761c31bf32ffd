"""Which characters our fonts can print, and what stands in for those they cannot: the code point in a box.

A character that no vendored font holds would print as an empty square, or not at all, and a name would be read wrong.
So it prints as its code point (`U+4E2D`) in a box, and the paper lists it. Characters that only steer a line (controls,
and the marks that turn its direction) are shown the same way: unseen, they could make a line read otherwise than it is
written.
"""

from __future__ import annotations

import json
import unicodedata
from bisect import bisect_right
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache, lru_cache
from importlib import resources

JOINERS = frozenset("\u200c\u200d\u00ad")
"""Format characters that belong to writing: non-joiner, joiner, soft hyphen. They have no shape of their own."""


@dataclass(frozen=True, slots=True)
class Run:
    """A stretch of a text: printable as it stands, or (`boxed`) the code point of one character in a box."""

    text: str
    boxed: bool


@cache
def _ranges() -> tuple[tuple[int, ...], tuple[int, ...]]:
    source = resources.files("rigbook.browser").joinpath("fonts/coverage.json")
    pairs: list[list[int]] = json.loads(source.read_text(encoding="utf-8"))
    return tuple(first for first, _ in pairs), tuple(last for _, last in pairs)


@lru_cache(maxsize=4096)
def printable(character: str) -> bool:
    """True for a character that the fonts hold in regular and bold, and that is no control of line or direction."""
    if character in JOINERS:
        return True
    if unicodedata.category(character) in ("Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"):
        return False
    firsts, lasts = _ranges()
    code = ord(character)
    at = bisect_right(firsts, code) - 1
    return at >= 0 and code <= lasts[at]


def code_point(character: str) -> str:
    """A character as its code point.

    >>> code_point("A")
    'U+0041'
    """
    return f"U+{ord(character):04X}"


def runs(text: str) -> tuple[Run, ...]:
    """The text as stretches in order; line ends and tabs become blanks. The whole is never empty of what was there.

    >>> [(r.text, r.boxed) for r in runs("a 中")]
    [('a ', False), ('U+4E2D', True)]
    """
    if text.isascii() and text.isprintable():
        return (Run(text, False),) if text else ()
    found: list[Run] = []
    plain: list[str] = []
    for character in unicodedata.normalize("NFC", text):
        shown = " " if character in "\t\n\r" else character
        if printable(shown):
            plain.append(shown)
            continue
        if plain:
            found.append(Run("".join(plain), False))
            plain = []
        found.append(Run(code_point(character), True))
    if plain:
        found.append(Run("".join(plain), False))
    return tuple(found)


def all_printable(text: str) -> bool:
    """True when nothing in the text needs a box."""
    return all(not run.boxed for run in runs(text))


@dataclass(frozen=True, slots=True)
class Missing:
    """A character no font has, as a paper lists it."""

    code_point: str
    name: str


def missing(texts: Iterable[str]) -> tuple[Missing, ...]:
    """The characters of the texts that print as boxes, in order of code point, each once, with their Unicode names."""
    found = {c for text in texts for c in unicodedata.normalize("NFC", text) if c not in "\t\n\r" and not printable(c)}
    return tuple(Missing(code_point(c), unicodedata.name(c, "without a name").lower()) for c in sorted(found))
