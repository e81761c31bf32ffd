"""Searching the shop's parts: an index made once for a state of the catalogue, read by words and filters."""

from __future__ import annotations

import threading
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from rigbook.desk.shopfolder import ShopFolder
    from rigbook.documents.schema.parts import PartAny


@dataclass(frozen=True, slots=True)
class Row:
    """One part as a search shows it. Prices in the shop's smallest coin; None where none is entered."""

    id: str
    kind: str
    title: str
    colours: tuple[str, ...]
    current_a: float | None
    mass_kg: float
    cost: int | None
    list_price: int | None
    words: str


@dataclass(frozen=True, slots=True)
class Found:
    """A page of a search, how many fit in all, and how many of them each filter would leave."""

    rows: tuple[Row, ...]
    total: int
    kinds: Mapping[str, int]
    colours: Mapping[str, int]


def row_of(part: PartAny) -> Row:
    """The search row of a part. The current is the highest of its colours and states."""
    facts: Any = part
    colours = getattr(facts, "colours", None) or {}
    states = [*(colours.values() if isinstance(colours, Mapping) else ()), *(getattr(facts, "draws", None) or ())]
    drawn = [getattr(s, "current", getattr(s, "draw", None)) for s in states]
    currents = [c for c in drawn if isinstance(c, float | int)]
    names = tuple(colours) if isinstance(colours, Mapping) else ()
    words = " ".join((part.id, part.title, part.kind, *names, part.supplier or "")).lower()
    return Row(
        part.id, part.kind, part.title, names, max(currents, default=None), part.mass, part.cost or None,
        part.list_price or None, words,
    )  # fmt: skip


def search(
    rows: Sequence[Row], *, words: str = "", kind: str = "", colour: str = "", most_a: float | None = None,
    first: int = 0, count: int = 25,
) -> Found:  # fmt: skip
    """Parts that hold every word somewhere and pass every filter; best first: the id itself, then ids and titles that
    begin with the first word, then the rest in the catalogue's order.

    Args:
        rows: the index.
        words: words, in any order, parts of words too.
        kind: kind of part; all where empty.
        colour: a colour it has; all where empty.
        most_a: highest current [A]; a part without a current fits.
        first: how many to pass over, 0 or more.
        count: at most so many.
    """
    wanted = words.lower().split()
    plain = [r for r in rows if all(w in r.words for w in wanted)]
    if most_a is not None:
        plain = [r for r in plain if r.current_a is None or r.current_a <= most_a + 1e-9]
    of_colour = [r for r in plain if not colour or colour in r.colours]
    of_kind = [r for r in plain if not kind or r.kind == kind]
    fitting = [r for r in of_colour if not kind or r.kind == kind]
    if wanted:
        fitting.sort(key=lambda r: _rank(r, wanted[0]))
    return Found(
        tuple(fitting[first : first + count]),
        len(fitting),
        _counted(r.kind for r in of_colour),
        _counted(c for r in of_kind for c in r.colours),
    )


def _rank(row: Row, word: str) -> int:
    if row.id == word:
        return 0
    return 1 if row.id.startswith(word) or row.title.lower().startswith(word) else 2


def _counted(names: Iterable[str]) -> dict[str, int]:
    counts: dict[str, int] = {}
    for name in names:
        counts[name] = counts.get(name, 0) + 1
    return dict(sorted(counts.items()))


class Catalogue:
    """The index of one shop folder, made anew when a file of parts changes. Threads may share it."""

    def __init__(self, shop: ShopFolder) -> None:
        """An index of this folder's parts."""
        self._shop = shop
        self._lock = threading.Lock()
        self._kept: tuple[str, tuple[Row, ...], str] | None = None

    def rows(self) -> tuple[tuple[Row, ...], str]:
        """The index, and the currency of its prices."""
        digest = self._shop.parts_digest()
        with self._lock:
            if self._kept is None or self._kept[0] != digest:
                from rigbook.documents.loader import load_shop_alone

                shop, parts = load_shop_alone(self._shop.root)
                self._kept = (digest, tuple(row_of(p) for p in parts.values()), shop.currency if shop else "USD")
            return self._kept[1], self._kept[2]
